package sun

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"
)

// straightSum is an independent chain: hour by hour, the sun at the middle of the
// hour by Spencer's equation of time and Cooper's declination, the beam square to
// it turned by the vector product, an evenly bright sky. It shares no function
// with Replay. A ridge hides the beam where the sun is under its height.
func straightSum(w *Weather, tiltDeg, azimuthDeg float64, ridge func(azDeg float64) float64,
	view float64) (wh float64) {
	r := math.Pi / 180
	phi := w.At[1] * r
	for i, h := range w.Hours {
		n := float64(i/24 + 1)
		b := 2 * math.Pi * (n - 1) / 365
		eot := 229.18 * (0.000075 + 0.001868*math.Cos(b) - 0.032077*math.Sin(b) - 0.014615*math.Cos(2*b) -
			0.04089*math.Sin(2*b))
		dec := 23.45 * r * math.Sin(2*math.Pi*(284+n)/365)
		solar := float64(i%24) + 0.5 - w.ZoneH + w.At[0]/15 + eot/60
		omega := (solar - 12) * 15 * r
		// East, north, up.
		sun := [3]float64{-math.Cos(dec) * math.Sin(omega),
			math.Sin(dec)*math.Cos(phi) - math.Cos(dec)*math.Cos(omega)*math.Sin(phi),
			math.Sin(dec)*math.Sin(phi) + math.Cos(dec)*math.Cos(omega)*math.Cos(phi)}
		face := [3]float64{math.Sin(tiltDeg*r) * math.Sin(azimuthDeg*r), math.Sin(tiltDeg*r) * math.Cos(azimuthDeg*r),
			math.Cos(tiltDeg * r)}
		dot := sun[0]*face[0] + sun[1]*face[1] + sun[2]*face[2]
		az := math.Mod(math.Atan2(sun[0], sun[1])/r+360, 360)
		if sun[2] > 0 && dot > 0 && math.Asin(sun[2])/r > ridge(az) {
			wh += h.BeamWM2 * dot
		}
		wh += h.DiffuseWM2*view + 0.2*h.GlobalWM2*(1-math.Cos(tiltDeg*r))/2
	}
	return wh
}

// The bar: annual energy within 5 % of the straight sum, flat and with hills.
func TestReplayAgainstStraightSum(t *testing.T) {
	for _, c := range []struct {
		s        station
		tilt, az float64
	}{
		{inland, 60, 180}, {inland, 0, 0}, {inland, 90, 90}, {inland, 30, 250},
		{station{orb.Point{-70, -33}, -4, 0}, 50, 0},   // south
		{station{orb.Point{0.5, 0.1}, 0, 0}, 10, 180},  // equator
		{station{orb.Point{179.5, -17}, 12, 0}, 20, 0}, // date line
		{station{orb.Point{20, 69}, 1, 0}, 75, 180},    // polar night
	} {
		w := mustReadEPW(t, c.s.epw(nil), WeatherOptions{})
		p := Panel{TiltDeg: c.tilt, AzimuthDeg: c.az}
		for name, ridge := range map[string]func(float64) float64{"flat": uniform(0), "wall": wall(12, 180),
			"valley": uniform(8)} {
			site := Site{At: c.s.at, Skyline: skylineOf(360, ridge)}
			got, err := Replay(site, p, w)
			if err != nil {
				t.Fatal(err)
			}
			sum := 0.0
			for i := range got.Days {
				sum += got.Days[i].PlaneWhM2()
			}
			want := straightSum(w, c.tilt, c.az, ridge, skyView(site.Skyline, p))
			near(t, fmt.Sprintf("%v, tilt %g towards %g, %s, kWh/m² a year", c.s.at, c.tilt, c.az, name), sum/1000, want/1000,
				0.05*want/1000)
			if name == "flat" {
				t.Logf("%v, tilt %g towards %g: %.1f kWh/m², straight sum %.1f (%+.2f %%)", c.s.at, c.tilt, c.az, sum/1000,
					want/1000, 100*(sum/want-1))
			}
		}
	}
}

// The days keep their order and their hours, and heat takes its part.
func TestReplayDays(t *testing.T) {
	w := mustReadEPW(t, inland.epw(nil), WeatherOptions{})
	site := Site{At: orb.Point{8.1, 46.1}}
	got, err := Replay(site, Panel{TiltDeg: 60, AzimuthDeg: 180}, w)
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Days) != 365 || !got.InOrder || got.Assumed {
		t.Errorf("%d days, in order %v, assumed %v", len(got.Days), got.InOrder, got.Assumed)
	}
	for i := range got.Days {
		d := &got.Days[i]
		if dull := i%3 == 1; dull != (d.PlaneWhM2() < 2500) {
			t.Errorf("day %d (dull %v): %.0f Wh/m²", i, dull, d.PlaneWhM2())
		}
		if y := d.YieldWhPerWp(); !(y > 0 && y <= d.PlaneWhM2()/1000+1e-12) {
			t.Errorf("day %d: yield %g of %g", i, y, d.PlaneWhM2()/1000)
		}
		for h := range d.Hours {
			if want := w.Hours[i*24+h]; d.Hours[h].AirK != want.AirK || d.Hours[h].GlobalWM2 != want.GlobalWM2 {
				t.Fatalf("day %d, hour %d: %+v, file %+v", i, h, d.Hours[h], want)
			}
		}
	}
	hours, err := SunHours(site, 2025)
	if err != nil {
		t.Fatal(err)
	}
	m := got.Monthly(got)
	sum := 0.0
	for i := 31; i < 59; i++ {
		sum += got.Days[i].PlaneWhM2()
	}
	feb := m.Months[time.February-1]
	near(t, "mean day of February", feb.PlaneWhM2, sum/28, 1e-6)
	if feb.FreeWhM2 != feb.PlaneWhM2 || !(hours[1].SeenH > 9 && hours[1].SeenH < 11.5) ||
		!(feb.AirLowK < feb.AirK && feb.AirK < feb.AirHighK) {
		t.Errorf("February %+v", feb)
	}
}

func TestReplayRefusals(t *testing.T) {
	w := mustReadEPW(t, inland.epw(nil), WeatherOptions{})
	far := Site{At: orb.Point{20, 46}}
	if _, err := Replay(far, Panel{}, w); err == nil {
		t.Error("weather of a place 900 km away: no error")
	}
	if _, err := Replay(Site{At: inland.at}, Panel{TiltDeg: -5}, nil); err == nil {
		t.Error("no weather: no error")
	}
	short := *w
	short.Hours = short.Hours[:8000]
	if _, err := Replay(Site{At: inland.at}, Panel{}, &short); err == nil {
		t.Error("8000 hours: no error")
	}
	holed := *w
	holed.Hours = append([]WeatherHour{}, w.Hours...)
	holed.Hours[77].BeamWM2 = math.NaN()
	if _, err := Replay(Site{At: inland.at}, Panel{}, &holed); err == nil {
		t.Error("a NaN by hand: no error")
	}
}
