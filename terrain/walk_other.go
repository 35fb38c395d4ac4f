//go:build !amd64 || purego

package terrain

// walkQuickly does nothing: it needs vectors.
func (p *Profile) walkQuickly(*Grid, cubic, cubic, float64) (n int, sum float64) { return 0, 0 }
