package outfile

import (
	"errors"
	"os"
	"sync"
)

// errAbandoned is that of a run that is at its end.
var errAbandoned = errors.New("the run is at its end")

// All that this run has beside its outputs, and how many sets are in their places.
var (
	moving  sync.Mutex // held while a set takes its places, and for ever once abandoned
	mu      sync.Mutex
	beside  = map[string]bool{}
	whole   int
	atAnEnd bool
)

// Abandon removes what is beside the outputs and not in its place, for a program that ends
// without waiting for those who write. A set that is taking its places comes to its end
// first; no other does afterwards.
func Abandon() {
	moving.Lock()
	mu.Lock()
	defer mu.Unlock()
	atAnEnd = true
	for name := range beside {
		os.Remove(name)
	}
}

// Whole is how many sets have taken their places.
func Whole() int {
	mu.Lock()
	defer mu.Unlock()
	return whole
}

// keep notes a hidden file, and removes it where it comes too late.
func keep(name string) error {
	mu.Lock()
	defer mu.Unlock()
	if atAnEnd {
		os.Remove(name)
		return errAbandoned
	}
	beside[name] = true
	return nil
}

// gone is a hidden file that is moved or removed.
func gone(name string) {
	mu.Lock()
	defer mu.Unlock()
	delete(beside, name)
}
