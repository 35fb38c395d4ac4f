package terrain

import (
	"errors"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// flatGrid is 10 by 10 posts, 1° apart, of one height.
func flatGrid(westDeg, northDeg, heightM float64) *Grid {
	return filledGrid(Lattice{westDeg, northDeg, 1, 1, 10, 10}, func(float64, float64) float64 { return heightM })
}

func TestStackOrder(t *testing.T) {
	fine := flatGrid(0, 10, 100)
	for i := range fine.HeightM[:50] { // the northern five rows, 10° to 6°
		fine.HeightM[i] = VoidHeight()
	}
	coarse := flatGrid(5, 10, 200) // 5° to 14° east
	allVoid := flatGrid(20, 10, 0)
	for i := range allVoid.HeightM {
		allVoid.HeightM[i] = VoidHeight()
	}
	s := Stack(fine, nil, coarse, allVoid)
	for _, tc := range []struct {
		name string
		at   orb.Point
		want float64
		flag Flag
	}{
		{"first knows", orb.Point{7, 3}, 100, Ground},
		{"first is void, second knows", orb.Point{7, 8}, 200, Ground},
		{"first is void, second does not reach", orb.Point{2, 8}, 0, Void},
		{"second alone", orb.Point{12, 3}, 200, Ground},
		{"last is void, others do not reach", orb.Point{25, 5}, 0, Void},
		{"nobody", orb.Point{50, 3}, 0, Outside},
	} {
		if h, flag := heightAt(t, s, tc.at); flag != tc.flag || h != tc.want {
			t.Errorf("%s: %g m, %v; want %g m, %v", tc.name, h, flag, tc.want, tc.flag)
		}
	}
	want := orb.Bound{Min: orb.Point{0, 1}, Max: orb.Point{29, 10}}
	if got := s.Extent(); got.Bound != want || got.StepLonDeg != 1 || got.StepLatDeg != 1 {
		t.Errorf("extent %+v", got)
	}
}

func TestStackOfNothing(t *testing.T) {
	s := Stack()
	if h, flag := heightAt(t, s, orb.Point{1, 2}); flag != Outside || h != 0 {
		t.Errorf("%g m, %v, want outside", h, flag)
	}
	if got := s.Extent(); got != (Extent{}) {
		t.Errorf("extent %+v", got)
	}
	// A profile over it is refused rather than given an endless number of points.
	if _, err := NewProfile(s, orb.Point{1, 2}, orb.Point{1, 3}, ProfileOptions{}); err == nil {
		t.Error("a profile without posts or spacing is accepted")
	}
}

func TestStackErrors(t *testing.T) {
	broken := errors.New("card pulled out")
	bad := formulaDEM{stepDeg: 1, err: broken, height: tilted}
	at, h, f := []orb.Point{{50, 50}, {7, 3}}, make([]float64, 2), make([]Flag, 2)
	for _, tc := range []struct {
		stack DEM
		want  string
	}{{Stack(bad, flatGrid(0, 10, 1)), "DEM 1 of 2"}, {Stack(flatGrid(0, 10, 1), bad), "DEM 2 of 2"}} {
		err := tc.stack.Heights(at, h, f)
		if !errors.Is(err, broken) || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("error %v, want %q around the cause", err, tc.want)
		}
	}
	// What the first knows in full is not asked of the second.
	if err := Stack(flatGrid(0, 10, 1), bad).Heights(at[1:], h[1:], f[1:]); err != nil {
		t.Error(err)
	}
}

// A stack of grids follows the same rule as overlapping tiles.
func TestStackFollowsTheRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var dems []DEM
		var grids []*Grid
		for i := range rapid.IntRange(1, 5).Draw(t, "grids") {
			g := flatGrid(rapid.Float64Range(0, 12).Draw(t, "west"), rapid.Float64Range(0, 12).Draw(t, "north"),
				float64(100*i+1))
			for j := rapid.IntRange(0, 6).Draw(t, "void"); j < len(g.HeightM); j += 7 {
				g.HeightM[j] = VoidHeight()
			}
			dems, grids = append(dems, g), append(grids, g)
		}
		at := make([]orb.Point, rapid.IntRange(0, 40).Draw(t, "places"))
		for i := range at {
			at[i] = orb.Point{rapid.Float64Range(-1, 24).Draw(t, "lon"), rapid.Float64Range(-11, 14).Draw(t, "lat")}
		}
		wantSame(t, Stack(dems...), plainOrder(grids), at)
	})
}

// Heights of slices that do not match is the caller's mistake, for every DEM here.
func TestHeightsPanicsOnLengths(t *testing.T) {
	g := flatGrid(0, 10, 1)
	for name, d := range map[string]DEM{"grid": g, "tiles": tilesOf(t, g), "stack": Stack(g)} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			_ = d.Heights(make([]orb.Point, 2), make([]float64, 1), make([]Flag, 2))
		}()
	}
}
