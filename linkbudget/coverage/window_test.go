package coverage

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Memory alone must not allow more posts than numbers of 32 bits tell apart.
func TestTooManyPostsAreRefused(t *testing.T) {
	e := terrain.Extent{Bound: orb.Bound{Min: orb.Point{0, 40}, Max: orb.Point{20, 60}}, StepLonDeg: 1.0 / 36000, StepLatDeg: 1.0 / 36000}
	_, err := newWindow(orb.Point{10, 50}, e, Options{RadiusM: 300e3, MemoryBytes: 1 << 50})
	if err == nil || !strings.Contains(err.Error(), "posts, allowed up to 2147483647") {
		t.Errorf("error: %v", err)
	}
	if _, err := newWindow(orb.Point{10, 50}, e, Options{RadiusM: 30e3, MemoryBytes: 1 << 50}); err != nil {
		t.Errorf("a tenth of the radius is refused: %v", err)
	}
}
