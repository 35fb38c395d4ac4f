package linkbudget_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/landcover"
)

// box is a building with its middle so far along the path of wooded and so far to its left, m.
func box(alongM, leftM, lengthM, widthM float64, stands terrain.Standing) landcover.Outline {
	corner := func(x, y float64) orb.Point {
		on := terrain.Destination(orb.Point{10, 0}, 90, alongM+x)
		return terrain.Destination(on, 0, leftM+y)
	}
	x, y := lengthM/2, widthM/2
	return landcover.Outline{Stands: stands,
		Rings: orb.Polygon{{corner(-x, -y), corner(x, -y), corner(x, y), corner(-x, y), corner(-x, -y)}}}
}

// drawnPath is a path over level ground on which stands what is drawn, and nothing else is known.
func drawnPath(t *testing.T, lengthM float64, over terrain.Cover, outlines ...landcover.Outline) terrain.Profile {
	t.Helper()
	cover, err := landcover.Drawn(outlines, over)
	if err != nil {
		t.Fatal(err)
	}
	return wooded(t, lengthM, cover)
}

func overIt(t *testing.T, p terrain.Profile, aM, bM float64) linkbudget.Result {
	t.Helper()
	env := environment()
	env.BareEarth = true
	r, err := linkbudget.Evaluate(p, linkbudget.DefaultStation("a", aM), linkbudget.DefaultStation("b", bM), env)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A barn of 10 by 20 m on level ground with posts every 31 m, at 915 MHz, wavelength 0.32765 m, earth of
// 8,495 km. By hand, P.526-15 eq (26), (31) and P.1812-6 eq (21): ν = h sqrt(2/0.32765 (1/d1 + 1/d2)),
// J(ν), and (1 - exp(-J/6)) (10 + 0.02 d) over it; antennas high enough that the smooth earth adds nothing.
func TestBarnByHand(t *testing.T) {
	for name, row := range map[string]struct{ atM, topM, aM, bM, want float64 }{
		// between two posts; h 45 - 30 + 1995 · 3005/16.99e6 = 15.353, ν 1.0954, J 14.53, and 9.20
		"half way": {1995, 45, 30, 30, 23.73},
		// Its front wall 20 m before the antenna: h 23 - 20.04 + 0.006 = 2.966, ν 1.642, J 17.48, and 9.55
		"in front of an antenna": {25, 23, 20, 30, 27.03},
	} {
		barn := box(row.atM, 0, 10, 20, terrain.Standing{Class: terrain.CoverSuburban, HeightM: float32(row.topM)})
		p := drawnPath(t, 5000, nil, barn)
		check.Near(t, name, term(overIt(t, p, row.aM, row.bM), "diffraction"), row.want, 0.1)
	}
}

// A path beside the barn, by a metre, is to the last bit the path without one.
func TestBarnBesideThePathIsNotThere(t *testing.T) {
	stands := terrain.Standing{Class: terrain.CoverSuburban, HeightM: 45}
	bare := wooded(t, 5000, nil)
	beside := drawnPath(t, 5000, nil, box(2005, 11, 10, 20, stands), box(1000, -6.1, 40, 12, stands))
	if diff := cmp.Diff(overIt(t, bare, 30, 30), overIt(t, beside, 30, 30)); diff != "" || beside.Standing != nil {
		t.Errorf("without the barn, with it beside the path: %s", diff)
	}
	// Nothing is told of the rest of a path through the barn.
	for _, w := range overIt(t, drawnPath(t, 5000, nil, box(2005, 0, 10, 20, stands)), 30, 30).Warnings {
		if strings.Contains(w, "not known") {
			t.Errorf("a path through a barn: %s", w)
		}
	}
}

// An antenna on a barn or in it stands among houses, and in front of no wall of its own.
func TestOwnBarnIsNoWall(t *testing.T) {
	barn := box(0, 0, 30, 20, terrain.Standing{Class: terrain.CoverSuburban, HeightM: 8})
	r := overIt(t, drawnPath(t, 5000, nil, barn), 5, 30)
	if got := term(r, "suburban at a"); !(got > 0) || term(r, "diffraction") > 1 {
		t.Errorf("suburban at a %g dB, diffraction %g dB", got, term(r, "diffraction"))
	}
}

// Where a clearing is drawn over the wood of a raster the wood is none; a hole of a wood is no wood.
func TestDrawnLiesOverTheRaster(t *testing.T) {
	everywhere := stripe{-1000, 9000, 20}
	clearing := box(2500, 0, 6000, 200, terrain.Standing{Class: terrain.CoverOpen})
	open := wooded(t, 5000, stripe{-9, -8, 0}) // nothing but open country
	got := overIt(t, drawnPath(t, 5000, everywhere, clearing), 10, 10)
	check.Near(t, "cleared", float64(got.LossDB), float64(overIt(t, open, 10, 10).LossDB), 1e-9)
	wood := box(2500, 0, 6000, 200, terrain.Standing{Class: terrain.CoverWood, HeightM: 20})
	wood.Rings = append(wood.Rings, box(2500, 0, 5500, 100, terrain.Standing{}).Rings[0])
	got = overIt(t, drawnPath(t, 5000, nil, wood), 10, 10)
	check.Near(t, "in its hole", float64(got.LossDB), float64(overIt(t, wooded(t, 5000, nil), 10, 10).LossDB), 1e-9)
}

// A survey, which reads what stands only where it tells, finds what Evaluate finds, on bare earth and not; nothing is
// left of the path before.
func TestSurveyOverWhatIsDrawn(t *testing.T) {
	solid := terrain.Standing{Class: terrain.CoverUrban, HeightM: 45}
	wood := terrain.Standing{Class: terrain.CoverWood, HeightM: 20}
	for _, bare := range []bool{true, false} {
		env := environment()
		env.BareEarth = bare
		e, err := linkbudget.NewEvaluator(env)
		if err != nil {
			t.Fatal(err)
		}
		for i, outlines := range [][]landcover.Outline{{box(1995, 30, 10, 20, solid)}, {box(1995, 0, 10, 20, solid)},
			{box(25, 0, 10, 20, solid)}, {box(4980, 0, 6, 20, solid)}, {box(0, 0, 30, 20, solid)}, {box(20, 0, 200, 80, wood)},
			{box(3000, 0, 900, 80, wood), box(3100, 0, 30, 20, solid)}, {box(100, 50, 20, 20, wood)}} {
			cover, err := landcover.Drawn(outlines, nil)
			if err != nil {
				t.Fatal(err)
			}
			dem, to := terrain.WithCover(level(), cover), terrain.Destination(orb.Point{10, 0}, 90, 5000)
			a, b := linkbudget.DefaultStation("a", 6), linkbudget.DefaultStation("b", 8)
			var preparedA, preparedB linkbudget.PreparedStation
			var got linkbudget.Brief
			if err := errors.Join(e.Prepare(&preparedA, &a), e.Prepare(&preparedB, &b)); err != nil {
				t.Fatal(err)
			}
			if err := e.Survey(&got, dem, orb.Point{10, 0}, to, terrain.ProfileOptions{}, &preparedA, &preparedB); err != nil {
				t.Fatal(err)
			}
			p, err := terrain.NewProfile(dem, orb.Point{10, 0}, to, terrain.ProfileOptions{})
			if err != nil {
				t.Fatal(err)
			}
			want, err := linkbudget.Evaluate(p, a, b, env)
			if err != nil {
				t.Fatal(err)
			}
			check.Near(t, fmt.Sprintf("outlines %d, bare earth %v", i, bare), float64(got.LossDB), float64(want.LossDB), 1e-9)
			want.Delivery = got.Delivery // Evaluate leaves it out
			if diff := cmp.Diff(want, e.Explain(&got)); diff != "" {
				t.Errorf("outlines %d, bare earth %v, explained: %s", i, bare, diff)
			}
		}
	}
}
