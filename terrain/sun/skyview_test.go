package sun

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/terrain"
)

// skylineOf makes a skyline from its elevation by direction.
func skylineOf(n int, elevDeg func(azimuthDeg float64) float64) terrain.Skyline {
	s := terrain.Skyline{StepDeg: 360 / float64(n), Directions: make([]terrain.SkylineDirection, n)}
	for i := range s.Directions {
		e := elevDeg(360 * float64(i) / float64(n))
		s.Directions[i] = terrain.SkylineDirection{ElevDeg: e, MostDeg: e}
	}
	return s
}

func uniform(elevDeg float64) func(float64) float64 {
	return func(float64) float64 { return elevDeg }
}

// wall is one without end, elevDeg high square to it in direction normalDeg.
func wall(elevDeg, normalDeg float64) func(float64) float64 {
	return func(az float64) float64 {
		return max(0, math.Atan(math.Tan(elevDeg*deg)*math.Cos((az-normalDeg)*deg))/deg)
	}
}

// block stands elevDeg high from one direction to another.
func block(elevDeg, from, to float64) func(float64) float64 {
	return func(az float64) float64 {
		if az >= from && az <= to {
			return elevDeg
		}
		return 0
	}
}

// Closed forms: reference section 3.4, rows H1 to H8 (plane geometry).
func TestSkyViewClosedForms(t *testing.T) {
	south := func(tilt float64) Panel { return Panel{TiltDeg: tilt, AzimuthDeg: 180} }
	cos := func(d float64) float64 { return math.Cos(d * deg) }
	both := func(a, b float64) func(float64) float64 {
		return func(az float64) float64 { return max(wall(a, 180)(az), wall(b, 0)(az)) }
	}
	for _, c := range []struct {
		row  string
		elev func(float64) float64
		tilt float64
		want float64
	}{
		{"H1 free", uniform(0), 0, 1},
		{"H1 free", uniform(0), 30, (1 + cos(30)) / 2},
		{"H1 free", uniform(0), 60, 0.75},
		{"H1 free", uniform(0), 90, 0.5},
		{"free, looking down", uniform(0), 120, (1 + cos(120)) / 2},
		{"free, upside down", uniform(0), 180, 0},
		{"H2 uniform", uniform(10), 0, 0.9698},
		{"H2 uniform", uniform(20), 0, 0.8830},
		{"H3 wall", wall(20, 180), 0, 0.9698},
		{"H4 wall", wall(20, 180), 30, 0.8214},
		{"H4 wall", wall(20, 180), 60, 0.5868},
		{"H4 wall", wall(20, 180), 90, 0.3290},
		{"H5 valley", both(20, 30), 0, 0.9029},
		{"H6 valley", both(20, 30), 15, 0.8925},
		{"H7 uniform", uniform(10), 90, 0.3900},
		{"H7 uniform", uniform(20), 90, 0.2866},
		{"H8 uniform", uniform(10), 60, 0.6470},
		{"H8 uniform", uniform(20), 30, 0.7689},
		{"below level counts as level", uniform(-5), 30, 0.9330},
		{"a wall to the zenith", uniform(90), 30, 0},
	} {
		near(t, c.row, skyView(skylineOf(360, c.elev), south(c.tilt)), c.want, 0.001)
	}
	near(t, "no skyline", skyView(terrain.Skyline{}, south(60)), 0.75, 1e-4)
	// H19: few directions do. With eight, it shows whether the first looks north,
	// as here, or half a step off: 0.5858 or 0.5878 round the closed form 0.5868.
	for n, tolerance := range map[int]float64{8: 0.0015, 16: 2e-4, 36: 1e-4, 360: 1e-4} {
		near(t, "H19", skyView(skylineOf(n, wall(20, 180)), south(60)), (1+cos(80))/2, tolerance)
	}
}

// Turning all is turning nothing; a higher skyline never shows more sky.
func TestSkyViewProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tilt := rapid.Float64Range(0, 180).Draw(t, "tilt")
		az := rapid.IntRange(0, 359).Draw(t, "azimuth")
		low := rapid.SliceOfN(rapid.Float64Range(-10, 80), 360, 360).Draw(t, "skyline")
		more := rapid.Float64Range(0, 10).Draw(t, "more")
		turn := rapid.IntRange(0, 359).Draw(t, "turn")
		of := func(shift int, add float64) terrain.Skyline {
			return skylineOf(360, func(a float64) float64 { return low[(int(a+0.5)+360-shift)%360] + add })
		}
		f := skyView(of(0, 0), Panel{TiltDeg: tilt, AzimuthDeg: float64(az)})
		turned := skyView(of(turn, 0), Panel{TiltDeg: tilt, AzimuthDeg: float64(az + turn)})
		if !(math.Abs(f-turned) <= 1e-9) {
			t.Fatalf("%g, turned by %d°: %g", f, turn, turned)
		}
		if g := skyView(of(0, more), Panel{TiltDeg: tilt, AzimuthDeg: float64(az)}); !(g <= f+1e-12) {
			t.Fatalf("%g, with the skyline %g° higher %g", f, more, g)
		}
		if !(f >= 0 && f <= 1) {
			t.Fatalf("view of %g", f)
		}
	})
}

func skyView(s terrain.Skyline, p Panel) float64 {
	k := newSky(s, false)
	return k.view(p)
}
