//go:build !amd64 || purego

package linkbudget

// slopesQuickly does nothing: it needs vectors.
func (r *relief) slopesQuickly(*reliefSlopes) bool { return false }
