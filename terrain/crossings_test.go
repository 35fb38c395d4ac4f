package terrain

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// latticeDEM is a DEM of flat ground on a lattice.
type latticeDEM struct{ Lattice }

func (latticeDEM) Heights(_ []orb.Point, heightM []float64, flag []Flag) error {
	clear(heightM)
	clear(flag)
	return nil
}

// slowCrossing is where a geodesic meets a line of posts: how far along, and the sine
// of the angle between the two.
type slowCrossing struct{ distM, sine float64 }

// slowCrossings finds the crossings by walking in small steps with the exact solution
// of the direct problem and halving: no polynomial, no inverse, no order by counting.
// A path that keeps within 1e-7 of a step along a line of posts does not cross it.
func slowCrossings(l Lattice, a, b orb.Point, steps int) (found []slowCrossing) {
	g := longInverse(a, b)
	position := func(distM, nearLon float64) (col, row, lon float64) {
		p := Destination(a, g.AzimuthDeg, distM)
		lon = nearLon + math.Remainder(p[0]-nearLon, 360)
		return (lon - l.WestDeg) / l.StepLonDeg, (l.NorthDeg - p[1]) / l.StepLatDeg, lon
	}
	stepM := g.DistM / float64(steps)
	fromCol, fromRow, lon := position(0, a[0])
	endCol, endRow, _ := position(g.DistM, a[0])
	still := [2]bool{math.Abs(endCol-fromCol) < 1e-7, math.Abs(endRow-fromRow) < 1e-7}
	for i := range steps {
		startM := stepM * float64(i)
		toCol, toRow, toLon := position(startM+stepM, lon)
		for axis, ends := range [2][2]float64{{fromCol, toCol}, {fromRow, toRow}} {
			if still[axis] {
				continue
			}
			low, high := min(ends[0], ends[1]), max(ends[0], ends[1])
			for k := math.Floor(low) + 1; k <= high; k++ {
				before, after := startM, startM+stepM
				for range 50 {
					middle := (before + after) / 2
					at := [2]float64{}
					at[0], at[1], _ = position(middle, lon)
					if (at[axis] < k) == (ends[0] < k) {
						before = middle
					} else {
						after = middle
					}
				}
				// The angle from the way within a metre.
				c0, r0, _ := position(before-0.5, lon)
				c1, r1, _ := position(before+0.5, lon)
				degLonM, degLatM := DegreeSizesM(Destination(a, g.AzimuthDeg, before)[1])
				sine := [2]float64{math.Abs(c1-c0) * l.StepLonDeg * degLonM, math.Abs(r1-r0) * l.StepLatDeg * degLatM}[axis]
				found = append(found, slowCrossing{before, min(sine, 1)})
			}
		}
		fromCol, fromRow, lon = toCol, toRow, toLon
	}
	slices.SortFunc(found, func(x, y slowCrossing) int { return int(math.Copysign(1, x.distM-y.distM)) })
	return found
}

// onALine reports whether a place is on a column or a row of the lattice, or within 3 mm
// of a pole.
func onALine(l Lattice, p orb.Point) bool {
	if math.Abs(p[1]) > 90-2.7e-8 {
		return true
	}
	const nearStep = 1e-6
	whole := func(x float64) bool { return math.Abs(x-math.Round(x)) <= nearStep }
	lon := l.WestDeg + turnsRemoved(p[0]-l.WestDeg)
	return whole((lon-l.WestDeg)/l.StepLonDeg) || whole((l.NorthDeg-p[1])/l.StepLatDeg)
}

// checkCrossings compares a profile with slowCrossings.
func checkCrossings(t interface{ Fatalf(string, ...any) }, l Lattice, a, b orb.Point, steps int) {
	var p Profile
	if err := p.Sample(latticeDEM{l}, a, b, ProfileOptions{}); err != nil {
		t.Fatalf("%v to %v: %v", a, b, err)
	}
	if err := p.Validate(); err != nil {
		t.Fatalf("%v to %v: %v", a, b, err)
	}
	last := len(p.DistM) - 1
	if p.Points[0] != (orb.Point{longitude180(a[0]), a[1]}) || p.Points[last] != (orb.Point{longitude180(b[0]), b[1]}) {
		t.Fatalf("%v to %v: ends %v and %v", a, b, p.Points[0], p.Points[last])
	}
	azimuthDeg := longInverse(a, b).AzimuthDeg
	for i, at := range p.Points {
		if miss := chordM(at, Destination(a, azimuthDeg, p.DistM[i])); !(miss <= oneMillimetre) {
			t.Fatalf("%v to %v: point %d of %d is %g m off the geodesic", a, b, i, last+1, miss)
		}
		if i > 0 && i < last && !onALine(l, at) {
			t.Fatalf("%v to %v: point %d of %d, %v, stands on no line of posts", a, b, i, last+1, at)
		}
		if i > 0 && p.DistM[i]-p.DistM[i-1] < oneMillimetre {
			t.Fatalf("%v to %v: point %d is %g m after the one before", a, b, i, p.DistM[i]-p.DistM[i-1])
		}
	}
	for _, c := range slowCrossings(l, a, b, steps) {
		// A line may lie 0.1 mm beside the geodesic, and 1 mm is one point.
		tolM := 2e-4/max(c.sine, 1e-12) + oneMillimetre // nearly along a line it is met nearly anywhere
		i, _ := slices.BinarySearch(p.DistM, c.distM)
		near := math.Inf(1)
		for _, k := range []int{i - 1, i} {
			if k >= 0 && k <= last {
				near = min(near, math.Abs(p.DistM[k]-c.distM))
			}
		}
		if !(near <= tolM) {
			t.Fatalf("%v to %v: no point within %g m of the crossing at %.3f m, the nearest is %g m off", a, b, tolM, c.distM,
				near)
		}
	}
}

func TestProfileCrossesLinesOfPosts(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of crossings")
	}
	world := Lattice{WestDeg: -180, NorthDeg: 90, StepLonDeg: 1.0 / 120, StepLatDeg: 1.0 / 120}
	for _, r := range []struct {
		name string
		a, b orb.Point
	}{
		{"20 km at 50°", orb.Point{11.601, 49.732}, orb.Point{11.803, 49.871}},
		{"shorter than a cell", orb.Point{11.6013, 49.7352}, orb.Point{11.6015, 49.7353}},
		{"a hair over a corner", orb.Point{11.6 - 1e-7, 49.75 - 1e-7}, orb.Point{11.6 + 1e-7, 49.75 + 2e-7}},
		{"300 km, many pieces", orb.Point{10, -1}, orb.Point{12, 1.3}},
		{"vertex in the way", orb.Point{10.003, 50.001}, orb.Point{11.503, 50.0013}},
		{"vertex in the way, south", orb.Point{10.003, -60.001}, orb.Point{11.903, -60.0021}},
		{"along a column", orb.Point{11.6, 49.701}, orb.Point{11.6, 49.901}},
		{"beside a column", orb.Point{11.6, 49.701}, orb.Point{11.6 + 1e-6, 49.901}},
		{"from a row to the same row", orb.Point{11.603, 49.75}, orb.Point{11.903, 49.75}},
		{"along the equator", orb.Point{11.603, 0}, orb.Point{11.903, 0}},
		{"from post to post", orb.Point{11.6, 49.75}, orb.Point{11.75, 49.9}},
		{"through posts", orb.Point{11.5, -0.05}, orb.Point{11.6, 0.05}},
		{"eastwards over the date line", orb.Point{179.801, -17.003}, orb.Point{-179.702, -16.801}},
		{"westwards over the date line", orb.Point{-179.702, 66.003}, orb.Point{179.803, 66.301}},
		{"written beyond 180°", orb.Point{190.001, 10.003}, orb.Point{190.203, 10.207}},
		{"written a turn back", orb.Point{-349.901, 10.003}, orb.Point{-349.703, 10.207}},
		{"high up", orb.Point{20.003, 88.003}, orb.Point{60.007, 88.301}},
		{"past the pole at 5 km", orb.Point{0.003, 89.5003}, orb.Point{175.001, 89.5}},
		{"over the pole", orb.Point{20.003, 89.9003}, orb.Point{-159.997, 89.8007}},
		{"past the pole at 5 mm", orb.Point{0, 89.9003}, orb.Point{179.9999, 89.8003}},
		{"from the pole", orb.Point{0, 90}, orb.Point{120.003, 89.8003}},
		{"to the south pole", orb.Point{30.003, -89.8003}, orb.Point{30.003, -90}},
		{"along the date line", orb.Point{180, 10.001}, orb.Point{-180, 10.103}},
	} {
		t.Run(r.name, func(t *testing.T) { checkCrossings(t, world, r.a, r.b, 4000) })
	}
}

func TestProfileCrossesLinesAnywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Lattice{
			WestDeg: -180 + rapid.Float64Range(0, 0.01).Draw(t, "west"), NorthDeg: 90 - rapid.Float64Range(0, 0.01).Draw(t,
				"north"),
			StepLonDeg: 1 / float64(rapid.IntRange(60, 1200).Draw(t, "per lon")), StepLatDeg: rapid.Float64Range(1e-3,
				2e-2).Draw(t, "step lat"),
		}
		a := orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(-88, 88).Draw(t, "lat")}
		b := Destination(a, rapid.Float64Range(0, 360).Draw(t, "azimuth"),
			math.Exp(rapid.Float64Range(1, 11.5).Draw(t, "log distance")))
		checkCrossings(t, l, a, b, 500)
	})
}

// On a line between two posts, or along it, those posts alone count: voids beside it do
// not matter, and a path along a column has the heights of its posts.
func TestProfileAlongPostsBesideVoids(t *testing.T) {
	g := filledGrid(Lattice{WestDeg: 11, NorthDeg: 50, StepLonDeg: 0.25, StepLatDeg: 0.25, Cols: 9, Rows: 9}, rough)
	for row := range g.Rows {
		for col := range g.Cols {
			if col != 4 {
				g.HeightM[row*g.Cols+col] = VoidHeight()
			}
		}
	}
	for name, dem := range map[string]DEM{"grid": g, "tiles": tilesOf(t, g), "plain": plainDEM{g}} {
		p, err := NewProfile(dem, orb.Point{12, 49.75}, orb.Point{12, 48.5}, ProfileOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if len(p.DistM) != 6 || p.Unknown() != nil {
			t.Fatalf("%s: %d points, want 6; gaps %v", name, len(p.DistM), p.Unknown())
		}
		for i, h := range p.HeightM {
			if want := float64(g.HeightM[(1+i)*g.Cols+4]); h != want {
				t.Errorf("%s: point %d is %g m high, its post %g m", name, i, h, want)
			}
		}
		// Across the column: known there and nowhere else.
		p, err = NewProfile(dem, orb.Point{11.6, 49.1}, orb.Point{12.4, 49.15}, ProfileOptions{})
		if err != nil {
			t.Fatal(err)
		}
		known := 0
		for i, f := range p.Flags {
			if f == Ground {
				known++
				if !(math.Abs(p.Points[i][0]-12) <= 1e-12) {
					t.Errorf("%s: ground at %v", name, p.Points[i])
				}
			}
		}
		if known != 1 {
			t.Errorf("%s: %d known points of %v, want 1", name, known, p.Flags)
		}
	}
}
