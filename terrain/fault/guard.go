package fault

import "fmt"

// PanicError is a panic that was caught: of a DEM or a progress function that was handed
// in, or of the library itself, in a goroutine of the library, where no caller could recover
// it, or over a result put together by hand. It is no [ErrInput].
type PanicError struct {
	// Value is what was panicked with.
	Value any
}

// Error tells the value.
func (e *PanicError) Error() string { return fmt.Sprintf("panic: %v", e.Value) }

// Unwrap returns the value where it is an error, else nil.
func (e *PanicError) Unwrap() error {
	err, _ := e.Value.(error)
	return err
}

// Guarded is work with its panic, if it panics, returned as a *PanicError.
func Guarded(work func() error) func() error {
	return func() (err error) {
		defer Recovered(&err)
		return work()
	}
}

// Recovered, deferred, puts a panic into err as a *PanicError.
func Recovered(err *error) {
	if value := recover(); value != nil {
		*err = &PanicError{value}
	}
}
