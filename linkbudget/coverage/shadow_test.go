package coverage_test

import (
	"bytes"
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// FuzzWholePercent: what is left out for whole per cents has no chance when it is computed. The sweep of all
// numbers, which knows no shadow, rounds down to the same in every cell.
func FuzzWholePercent(f *testing.F) {
	seeds := []uint64{0, 1, 2, 3, 4, 5, 8, 9, 329, 449, 3294, 7, 6}
	if testing.Short() {
		seeds = seeds[11:] // the last passes whole areas in the dark
	}
	for _, seed := range seeds {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, seed uint64) {
		rng := rand.New(rand.NewPCG(seed, 7))
		g := shadowedGround(rng)
		pole, receiver, env := shadowedLink(rng)
		at := orb.Point{g.WestDeg + rng.Float64()*float64(g.Cols-1)*g.StepLonDeg,
			g.NorthDeg - rng.Float64()*float64(g.Rows-1)*g.StepLatDeg}
		area := g.Extent().Bound
		opt := coverage.Options{RadiusM: 90e3, Area: &area, Receiver: receiver, Environment: env}
		if rng.IntN(3) == 0 {
			opt.RadiusM, opt.Area = 3e3+10e3*rng.Float64(), nil
		}
		if rng.IntN(4) == 0 {
			opt.FillVoidsM = 300
		}
		dem := terrain.DEM(g)
		if rng.IntN(2) == 0 {
			inside := []clutter.Class{0, 0, clutter.Free, clutter.Suburban, clutter.Wood}
			dem = terrain.WithCover(g, told{patches{only: []terrain.CoverClass{0, terrain.CoverWood}[rng.IntN(2)],
				rows: rng.IntN(4) == 0}, func(v float64) float32 { return float32(math.Round(v * 20 * float64(seed%3))) },
				rng.IntN(3) == 0})
			opt.Environment.BareEarth = rng.IntN(2) == 0
			pole.Surroundings.Inside, opt.Receiver.Surroundings.Inside = inside[rng.IntN(5)], inside[rng.IntN(5)]
		}
		all, err := coverage.Sweep(context.Background(), pole, at, dem, opt)
		opt.WholePercent = true
		whole, wholeErr := coverage.Sweep(context.Background(), pole, at, dem, opt)
		if errors.Is(err, coverage.ErrPoleUnknown) {
			t.Skip("drawn over a void")
		}
		if err := errors.Join(err, wholeErr); err != nil {
			t.Fatal(err)
		}
		for i, c := range all.Cells {
			w := whole.Cell(i)
			if w.State() != c.State() || math.Floor(c.Probability()*100) != math.Floor(w.Probability()*100) {
				t.Fatalf("cell %d, %.0f m: %v, of whole per cents %v", i,
					terrain.Inverse(at, all.Post(i%all.Cols, i/all.Cols)).DistM, c, w)
			}
		}
	})
}

// shadowedGround is made ground, steep or nearly level, some of it under water, some of it unknown, its posts near or far
// from each other.
func shadowedGround(rng *rand.Rand) *terrain.Grid {
	g := mountains(300 + rng.IntN(300))
	step := []float64{1.0 / 3600, 1.0 / 3600, 1.0 / 1200, 1.0 / 7200}[rng.IntN(4)]
	g.StepLatDeg, g.StepLonDeg = step, step*float64(1+rng.IntN(2))
	g.NorthDeg = []float64{37, 60, -30, 1}[rng.IntN(4)]
	steep, sea := math.Exp2(5*rng.Float64()-2), 1e4
	if rng.IntN(3) == 0 {
		sea = 400 + 400*rng.Float64()
	}
	for i, h := range g.HeightM {
		if sea < 1e4 {
			h = max(h-float32(sea), 0)
		}
		g.HeightM[i] = float32(math.Round(float64(h) * steep))
	}
	if rng.IntN(3) == 0 {
		for range 4 {
			col, row := rng.IntN(g.Cols-9), rng.IntN(g.Rows-9)
			for k := range 60 {
				g.HeightM[(row+k/8)*g.Cols+col+k%8] = terrain.VoidHeight()
			}
		}
	}
	return g
}

// shadowedLink is one of many kinds.
func shadowedLink(rng *rand.Rand) (pole, receiver linkbudget.Station, env linkbudget.Environment) {
	pole, receiver = linkbudget.DefaultStation("pole", 3+40*rng.Float64()),
		linkbudget.DefaultStation("receiver", 1+10*rng.Float64())
	pole.TxDBm = linkbudget.DBm(-20 + 34*rng.Float64())
	receiver.TxDBm = pole.TxDBm
	env = linkbudget.Environment{FreqHz: []float64{169e6, 433e6, 868e6, 2400e6}[rng.IntN(4)],
		Modem: linkbudget.Modem{SF: 7 + rng.IntN(6), BWHz: 125e3, CR: 1}}
	if rng.IntN(3) == 0 {
		env.Terrain = diffraction.TerrainError{SigmaM: 0.5 + 15*rng.Float64(), CorrelationM: 50 + 1000*rng.Float64()}
	}
	if rng.IntN(4) == 0 {
		receiver.Polarisation = radio.Horizontal
	}
	if env.FreqHz > 500e6 && rng.IntN(4) == 0 {
		env.TownPercent = 30
	}
	if rng.IntN(4) == 0 {
		azimuthDeg := 360 * rng.Float64()
		pole.Antenna = linkbudget.Antenna{PeakDBi: 12, Beam: antenna.BeamSector, AzimuthDeg: &azimuthDeg}
	}
	return pole, receiver, env
}

// A raster of whole per cents tells what it has as one of all numbers does, and what it lacks not at all.
func TestWholePercentLacksDecibels(t *testing.T) {
	g := mountains(300)
	opt := coverage.Options{RadiusM: 4e3, Receiver: receiver, Environment: env}
	all, err := coverage.Sweep(context.Background(), pole, middle(g), g, opt)
	if err != nil {
		t.Fatal(err)
	}
	opt.WholePercent = true
	whole, err := coverage.Sweep(context.Background(), pole, middle(g), g, opt)
	if err != nil {
		t.Fatal(err)
	}
	if all.WholePercent() || !whole.WholePercent() {
		t.Error("the rasters do not tell which of them keeps whole per cents")
	}
	levels := []float64{1, 50, 90, 99, 100}
	if a, b := all.Table(levels), whole.Table(levels); !reflect.DeepEqual(a, b) {
		t.Errorf("%+v, of whole per cents %+v", a, b)
	}
	reaches := func(c coverage.Cell) bool { return c.Probability() >= 0.9 }
	if !reflect.DeepEqual(all.Outline(reaches), whole.Outline(reaches)) {
		t.Error("the outlines differ")
	}
	var a, b bytes.Buffer
	if err := errors.Join(all.WriteGeoTIFF(&a, coverage.Probability, ""),
		whole.WriteGeoTIFF(&b, coverage.Probability, "")); err != nil || !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Errorf("the GeoTIFFs differ: %v", err)
	}
	for _, q := range []coverage.Quantity{coverage.Margin, coverage.Loss} {
		_, paintErr := whole.Paint(q)
		for _, err := range []error{paintErr, whole.WriteGeoTIFF(&b, q, "")} {
			if !errors.Is(err, fault.ErrInput) {
				t.Errorf("%v: %v", q, err)
			}
		}
		for i, h := range whole.Grid(q).HeightM {
			if h == h {
				t.Fatalf("%v of cell %d: %g", q, i, h)
			}
			if v, ok := q.Of(whole.Cell(i)); ok || whole.Cell(i).HasDecibels() {
				t.Fatalf("%v of cell %d: %g", q, i, v)
			}
		}
	}
	if _, err := coverage.Combine([]string{"Ash"}, whole); !errors.Is(err, fault.ErrInput) {
		t.Errorf("combined: %v", err)
	}
	if s := whole.Cell(len(all.Cells)).State(); s != coverage.Beyond {
		t.Errorf("the cell after the last is %v", s)
	}
	opt.Environment.WantPercent = 99.5
	if _, err := coverage.Sweep(context.Background(), pole, middle(g), g, opt); !errors.Is(err, fault.ErrInput) {
		t.Errorf("99.5 %% wanted: %v", err)
	}
}
