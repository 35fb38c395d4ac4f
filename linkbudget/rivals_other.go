//go:build !amd64 || purego

package linkbudget

// markRivalsQuickly does nothing: it needs vectors.
func (r *relief) markRivalsQuickly(_, _ reliefPoint, _, _ float64) int { return 0 }
