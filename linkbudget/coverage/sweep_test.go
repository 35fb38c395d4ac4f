package coverage_test

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

var pole, receiver = linkbudget.DefaultStation("pole", 10), linkbudget.DefaultStation("receiver", 2)

func sweep(t testing.TB, dem terrain.DEM, at orb.Point, opt coverage.Options) *coverage.Raster {
	t.Helper()
	opt.Receiver, opt.Environment = receiver, env
	r, err := coverage.Sweep(context.Background(), pole, at, dem, opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// gridAt is rolling ground with its north-western post at a place.
func gridAt(westDeg, northDeg float64, n int) *terrain.Grid {
	g := &terrain.Grid{
		Lattice: terrain.Lattice{WestDeg: westDeg, NorthDeg: northDeg, StepLonDeg: 1.0 / 1200, StepLatDeg: 1.0 / 1200,
			Cols: n, Rows: n},
		HeightM: make([]float32, n*n),
	}
	for i := range g.HeightM {
		x, y := float64(i%n), float64(i/n)
		g.HeightM[i] = float32(300 + 60*math.Sin(x/7)*math.Cos(y/9) + 15*math.Sin(x/2+y/3))
	}
	return g
}

// Every cell whose centre lies within the radius, measured by the geodesic, gets
// an answer or a reason, and no other does: no gap and no double claim between
// rays, quadrants and pieces.
func TestEveryCellWithinTheRadiusIsAsked(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lat := rapid.Float64Range(-70, 70).Draw(t, "lat")
		g := gridAt(rapid.Float64Range(-180, 180).Draw(t, "lon"), lat, 61)
		// On a post, on a line of posts, or anywhere.
		x, y := rapid.Float64Range(5, 55).Draw(t, "x"), rapid.Float64Range(5, 55).Draw(t, "y")
		if rapid.Bool().Draw(t, "on a column") {
			x = math.Round(x)
		}
		if rapid.Bool().Draw(t, "on a row") {
			y = math.Round(y)
		}
		at := orb.Point{g.WestDeg + x*g.StepLonDeg, g.NorthDeg - y*g.StepLatDeg}
		radiusM := rapid.Float64Range(200, 2500).Draw(t, "radius")
		r, err := coverage.Sweep(context.Background(), pole, at, g,
			coverage.Options{RadiusM: radiusM, Receiver: receiver, Environment: env})
		if err != nil {
			t.Fatal(err)
		}
		for i, c := range r.Cells {
			p := r.Post(i%r.Cols, i/r.Cols)
			d := terrain.Inverse(at, p).DistM
			if math.Abs(d-radiusM) < 1e-4*radiusM { // distances are good to 3e-5
				continue
			}
			if (c.State() != coverage.Beyond) != (d < radiusM) {
				t.Fatalf("cell %v at %.3f m of %.0f m is %v", p, d, radiusM, c.State())
			}
			if c.State() == coverage.Judged && !sound(c) {
				t.Fatalf("cell %v: %v", p, c)
			}
			if c.State() == coverage.Foot && d > 1 {
				t.Fatalf("cell %v at %.3f m counts as the pole's foot", p, d)
			}
		}
	})
}

// sound reports whether loss and margin lie inside their limits, on which NaN and
// infinity come to lie, and the probability on the margin's side of one half.
func sound(c coverage.Cell) bool {
	loss, margin, p := c.LossDB(), c.MarginDB(), c.Probability()
	return loss > 0 && loss < 655.35 && math.Abs(float64(margin)) < 327.67 &&
		(margin == 0 || margin > 0 && p >= 0.5 && p <= 1 || margin < 0 && p >= 0 && p <= 0.5)
}

// A void post and all behind it stay without an answer; what lies before it and
// beside it is judged.
func TestVoidsAndWhatLiesBehindThem(t *testing.T) {
	g := gridAt(10, 50, 121)
	for row := 20; row < 40; row++ {
		for col := 75; col < 80; col++ {
			g.HeightM[row*g.Cols+col] = terrain.VoidHeight()
		}
	}
	at := orb.Point{g.WestDeg + 30.3*g.StepLonDeg, g.NorthDeg - 30.2*g.StepLatDeg}
	r := sweep(t, g, at, coverage.Options{RadiusM: 12e3})
	for _, c := range []struct {
		col, row int
		want     coverage.State
	}{{60, 30, coverage.Judged}, {77, 30, coverage.Void}, {100, 30, coverage.Hidden}, {60, 70, coverage.Judged},
		{30, 100, coverage.Judged}} {
		i, ok := r.Index(g.Post(c.col, c.row))
		if !ok || r.Cells[i].State() != c.want {
			t.Errorf("column %d, row %d: %v, want %v", c.col, c.row, r.Cells[i].State(), c.want)
		}
	}
	i, ok := r.Index(orb.Point{g.WestDeg - 10*g.StepLonDeg, g.NorthDeg - 30*g.StepLatDeg})
	if !ok || r.Cells[i].State() != coverage.Outside {
		t.Errorf("beyond the western edge: %v, want %v", r.Cells[i].State(), coverage.Outside)
	}
	// Filled on request: the cells behind are judged, the void itself never.
	filled := sweep(t, g, at, coverage.Options{RadiusM: 12e3, FillVoidsM: 1000})
	if i, _ := filled.Index(g.Post(100, 30)); filled.Cells[i].State() != coverage.Judged {
		t.Errorf("behind a filled void: %v", filled.Cells[i].State())
	}
	if i, _ := filled.Index(g.Post(77, 30)); filled.Cells[i].State() != coverage.Void {
		t.Errorf("in a filled void: %v", filled.Cells[i].State())
	}
	table := r.Table([]float64{50})
	if n := table.UnjudgedByState; n[coverage.Void] != 100 || n[coverage.Hidden] == 0 || n[coverage.Outside] == 0 {
		t.Errorf("table counts %v", n)
	}
	if !(table.UnjudgedShare > 0 && table.Levels[0].Share <= 1) {
		t.Errorf("shares %v and %v", table.Levels[0].Share, table.UnjudgedShare)
	}
}

// No path of a judged cell leads across a void post. It may pass between the
// posts beside one, through the square whose corner the void is: where it crosses
// the lines of posts, it is known. The diagonal of a square is 111 m here.
func TestJudgedMeansKnownAlongThePath(t *testing.T) {
	g := gridAt(10, 50, 61)
	g.HeightM[25*61+40], g.HeightM[45*61+20] = terrain.VoidHeight(), terrain.VoidHeight()
	at := orb.Point{g.WestDeg + 30.3*g.StepLonDeg, g.NorthDeg - 30.2*g.StepLatDeg}
	r := sweep(t, g, at, coverage.Options{RadiusM: 3e3})
	for i, c := range r.Cells {
		if c.State() != coverage.Judged {
			continue
		}
		p, err := terrain.NewProfile(g, at, r.Post(i%r.Cols, i/r.Cols), terrain.ProfileOptions{SpacingM: 10})
		if err != nil {
			t.Fatal(err)
		}
		if gaps := p.Unknown(); len(gaps) > 1 || len(gaps) == 1 && gaps[0].ToM-gaps[0].FromM > 111 {
			t.Errorf("cell %v is judged across %v", r.Post(i%r.Cols, i/r.Cols), gaps)
		}
	}
}

// The same ground at the antimeridian and a tile seam gives the same answers as
// anywhere else on that parallel.
func TestAntimeridianAndSeams(t *testing.T) {
	here := gridAt(20, 10, 121)
	there := gridAt(179.95, 10, 121)
	offset := orb.Point{40.3 / 1200, -60.2 / 1200}
	a := sweep(t, here, orb.Point{20 + offset[0], 10 + offset[1]}, coverage.Options{RadiusM: 4e3})
	b := sweep(t, there, orb.Point{179.95 + offset[0], 10 + offset[1]}, coverage.Options{RadiusM: 4e3})
	c := sweep(t, there, orb.Point{179.95 + offset[0] - 360, 10 + offset[1]}, coverage.Options{RadiusM: 4e3})
	east := gridPart(there, 60, 121)
	east.WestDeg -= 360
	tiles := terrain.Stack(gridPart(there, 0, 61), east)
	d := sweep(t, tiles, orb.Point{179.95 + offset[0], 10 + offset[1]}, coverage.Options{RadiusM: 4e3})
	for name, other := range map[string]*coverage.Raster{"across": b, "counted from the west": c, "two tiles": d} {
		if len(a.Cells) != len(other.Cells) {
			t.Errorf("%s: %d cells, want %d", name, len(other.Cells), len(a.Cells))
			continue
		}
		for i := range a.Cells {
			if x, y := a.Cells[i], other.Cells[i]; x.State() != y.State() || !(math.Abs(float64(x.LossDB()-y.LossDB())) < 0.01) {
				t.Errorf("%s: cell %d is %v, want %v", name, i, y, x)
				break
			}
		}
	}
}

// gridPart is a run of columns of a grid.
func gridPart(g *terrain.Grid, from, to int) *terrain.Grid {
	out := &terrain.Grid{Lattice: g.Lattice}
	out.WestDeg, out.Cols = g.WestDeg+float64(from)*g.StepLonDeg, to-from
	for row := range g.Rows {
		out.HeightM = append(out.HeightM, g.HeightM[row*g.Cols+from:row*g.Cols+to]...)
	}
	return out
}

func TestPoleInTheCornerOfTheTerrain(t *testing.T) {
	g := gridAt(10, 50, 61)
	r := sweep(t, g, g.Post(0, 0), coverage.Options{RadiusM: 3e3})
	counts := map[coverage.State]int{}
	for _, c := range r.Cells {
		counts[c.State()]++
	}
	if counts[coverage.Foot] != 1 || counts[coverage.Judged] == 0 || counts[coverage.Outside] < 2*counts[coverage.Judged] {
		t.Errorf("states %v", counts)
	}
	_, err := coverage.Sweep(context.Background(), pole, orb.Point{9, 50}, g,
		coverage.Options{RadiusM: 3e3, Receiver: receiver, Environment: env})
	if !errors.Is(err, coverage.ErrPoleUnknown) {
		t.Errorf("a pole beside the terrain: %v", err)
	}
}

// Cells given by area and spacing are the cells of the whole sweep.
func TestAreaAndSpacingPickCellsOfTheWhole(t *testing.T) {
	dem := cumberland(t)
	at := orb.Point{-84.2405, 36.5565}
	all := sweep(t, dem, at, coverage.Options{RadiusM: 8e3})
	area := orb.Bound{Min: orb.Point{-84.22, 36.57}, Max: orb.Point{-84.18, 36.61}}
	part := sweep(t, dem, at, coverage.Options{RadiusM: 8e3, Area: &area})
	coarse := sweep(t, dem, at, coverage.Options{RadiusM: 8e3, CellM: 280})
	if len(part.Cells) >= len(all.Cells)/8 || len(coarse.Cells) >= len(all.Cells)/8 {
		t.Fatalf("%d and %d cells of %d", len(part.Cells), len(coarse.Cells), len(all.Cells))
	}
	for name, r := range map[string]*coverage.Raster{"area": part, "spacing": coarse} {
		var off []float64
		for i, c := range r.Cells {
			k, ok := all.Index(r.Post(i%r.Cols, i/r.Cols))
			if !ok || all.Cells[k].State() != c.State() {
				t.Fatalf("%s: cell %d is %v, the whole has %v", name, i, c.State(), all.Cells[k].State())
			}
			off = append(off, math.Abs(float64(c.LossDB()-all.Cells[k].LossDB())))
		}
		// Other rays, other interpolation: alike, as the cells and their own paths.
		slices.Sort(off)
		if median, most := off[len(off)/2], off[len(off)*95/100]; !(median < 0.1 && most < 1) {
			t.Errorf("%s: losses differ by %.3f dB, 5 %% by more than %.2f dB", name, median, most)
		}
	}
}

func TestErrorsListEveryFault(t *testing.T) {
	_, err := coverage.Sweep(context.Background(), linkbudget.Station{Name: "p"}, orb.Point{10, 95}, nil,
		coverage.Options{RadiusM: -1, CellM: math.NaN(), FillVoidsM: -1, MemoryBytes: -1})
	for _, want := range []string{"no DEM", "latitude", "radius", "cell_m", "voids", "memory", "height_m",
		"freq_mhz"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q is missing in: %v", want, err)
		}
	}
}

func TestTooLargeIsRefusedWithWhatWouldFit(t *testing.T) {
	g := gridAt(10, 50, 61)
	_, err := coverage.Sweep(context.Background(), pole, g.Post(30, 30), g,
		coverage.Options{RadiusM: 200e3, Receiver: receiver, Environment: env, MemoryBytes: 8 << 20})
	if err == nil || !strings.Contains(err.Error(), "would fit") {
		t.Errorf("error %v", err)
	}
}

func TestCancelledSweepStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	steps := 0
	_, err := coverage.Sweep(ctx, pole, orb.Point{-84.2405, 36.5565}, cumberland(t), coverage.Options{
		RadiusM: 15e3, Receiver: receiver, Environment: env, Workers: 2,
		Progress: func(done, total int) {
			if steps++; steps == 3 {
				cancel()
			}
			if done > total {
				t.Errorf("%d of %d done", done, total)
			}
		},
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
}
