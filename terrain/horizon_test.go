package terrain

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// noRefraction leaves the refraction of light out.
const noRefraction = 1e-9

// roundGrid is a grid of 1" posts around the equator at 8 E, by metres east and
// north of it.
func roundGrid(tb testing.TB, halfM float64, heightM func(eastM, northM float64) float64) (*Grid, orb.Point) {
	tb.Helper()
	lonM, latM := DegreeSizesM(0)
	const step = 1.0 / 3600
	half := int(halfM/(step*latM)) + 2
	l := Lattice{WestDeg: 8 - float64(half)*step, NorthDeg: float64(half) * step,
		StepLonDeg: step, StepLatDeg: step, Cols: 2*half + 1, Rows: 2*half + 1}
	return filledGrid(l, func(lon, lat float64) float64 { return heightM((lon-8)*lonM, lat*latM) }), orb.Point{8, 0}
}

func mustHorizon(tb testing.TB, dem DEM, at orb.Point, heightM float64, opt HorizonOptions) Skyline {
	tb.Helper()
	s, err := Horizon(context.Background(), dem, at, heightM, opt)
	if err != nil {
		tb.Fatal(err)
	}
	return s
}

func within(tb testing.TB, what string, got, want, tolerance float64) {
	tb.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		tb.Errorf("%s: %.5f, want %.5f ± %g", what, got, want, tolerance)
	}
}

// seen is the elevation of a height above the eye at a distance, for a sphere.
func seen(heightM, distM, k float64) float64 {
	r := earthRadiusM / (1 - k)
	phi := distM / r
	return math.Atan2((r+heightM)*math.Cos(phi)-r, (r+heightM)*math.Sin(phi)) * 180 / math.Pi
}

// A wall without end, closed form atan(H/d · cos α) (reference H9): 728 m high and
// 2000 m to the north, the eye at its foot level. The posts make it a slope of
// one post, 31 m: its crest is the post row beyond 2000 m.
func TestHorizonWall(t *testing.T) {
	_, latM := DegreeSizesM(0)
	crest := math.Ceil(2000/(latM/3600)) * latM / 3600
	g, at := roundGrid(t, 8000, func(_, north float64) float64 {
		if north >= 2000 {
			return 728
		}
		return 0
	})
	s := mustHorizon(t, g, at, 0, HorizonOptions{KLight: noRefraction})
	for az := 0; az <= 70; az += 5 {
		along := crest / math.Cos(float64(az)*math.Pi/180)
		for _, i := range []int{az, (360 - az) % 360} {
			within(t, "wall", s.Directions[i].ElevDeg, seen(728, along, 0), 0.02)
			within(t, "distance", s.Directions[i].DistM, along, 20)
		}
	}
	// The published form, 45° off the normal of a wall with H/d = tan 20° (H9).
	within(t, "H9", math.Atan(math.Tan(20*math.Pi/180)*math.Cos(math.Pi/4))*180/math.Pi, 14.43, 0.01)
	within(t, "45° off", s.ElevDeg(45), math.Atan(728/crest*math.Cos(math.Pi/4))*180/math.Pi, 0.03)
}

// Reference H10, flat earth: a cone 500 m high, base radius 1000 m, axis 2000 m off.
func TestHorizonCone(t *testing.T) {
	g, at := roundGrid(t, 4000, func(east, north float64) float64 {
		return max(0, 500*(1-math.Hypot(east, north-2000)/1000))
	})
	s := mustHorizon(t, g, at, 0, HorizonOptions{KLight: noRefraction})
	for az, want := range map[int]float64{0: 14.04, 2: 13.21, 5: 11.93, 10: 9.70, 15: 7.37} {
		within(t, "cone", s.Directions[az].ElevDeg, want, 0.1)
		within(t, "cone, mirrored", s.Directions[(360-az)%360].ElevDeg, want, 0.1)
	}
}

// A round pit: at the bottom, the rim stands equally high all round; the closed
// form is that of its height and radius.
func TestHorizonPit(t *testing.T) {
	g, at := roundGrid(t, 5000, func(east, north float64) float64 {
		return min(300, 300*math.Hypot(east, north)/1000)
	})
	s := mustHorizon(t, g, at, 5, HorizonOptions{KLight: noRefraction, StepDeg: 0.5})
	if len(s.Directions) != 720 {
		t.Fatalf("%d directions", len(s.Directions))
	}
	for i, d := range s.Directions {
		// The rim is round, the posts are square: half a post of 31 m, 0.15°.
		within(t, "pit", d.ElevDeg, seen(295, 1000, 0), 0.26)
		if d.Flag != Ground {
			t.Errorf("direction %d: %v, but nothing outside is higher", i, d.Flag)
		}
	}
}

// On a level sea, the horizon dips by about √(2h/R'): acos(R'/(R'+h)). The window
// reaches beyond it, and beyond the window nothing as high as the sea matters.
func TestHorizonSea(t *testing.T) {
	g, at := roundGrid(t, 60e3, func(_, _ float64) float64 { return 0 })
	for _, k := range []float64{noRefraction, 0.13} {
		for _, h := range []float64{2, 20, 100} {
			s := mustHorizon(t, g, at, h, HorizonOptions{KLight: k, StepDeg: 15, MaxM: 60e3})
			r := earthRadiusM / (1 - k)
			for _, d := range s.Directions {
				within(t, "dip", d.ElevDeg, -math.Acos(r/(r+h))*180/math.Pi, 0.0005)
				within(t, "distance", d.DistM, math.Sqrt(2*r*h), 0.02*math.Sqrt(2*r*h)+40)
				if d.Flag != Ground || d.MostDeg != d.ElevDeg {
					t.Errorf("%g m over the sea: %v, at most %g°", h, d.Flag, d.MostDeg)
				}
			}
		}
	}
}

// Reference H11 to H14: heights far off, with and without refraction: a plateau
// that begins like a wall across the north.
func TestHorizonCurvature(t *testing.T) {
	for _, c := range []struct{ heightM, distM, k, want float64 }{
		{1000, 10e3, 0.13, 5.6707},
		{2000, 50e3, noRefraction, 2.0652},
		{2000, 50e3, 0.13, 2.0945},
		{2000, 100e3, noRefraction, 0.6958},
		{2000, 100e3, 0.13, 0.7543},
	} {
		_, latM := DegreeSizesM(0)
		rows := int(1.02*c.distM*1200/latM) + 1
		row := math.Round(c.distM * 1200 / latM)
		wallM := row * latM / 1200
		g := filledGrid(Lattice{WestDeg: 8 - 10./1200, NorthDeg: float64(rows) / 1200, StepLonDeg: 1. / 1200,
			StepLatDeg: 1. / 1200,
			Cols:       21, Rows: rows + 11}, func(_, lat float64) float64 {
			if lat*1200 > row-0.5 {
				return c.heightM
			}
			return 0
		})
		s := mustHorizon(t, g, orb.Point{8, 0}, 0, HorizonOptions{KLight: c.k, StepDeg: 90, MaxM: 101e3, HighestM: c.heightM})
		within(t, "distance", s.Directions[0].DistM, wallM, 10)
		within(t, "elevation moved to the full distance", s.Directions[0].ElevDeg-seen(c.heightM, wallM, c.k)+seen(c.heightM,
			c.distM, c.k), c.want, 0.002)
	}
	// H14, H15: the formula itself.
	within(t, "H14", seen(0, 100e3, noRefraction), -0.4497, 0.0005)
	within(t, "H14", seen(0, 100e3, 0.13), -0.3912, 0.0005)
	within(t, "H15", 1e8/2/earthRadiusM, 7.85, 0.01)
	within(t, "H15", 1e8/2/earthRadiusM*0.87, 6.83, 0.01)
}

func TestHorizonObstacles(t *testing.T) {
	g, at := roundGrid(t, 2000, func(_, north float64) float64 { return max(0, north/10) })
	s := mustHorizon(t, g, at, 2, HorizonOptions{MaxM: 1500, Obstacles: []Obstacle{
		{170, 190, 12}, {350, 10, 3}, {-100, -80, 45}, {45.2, 45.3, 20}, {0, 360, 1},
	}})
	for az, want := range map[int]float64{170: 12, 180: 12, 190: 12, 169: 1, 191: 1, 270: 45, 260: 45, 280: 45, 45: 20,
		46: 4} {
		if az == 46 {
			continue // ground
		}
		within(t, "obstacle", s.Directions[az].ElevDeg, want, 1e-12)
		if !s.Directions[az].Obstacle || s.Directions[az].DistM != 0 {
			t.Errorf("%d°: %+v", az, s.Directions[az])
		}
	}
	// Towards the north the ground rises at 5.7° and wins against 3°.
	if d := s.Directions[0]; d.Obstacle || !(d.ElevDeg > 5) {
		t.Errorf("north %+v", d)
	}
}

// Across 180° and near a pole the walk finds the same hill.
func TestHorizonDateLineAndPole(t *testing.T) {
	hill := func(west, north, lon0, lat0 float64) *Grid {
		return filledGrid(Lattice{WestDeg: west, NorthDeg: north, StepLonDeg: 1. / 1200, StepLatDeg: 1. / 1200, Cols: 601,
			Rows: 601}, func(lon, lat float64) float64 { return max(0, 300-400*math.Hypot((lon-lon0)*20, (lat-lat0)*20)) })
	}
	want := mustHorizon(t, hill(7.75, 0.25, 8.05, 0), orb.Point{8, 0}, 3, HorizonOptions{MaxM: 20e3})
	for name, s := range map[string]Skyline{
		"east of the line": mustHorizon(t, hill(179.75, 0.25, 180.05, 0), orb.Point{180, 0}, 3, HorizonOptions{MaxM: 20e3}),
		"west of the line": mustHorizon(t, hill(-180.25, 0.25, -179.95, 0), orb.Point{180, 0}, 3, HorizonOptions{MaxM: 20e3}),
	} {
		for i, d := range s.Directions {
			within(t, name, d.ElevDeg, want.Directions[i].ElevDeg, 1e-6)
		}
	}
	whole := filledGrid(Lattice{WestDeg: -180, NorthDeg: 90, StepLonDeg: 0.25, StepLatDeg: 0.01, Cols: 1441, Rows: 101},
		func(_, lat float64) float64 { return 100 + 100*math.Max(0, 3-math.Abs(lat-89.9)*100) })
	for _, lat := range []float64{90, 89.99, 89.5} {
		s := mustHorizon(t, whole, orb.Point{30, lat}, 3, HorizonOptions{MaxM: 30e3, StepDeg: 10})
		for i, d := range s.Directions {
			if math.IsNaN(d.ElevDeg) || math.IsNaN(d.MostDeg) {
				t.Errorf("latitude %g, direction %d: %+v", lat, i, d)
			}
			if lat == 90 { // a ring 0.1° off, 200 m over the eye's ground
				within(t, "ring round the pole", d.ElevDeg, seen(297, 11.17e3, 0.13), 0.05)
			}
		}
	}
}

// Whatever the ground: no NaN, and the possible is never below the known. Over
// rolling ground a higher eye never sees a higher skyline, and more refraction,
// which lifts what is far, never lowers it.
func TestHorizonProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Lattice{WestDeg: 8, NorthDeg: 47, StepLonDeg: 1. / 1200, StepLatDeg: 1. / 1200, Cols: 40, Rows: 40}
		rough := rapid.Float64Range(0, 300).Draw(t, "roughness")
		waves := rapid.SliceOfN(rapid.Float64Range(-1, 1), 9, 9).Draw(t, "waves")
		random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		voids := rapid.SliceOfN(rapid.IntRange(0, 1599), 0, 3).Draw(t, "voids")
		g := &Grid{Lattice: l, HeightM: make([]float32, 1600)}
		rolling := rough < 100
		for i := range g.HeightM {
			x, y := float64(i%40), float64(i/40)
			h := 400.0
			for k := 0; k < 9; k += 3 {
				h += 40 * waves[k] * math.Sin(x*waves[k+1]/4+y*waves[k+2]/4)
			}
			if !rolling {
				h += rough * random.Float64()
			}
			g.HeightM[i] = float32(h)
		}
		for _, v := range voids {
			if v != 20*40+20 {
				g.HeightM[v] = VoidHeight()
			}
		}
		opt := HorizonOptions{StepDeg: 5, MaxM: 1200}
		at := l.Post(20, 20)
		low, high := mustHorizonOf(t, g, at, 2, opt), mustHorizonOf(t, g, at, 40, opt)
		opt.KLight = 0.5
		bent := mustHorizonOf(t, g, at, 2, opt)
		for i, d := range low.Directions {
			if !(d.ElevDeg >= -90 && d.ElevDeg <= d.MostDeg && d.MostDeg <= 90) {
				t.Fatalf("direction %d: %+v", i, d)
			}
			if d.Flag == Ground && d.MostDeg != d.ElevDeg || !d.Flag.Known() && d.MostDeg == d.ElevDeg {
				t.Fatalf("direction %d: %+v", i, d)
			}
			if !rolling {
				continue
			}
			// 0.01°: the crest that loses a tie is not refined.
			if !(high.Directions[i].ElevDeg <= d.ElevDeg+0.01) {
				t.Fatalf("direction %d: %g° from 2 m, %g° from 40 m", i, d.ElevDeg, high.Directions[i].ElevDeg)
			}
			if !(bent.Directions[i].ElevDeg >= d.ElevDeg-0.01) {
				t.Fatalf("direction %d: %g° and %g° with more refraction", i, d.ElevDeg, bent.Directions[i].ElevDeg)
			}
		}
	})
}

func mustHorizonOf(t *rapid.T, dem DEM, at orb.Point, heightM float64, opt HorizonOptions) Skyline {
	s, err := Horizon(context.Background(), dem, at, heightM, opt)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Allocations belong to the walk, not to its samples.
func TestHorizonAllocations(t *testing.T) {
	g, at := roundGrid(t, 8000, func(e, n float64) float64 { return 20 * math.Sin(e/300) * math.Cos(n/500) })
	if got := testing.AllocsPerRun(5, func() { mustHorizon(t, g, at, 3, HorizonOptions{MaxM: 8000}) }); got > 40 {
		t.Errorf("%g allocations", got)
	}
}
