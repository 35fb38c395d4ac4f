package outfile

import "os"

// Scratch is a file for what may be larger than memory, in the system's folder for such. It has no
// name where an open file can lose it, so that it goes with the run however that ends; elsewhere
// drop and Abandon remove it.
func Scratch() (f *os.File, drop func(), err error) {
	if f, err = os.CreateTemp("", "polereach-*"); err != nil {
		return nil, nil, err
	}
	if os.Remove(f.Name()) == nil {
		return f, func() { f.Close() }, nil
	}
	drop = func() {
		f.Close()
		os.Remove(f.Name())
		gone(f.Name())
	}
	if err = keep(f.Name()); err != nil {
		drop()
	}
	return f, drop, err
}
