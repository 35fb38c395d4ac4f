//go:build !amd64 || purego

package linkbudget

// gatherQuickly does nothing: it needs vectors.
func (r *relief) gatherQuickly(_, _ []float64, _, _ float64, _, _ *reciprocalsOf, _ *soFar) int {
	return 0
}
