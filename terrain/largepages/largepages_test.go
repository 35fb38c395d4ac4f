package largepages_test

import (
	"testing"

	"github.com/polereach/polereach/terrain/largepages"
)

// What is made is what make makes: zeros, so many, to be written to the last; small and
// large, with elements of all sizes.
func TestMake(t *testing.T) {
	for _, n := range []int{0, 1, 1000, 3<<20 + 5} {
		check(t, n, float32(1))
		check(t, n, byte(1))
		check(t, n, [3]float64{1, 1, 1})
	}
}

func check[T comparable](t *testing.T, n int, one T) {
	t.Helper()
	s := largepages.Make[T](n)
	if len(s) != n {
		t.Fatalf("%d elements, wanted %d", len(s), n)
	}
	var zero T
	for i, x := range s {
		if x != zero {
			t.Fatalf("element %d is %v", i, x)
		}
		s[i] = one
	}
	if n > 0 && s[n-1] != one {
		t.Errorf("the last element was not kept: %v", s[n-1])
	}
}
