package coverage

import (
	"context"
	"errors"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"golang.org/x/sys/cpu"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	testcheck "github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// fuzzedGround has a post for every two bytes, void where they say so, and lies anywhere.
func fuzzedGround(b testcheck.Bytes) *terrain.Grid {
	g := &terrain.Grid{Lattice: terrain.Lattice{
		WestDeg: float64(int8(b.Next())) * 1.4, NorthDeg: float64(int8(b.Next())) * 0.65,
		StepLonDeg: 1 / (300 + 20*float64(b.Next())), StepLatDeg: 1 / (300 + 20*float64(b.Next())),
		Cols: 2 + int(b.Next()%8), Rows: 2 + int(b.Next()%8)}}
	pattern := b
	for range g.Cols * g.Rows {
		if len(b) < 2 {
			b = append(b, pattern...) // over and over
		}
		high, low := b.Next(), b.Next()
		h := float32(int(high)*16 + int(low)/16)
		if high == 255 {
			h = terrain.VoidHeight()
		}
		g.HeightM = append(g.HeightM, h)
	}
	return g
}

// FuzzSweep: any small ground, stations and options give an error of the input, or a raster
// with a reason for every cell, none better than free space, with vectors and without the same, whole per cents too.
func FuzzSweep(f *testing.F) {
	f.Add([]byte("\x08\x46\x2d\x2d\x09\x09\x10\x00\x20\x80\x18\x40"), []byte{}, []byte{}, []byte{90, 90, 200, 0}, 868.1)
	f.Add([]byte("\x80\x00\x00\xff\x0d\x0d\xff\x00\x20\x80\x18\x40\x01"), []byte{1, 2, 1, 250}, []byte{1, 200},
		[]byte{0, 251, 30, 1, 2, 3, 60}, 433.0)
	f.Add([]byte("\x7f\x7f\x01\x01\x01\x05"), []byte{0, 0, 0, 1, 254}, []byte{}, []byte{128, 128, 255, 255}, 2400.0)
	f.Fuzz(func(t *testing.T, ground, poleBytes, receiverBytes, how []byte, freqMHz float64) {
		g, b := fuzzedGround(ground), testcheck.Bytes(how)
		lonM, latM := terrain.DegreeSizesM(g.NorthDeg)
		sideM := math.Hypot(float64(g.Cols)*g.StepLonDeg*lonM, float64(g.Rows)*g.StepLatDeg*latM)
		at := orb.Point{g.WestDeg + g.StepLonDeg*float64(g.Cols-1)*b.Number(fault.Limits{Max: 1}),
			g.NorthDeg - g.StepLatDeg*float64(g.Rows-1)*b.Number(fault.Limits{Max: 1})}
		opt := Options{RadiusM: b.Number(fault.Limits{Max: min(sideM, 4e3)}), Workers: 1, MemoryBytes: 1 << 20,
			Receiver: sweptStation("receiver", receiverBytes), Environment: linkbudget.Environment{FreqHz: freqMHz * 1e6,
				Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}}}
		if b.Next()%2 == 1 {
			opt.FillVoidsM = b.Number(fault.Limits{Max: 3000})
		}
		if b.Next()%2 == 1 {
			opt.CellM = b.Number(fault.Limits{Max: 500})
		}
		if b.Next()%4 == 1 {
			opt.Environment.TownPercent = b.Number(fault.Limits{Min: 1, Max: 99})
		}
		if b.Next()%4 == 1 {
			opt.Area = &orb.Bound{Min: g.Post(0, g.Rows-1), Max: at}
		}
		pole := sweptStation("pole", poleBytes)
		r, err := Sweep(context.Background(), pole, at, g, opt)
		had := cpu.X86.HasAVX2
		cpu.X86.HasAVX2 = false
		plain, plainErr := Sweep(context.Background(), pole, at, g, opt)
		cpu.X86.HasAVX2 = had
		if err != nil || plainErr != nil {
			if !errors.Is(err, fault.ErrInput) && !errors.Is(err, ErrPoleUnknown) || plainErr == nil ||
				err.Error() != plainErr.Error() {
				t.Fatalf("with vectors: %v, without: %v", err, plainErr)
			}
			return
		}
		if err := r.Check(); err != nil {
			t.Fatal(err)
		}
		for i, c := range r.Cells {
			if plain.Cells[i] != c {
				t.Fatalf("cell %d: %v with vectors, %v without", i, c, plain.Cells[i])
			}
			checkSwept(t, r, g, i, opt)
		}
		opt.WholePercent = true
		whole, err := Sweep(context.Background(), pole, at, g, opt)
		if err != nil {
			t.Fatal(err)
		}
		for i, c := range r.Cells {
			if whole.percents[i] != c.percent() {
				t.Fatalf("cell %d: %v, of whole per cents %v", i, c, whole.Cell(i))
			}
		}
	})
}

// sweptStation may be any whose numbers are in or out of range.
func sweptStation(name string, b testcheck.Bytes) linkbudget.Station {
	s := linkbudget.DefaultStation(name, 5)
	s.Surroundings.Inside = clutter.Class(b.Next() % 7)
	s.Polarisation = radio.Polarisation(b.Next() % 2)
	testcheck.Numbers(&b, linkbudget.StationNumbers(), &s)
	return s
}

// checkSwept holds for every cell of a sweep.
func checkSwept(t *testing.T, r *Raster, g *terrain.Grid, i int, opt Options) {
	t.Helper()
	c, p := r.Cells[i], r.Post(i%r.Cols, i/r.Cols)
	distM := terrain.Inverse(r.At, p).DistM
	var h [1]float64
	var flag [1]terrain.Flag
	if err := g.Heights([]orb.Point{p}, h[:], flag[:]); err != nil {
		t.Fatal(err)
	}
	switch c.State() {
	case Judged:
		if free := radio.FreeSpace(distM, opt.Environment.FreqHz); c.LossDB() < free-0.1 {
			t.Fatalf("cell %d at %g m: %v, free space %.2f dB", i, distM, c, free)
		}
		if !flag[0].Known() || distM > opt.RadiusM*1.001 || !(c.Probability() >= 0 && c.Probability() <= 1) {
			t.Fatalf("cell %d at %g m of %g on %v: %v", i, distM, opt.RadiusM, flag[0], c)
		}
	case Void, Outside:
		if flag[0].Known() {
			t.Fatalf("cell %d on known ground: %v", i, c)
		}
	case Beyond:
		if distM < opt.RadiusM*0.999 && opt.Area == nil {
			t.Fatalf("cell %d at %g m of %g: %v", i, distM, opt.RadiusM, c)
		}
	case Hidden, Foot:
	default:
		t.Fatalf("cell %d: %v", i, c)
	}
}
