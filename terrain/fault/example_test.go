package fault_test

import (
	"errors"
	"fmt"

	"github.com/polereach/polereach/terrain/fault"
)

// A server tells its caller's faults from its own.
func Example() {
	err := fmt.Errorf("station %q: %w", "barn", fault.Range("height_m", 400, 1, 300, "m"))
	var field *fault.FieldError
	if errors.As(err, &field) {
		fmt.Println("400 Bad Request:", field.Field, "may be", field.Min, "to", field.Max, field.Unit)
	}
	fmt.Println(errors.Is(err, fault.ErrInput), err)
	// Output:
	// 400 Bad Request: height_m may be 1 to 300 m
	// true station "barn": height_m: found 400, allowed 1 to 300 m
}
