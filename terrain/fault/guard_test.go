package fault_test

import (
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/polereach/polereach/terrain/fault"
)

// A panic in a worker comes back as an error that holds its value; the work's own error
// and its success pass as they are.
func TestGuarded(t *testing.T) {
	var caught *fault.PanicError
	if err := fault.Guarded(func() error { panic("tile on fire") })(); !errors.As(err, &caught) ||
		caught.Value != "tile on fire" ||
		!strings.Contains(err.Error(), "tile on fire") || errors.Is(err, fault.ErrInput) {
		t.Errorf("panic of text: %v", err)
	}
	if err := fault.Guarded(func() error { panic(io.ErrUnexpectedEOF) })(); !errors.Is(err, io.ErrUnexpectedEOF) {
		t.Errorf("panic of an error: %v", err)
	}
	if err := fault.Guarded(func() error { var list []int; return errors.New(string(rune(list[3]))) })(); !errors.As(err,
		&caught) {
		t.Errorf("index out of range: %v", err)
	}
	for _, want := range []error{nil, io.EOF} {
		if err := fault.Guarded(func() error { return want })(); err != want {
			t.Errorf("work that returns %v: %v", want, err)
		}
	}
}
