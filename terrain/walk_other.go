//go:build !amd64 || purego

package terrain

// walkQuickly does nothing: it needs vectors.
func (p *Profile) walkQuickly(*Grid, cubic, cubic, float64) (done, known bool) { return false, false }
