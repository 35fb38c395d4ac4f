package diffraction

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

// The ITU validation data used λ = 0.2998/f (P.1812, P.452).
const ituSpeedMS = 2.998e8

func smoothOver(dKm, hAM, hBM, aKm, fGHz float64, pol radio.Polarisation) smoothEarthPath {
	return smoothEarthPath{
		distM: dKm * 1e3, hAM: hAM, hBM: hBM, radiusM: aKm * 1e3,
		freqHz: fGHz * 1e9, wavelengthM: ituSpeedMS / (fGHz * 1e9), polarisation: pol,
	}
}

// Published rows: validation results of P.452-18 and P.1812-6, L_dsph with 8
// decimals; inputs are printed with fewer (a_e to 1e-6 km, h_std to 1e-6 m),
// hence 1e-4. Computed rows: by a separate program from the equations, 3
// decimals.
func TestSphericalEarthLoss(t *testing.T) {
	for _, row := range []struct {
		name      string
		path      smoothEarthPath
		want, tol float64
	}{
		// 5k. P.452-18, flat_land_5km. Line of sight inside 0.55 F1 up to 1 GHz.
		{"P.452 flat 5 km 0.5 GHz", smoothOver(5, 10, 10, 8738.167287, 0.5, radio.Vertical), 7.30775532, 1e-4},
		{"P.452 flat 5 km 0.75 GHz", smoothOver(5, 10, 10, 8738.167287, 0.75, radio.Vertical), 4.11082622, 1e-4},
		{"P.452 flat 5 km 1 GHz", smoothOver(5, 10, 10, 8738.167287, 1, radio.Vertical), 1.75163653, 1e-4},
		{"P.452 flat 5 km 2 GHz", smoothOver(5, 10, 10, 8738.167287, 2, radio.Vertical), 0, 0},
		// 5l. P.452-18, flat_land_100km. Beyond the horizon.
		{"P.452 flat 100 km 0.5 GHz", smoothOver(100, 10, 10, 8735.511968, 0.5, radio.Vertical), 76.11124705, 1e-4},
		{"P.452 flat 100 km 0.75 GHz", smoothOver(100, 10, 10, 8735.511968, 0.75, radio.Vertical), 81.15092705, 1e-4},
		{"P.452 flat 100 km 1 GHz", smoothOver(100, 10, 10, 8735.511968, 1, radio.Vertical), 85.58724637, 1e-4},
		{"P.452 flat 100 km 2.5 GHz", smoothOver(100, 10, 10, 8735.511968, 2.5, radio.Vertical), 105.22322083, 1e-4},
		// 5m. P.452-18, land_70km, heights from the printed h_ts - h_std, h_rs - h_srd.
		{"P.452 land 70 km 0.75 GHz", smoothOver(69.940429, 837-806.386719, 702-673.064055, 9022.617660, 0.75, radio.Horizontal), 36.18587747, 1e-3},
		{"P.452 land 70 km 1 GHz", smoothOver(69.940429, 837-806.386719, 702-673.064055, 9022.617660, 1, radio.Horizontal), 37.22314858, 1e-3},
		// 5n, 5o. P.1812-6, rburg with urban clutter, likewise from h_std and h_srd.
		{"P.1812 rburg 1 GHz", smoothOver(96.2, 407-362.5381701, 515-495.9202499, 8930.776786, 1, radio.Horizontal), 59.34616226, 1e-4},
		// 5p, 5q. Computed.
		{"computed 10 km H", smoothOver(10, 10, 10, 8500, 0.868, radio.Horizontal), 9.811, 0.002},
		{"computed 10 km V", smoothOver(10, 10, 10, 8500, 0.868, radio.Vertical), 9.816, 0.002},
		{"computed 30 km V", smoothOver(30, 10, 10, 8500, 0.868, radio.Vertical), 28.115, 0.002},
		{"computed 50 km V", smoothOver(50, 10, 10, 8500, 0.868, radio.Vertical), 43.581, 0.002},
		{"computed 5 km 2 m V", smoothOver(5, 2, 2, 8500, 0.868, radio.Vertical), 29.699, 0.002},
		{"computed 1 km 1 m V", smoothOver(1, 1, 1, 8500, 0.868, radio.Vertical), 26.804, 0.002},
	} {
		check.At(t, "L_dsph", row.name, float64(row.path.loss()), row.want, row.tol)
	}
}

// The interior steps of row 5p, computed: h_se, then symmetric at mid-path, so
// that by hand h_se = 10 - 5000²/(2·8.5e6) = 8.5294 m.
func TestSphericalEarthClearance(t *testing.T) {
	p := smoothOver(10, 10, 10, 8500, 0.868, radio.Horizontal)
	h, d1, d2 := p.clearance()
	check.At(t, "h_se", "5p", h, 10-5000.0*5000/(2*8.5e6), 1e-12)
	check.At(t, "d_se1", "5p", d1, 5000, 1e-9)
	check.At(t, "d_se2", "5p", d2, 5000, 1e-9)

	// Flat earth: the ray comes nearest, in the sense of a reflection, where the
	// heights divide the path: d1 = d hA/(hA+hB). There h_se = 2 hA hB/(hA+hB).
	p = smoothOver(10, 5, 15, math.Inf(1), 0.868, radio.Horizontal)
	h, d1, _ = p.clearance()
	check.At(t, "d_se1", "flat", d1, 2500, 1e-9)
	check.At(t, "h_se", "flat", h, 7.5, 1e-12)
}

// d_se1 and d_se2 are where incidence equals reflection over the sphere; eq 24
// is the root of the cubic which says that. Check it against the geometry.
func TestSphericalEarthReflectionPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := smoothOver(
			rapid.Float64Range(0.01, 60).Draw(t, "d"),
			rapid.Float64Range(0.1, 300).Draw(t, "hA"),
			rapid.Float64Range(0.1, 300).Draw(t, "hB"), 8500, 0.868, radio.Vertical)
		if p.distM >= math.Sqrt(2*p.radiusM)*(math.Sqrt(p.hAM)+math.Sqrt(p.hBM)) {
			t.Skip("beyond the horizon")
		}
		_, d1, d2 := p.clearance()
		// Grazing angle from each side, small angles: h/d - d/2a.
		fromA, fromB := p.hAM/d1-d1/(2*p.radiusM), p.hBM/d2-d2/(2*p.radiusM)
		if !(math.Abs(fromA-fromB) <= 1e-9*(1+math.Abs(fromA))) || !(d1 > 0) || !(d2 > 0) {
			t.Errorf("grazing angles %g and %g at %g m, %g m", fromA, fromB, d1, d2)
		}
	})
}

// Each rule meets its neighbour: at the horizon, and at the clearance where the
// loss ends.
func TestSphericalEarthContinuity(t *testing.T) {
	for _, h := range []float64{1, 10, 50} {
		p := smoothOver(0, h, 2*h, 8500, 0.868, radio.Vertical)
		horizonM := math.Sqrt(2*p.radiusM) * (math.Sqrt(p.hAM) + math.Sqrt(p.hBM))
		p.distM = horizonM * (1 - 1e-9)
		inside := p.loss()
		p.distM = horizonM * (1 + 1e-9)
		check.At(t, "L_dsph around the horizon", h, float64(inside), float64(p.loss()), 1e-5)
	}
	// Nearer in the loss falls to zero; no step larger than the fine steps explain.
	last := 40.0
	p := smoothOver(40, 10, 20, 8500, 0.868, radio.Vertical)
	previous := float64(p.loss())
	for d := 40.0; d > 0.05; d -= 0.001 {
		p.distM = d * 1e3
		now := float64(p.loss())
		if !(now <= previous+0.02) || !(previous-now <= 0.05) {
			t.Fatalf("L_dsph steps from %g dB at %g km to %g dB at %g km", previous, last, now, d)
		}
		previous, last = now, d
	}
	check.At(t, "L_dsph", "50 m", previous, 0, 0)
}

// Where the two branches of F(X) and G(Y) meet; the step of G is in the text:
// 17.6·sqrt(0.9) - 5 log 0.9 - 8 = 8.926 against 20 log 2.8 = 8.943.
func TestFirstTermBranches(t *testing.T) {
	check.At(t, "F", 1.6, distanceTerm(1.6), distanceTerm(1.6-1e-12), 0.01)
	check.At(t, "G", 2.0, heightGain(2+1e-12), 8.926, 0.001)
	check.At(t, "G", 2.0, heightGain(2), 8.943, 0.001)
}

// Over sea a vertical wave loses less than a horizontal one, and over land the
// polarisations agree within 0.1 dB at 868 MHz (P.526-15 §3.2: β = 1, K small).
// Land and sea mix linearly, eq 28.
func TestSphericalEarthGround(t *testing.T) {
	v, h := smoothOver(50, 10, 10, 8500, 0.1, radio.Vertical), smoothOver(50, 10, 10, 8500, 0.1, radio.Horizontal)
	land := v.loss()
	v.seaFraction, h.seaFraction = 1, 1
	sea := v.loss()
	if !(sea < h.loss()-1) {
		t.Errorf("over sea vertical %g dB, horizontal %g dB", sea, h.loss())
	}
	v.seaFraction = 0.3
	check.At(t, "mixed", 0.3, float64(v.loss()), 0.7*float64(land)+0.3*float64(sea), 1e-9)

	a, b := smoothOver(50, 10, 10, 8500, 0.868, radio.Vertical), smoothOver(50, 10, 10, 8500, 0.868, radio.Horizontal)
	check.At(t, "V against H over land", "868 MHz", float64(a.loss()), float64(b.loss()), 0.1)

	// 30 MHz, antennas on the sea: the first term alone would be a gain.
	low := smoothOver(2.7, 0.1, 0.1, 8500, 0.03, radio.Vertical)
	low.seaFraction = 1
	if first, got := low.firstTerm(low.radiusM), low.loss(); !(first < 0) || got != 0 {
		t.Errorf("first term %g dB, loss %g dB; want a negative one and 0", first, got)
	}
}

// Where the path is plainly clear, the place of least clearance is clear too, and
// the antennas see each other over the horizon; and it says so where it should.
func TestPlainlyClear(t *testing.T) {
	plain := 0
	rapid.Check(t, func(t *rapid.T) {
		height := func(name string) float64 { return math.Pow(10, rapid.Float64Range(-1, 3).Draw(t, name)) }
		p := smoothEarthPath{
			distM: math.Pow(10, rapid.Float64Range(2, 5).Draw(t, "log d")), hAM: height("log hA"), hBM: height("log hB"),
			radiusM:     rapid.SampledFrom([]float64{4e6, 8.5e6, math.Inf(1)}).Draw(t, "a"),
			wavelengthM: math.Pow(10, rapid.Float64Range(-1, 0.5).Draw(t, "log λ")),
		}
		if !p.plainlyClear() {
			return
		}
		plain++
		clearM, d1, d2 := p.clearance()
		if neededM := 0.552 * math.Sqrt(d1*d2*p.wavelengthM/p.distM); !(clearM >= neededM*(1-1e-9)) {
			t.Fatalf("%+v: %g m clear at %g m, needed %g m", p, clearM, d1, neededM)
		}
		if farM := math.Sqrt(2*p.radiusM*p.hAM) + math.Sqrt(2*p.radiusM*p.hBM); !(p.distM < farM) {
			t.Fatalf("%+v: beyond the horizon at %g m", p, farM)
		}
	})
	if plain == 0 {
		t.Error("no clear path was drawn")
	}
	// Equal antennas over flat ground: the bound is the exact limit, 0.276 sqrt(λ d).
	limitM := 0.552 / 2 * math.Sqrt(0.33*10e3)
	for _, c := range []struct {
		heightM float64
		want    bool
	}{{limitM * 1.001, true}, {limitM * 0.999, false}} {
		p := smoothEarthPath{distM: 10e3, hAM: c.heightM, hBM: c.heightM, radiusM: math.Inf(1), wavelengthM: 0.33}
		if got := p.plainlyClear(); got != c.want {
			t.Errorf("antennas at %g m: plainly clear %v, want %v", c.heightM, got, c.want)
		}
	}
}
