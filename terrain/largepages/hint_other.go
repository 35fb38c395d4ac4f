//go:build !linux

package largepages

func hint[T any]([]T) {}
