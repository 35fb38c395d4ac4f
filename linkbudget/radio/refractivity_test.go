package radio_test

import (
	"math"
	"path/filepath"
	"testing"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/internal/official"
	"github.com/polereach/polereach/linkbudget/radio"
)

// air is a reference atmosphere of ITU-R P.835-6 annex 1 up to 8 km: polynomials of the height
// in km, the last one of the logarithm of the water vapour's density to its ground value.
type air struct {
	kelvin, hPa []float64
	gPerM3      float64
	log         []float64
}

// The coefficients of §2, 3.1, 3.2, 4.1 and 4.2, from memory, compared with those of ITU-Rpy.
var (
	low = air{[]float64{300.4222, -6.3533, 0.005886}, []float64{1012.0306, -109.0338, 3.6316}, 19.6542,
		[]float64{0, -0.2313, -0.1122, 0.01351, -0.0005923}}
	midSummer = air{[]float64{294.9838, -5.2159, -0.07109}, []float64{1012.8186, -111.5569, 3.8646}, 14.3542,
		[]float64{0, -0.4174, -0.02290, 0.001007}}
	midWinter = air{[]float64{272.7241, -3.6217, -0.1759}, []float64{1018.8627, -124.2954, 4.8307}, 3.4742,
		[]float64{0, -0.2697, -0.03604, 0.0004489}}
	highSummer = air{[]float64{286.8374, -4.7805, -0.1402}, []float64{1008.0278, -113.2494, 3.9408}, 8.988,
		[]float64{0, -0.3614, -0.005402, -0.001955}}
	highWinter = air{[]float64{257.4345, 2.3474, -1.5479, 0.08473}, []float64{1010.8828, -122.2411, 4.554}, 1.2319,
		[]float64{0, 0.07481, -0.0981, 0.00281}}
)

func polynomial(c []float64, x float64) (sum float64) {
	for i := len(c) - 1; i >= 0; i-- {
		sum = sum*x + c[i]
	}
	return sum
}

// refractivity is N of ITU-R P.453-14 eq (6), the vapour's pressure by P.835 (density T/216.7).
func (a air) refractivity(km float64) float64 {
	kelvin, hPa := polynomial(a.kelvin, km), polynomial(a.hPa, km)
	vapour := a.gPerM3 * math.Exp(polynomial(a.log, km)) * kelvin / 216.7
	return 77.6 / kelvin * (hPa + 4810*vapour/kelvin)
}

// The three belts, at the middle of each: 0 to 22, 22 to 45, 45 to 90 degrees.
var belts = []struct {
	latDeg  float64
	seasons []air
}{{11, []air{low}}, {33.5, []air{midSummer, midWinter}}, {67.5, []air{highSummer, highWinter}}}

// mean is N0 and ΔN of a belt.
func mean(belt int) (n0, lapse float64) {
	seasons := belts[belt].seasons
	for _, a := range seasons {
		n0 += a.refractivity(0) / float64(len(seasons))
		lapse += (a.refractivity(0) - a.refractivity(1)) / float64(len(seasons))
	}
	return n0, lapse
}

func TestSurfaceRefractivityIsThatOfTheAtmospheres(t *testing.T) {
	for i, b := range belts {
		n0, lapse := mean(i)
		t.Logf("%g degrees: N0 %.1f, ΔN %.1f, k %.3f", b.latDeg, n0, lapse, 157/(157-lapse))
		for _, sign := range []float64{1, -1} {
			check.At(t, "N0", sign*b.latDeg, radio.SurfaceRefractivity(sign*b.latDeg), n0, 0.05)
		}
	}
	check.Near(t, "the equator", radio.SurfaceRefractivity(0), radio.SurfaceRefractivity(11), 0)
	check.Near(t, "a pole", radio.SurfaceRefractivity(90), radio.SurfaceRefractivity(67.5), 0)
	check.Near(t, "between", radio.SurfaceRefractivity(50.5), (331+319.8)/2, 0.01)
}

// What the official cases state for their places, 40 to 54 degrees north, out of the maps of
// P.453: the belts come nearer than one figure for the world.
func TestSurfaceRefractivityOfOfficialPlaces(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(official.Folder(t, "p452"), "results", "test_result_*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	stated := map[[3]float64]bool{} // latitude, N0, ΔN
	for _, file := range files {
		rows := official.Rows(t, file)
		v := map[string]float64{}
		for i, key := range rows[0] {
			switch key {
			case "phit_n (deg)", "phir_n (deg)", "N0", "DN":
				v[key] = official.Number(t, rows[1][i])
			}
		}
		stated[[3]float64{(v["phit_n (deg)"] + v["phir_n (deg)"]) / 2, v["N0"], v["DN"]}] = true
	}
	for _, c := range official.P1812(t) {
		stated[[3]float64{c.Value["phi (deg)"], c.Value["N0"], c.Value["DN"]}] = true
	}
	var table, constant, lapseTable, lapseConstant float64
	_, mid := mean(1)
	_, high := mean(2)
	for place := range stated {
		off := radio.SurfaceRefractivity(place[0]) - place[1]
		t.Logf("%.2f degrees: N0 %.1f, by belts %+.1f, by 325 %+.1f", place[0], place[1], off, 325-place[1])
		check.At(t, "N0", place[0], radio.SurfaceRefractivity(place[0]), place[1], 5) // 0.75 dB of scatter
		lapse := mid + (high-mid)*(place[0]-belts[1].latDeg)/(belts[2].latDeg-belts[1].latDeg) - place[2]
		t.Logf("ΔN %.1f, by belts %+.1f, by 39 %+.1f", place[2], lapse, 39-place[2])
		lapseTable += lapse * lapse / float64(len(stated))
		lapseConstant += (39 - place[2]) * (39 - place[2]) / float64(len(stated))
		table += off * off / float64(len(stated))
		constant += (325 - place[1]) * (325 - place[1]) / float64(len(stated))
	}
	t.Logf("%d places: off by %.1f, by 325 %.1f N-units (RMS); ΔN by %.1f, by 39 %.1f", len(stated),
		math.Sqrt(table), math.Sqrt(constant), math.Sqrt(lapseTable), math.Sqrt(lapseConstant))
	if !(len(stated) >= 8 && table < constant) {
		t.Error("325 for the world is nearer")
	}
}
