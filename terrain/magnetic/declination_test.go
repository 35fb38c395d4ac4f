package magnetic

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// dateOf is the day and hour of a decimal year.
func dateOf(year float64) time.Time {
	whole := math.Floor(year)
	begin := time.Date(int(whole), 1, 1, 0, 0, 0, 0, time.UTC)
	return begin.Add(time.Duration((year - whole) * float64(begin.AddDate(1, 0, 0).Sub(begin))))
}

// The official values of NOAA NCEI for the World Magnetic Model 2025, printed to 0.01
// degrees; see testdata/README.md of the project.
func TestOfficialDeclinations(t *testing.T) {
	file, err := os.Open("testdata/declination.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil || len(rows) != 17 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	worst := 0.0
	for _, row := range rows[1:] {
		var v [5]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		got, _, err := Declination(orb.Point{math.Remainder(v[3], 360), v[2]}, 1000*v[1], dateOf(v[0]))
		worst = max(worst, math.Abs(got-v[4]))
		if err != nil || !(math.Abs(got-v[4]) <= 0.00501) { // half the printed digit
			t.Errorf("%v: %.4f, want %g; %v", row, got, v[4], err)
		}
	}
	t.Logf("worst of 16: %.4f degrees", worst)
}

// All elements at one place, printed in the documentation of MATLAB's wrldmagm for its
// WMM2025: five digits of the components, four decimals of the declination.
func TestFieldAtNatick(t *testing.T) {
	natick := orb.Point{-71.35, 42.283}
	when := time.Date(2028, 7, 4, 0, 0, 0, 0, time.UTC)
	model, err := coefficients()
	if err != nil {
		t.Fatal(err)
	}
	f := model.field(natick, 1000, decimalYear(when)-epoch)
	deg, zone, err := Declination(natick, 1000, when)
	for _, c := range []struct {
		what            string
		got, want, half float64
	}{
		{"north", f.northNT, 20139, 0.5}, {"east", f.eastNT, -4905, 0.5}, {"down", f.downNT, 46532, 0.5},
		{"horizontal", math.Hypot(f.northNT, f.eastNT), 20727, 0.5}, {"declination", deg, -13.6891, 0.00005},
	} {
		if !(math.Abs(c.got-c.want) <= c.half) {
			t.Errorf("%s: %g, want %g", c.what, c.got, c.want)
		}
	}
	if zone != Usable || err != nil {
		t.Errorf("zone %v, %v", zone, err)
	}
}

// The north magnetic pole of 2025 lies at 85.76 N 139.30 E, the south one at 63.85 S 135.08 E
// (NOAA's table of model poles for the World Magnetic Model 2025, from memory): a compass is
// blind there. 1,500 km away it is of some use.
func TestZonesRoundThePoles(t *testing.T) {
	for _, c := range []struct {
		at   orb.Point
		want Zone
	}{
		{orb.Point{139.3, 85.76}, Blackout}, {orb.Point{135.08, -63.85}, Blackout},
		{orb.Point{0, 90}, Blackout}, {orb.Point{-96, 80}, Caution},
		{orb.Point{-84, 36}, Usable}, {orb.Point{10, 50}, Usable},
	} {
		deg, zone, err := Declination(c.at, 0, ValidFrom)
		if zone != c.want || err != nil || math.IsNaN(deg) {
			t.Errorf("%v: %v (%g), want %v; %v", c.at, zone, deg, c.want, err)
		}
	}
	for nt, want := range map[float64]Zone{0: Blackout, 1999: Blackout, 2000: Caution, 5999: Caution, 6000: Usable} {
		if got := zoneOf(nt); got != want {
			t.Errorf("%g nT: %v, want %v", nt, got, want)
		}
	}
}

func TestDeclinationRefuses(t *testing.T) {
	good := orb.Point{10, 50}
	for _, c := range []struct {
		at    orb.Point
		m     float64
		when  time.Time
		words string
	}{
		{orb.Point{181, 50}, 0, ValidFrom, "lon_deg"}, {orb.Point{10, math.NaN()}, 0, ValidFrom, "lat_deg"},
		{good, math.NaN(), ValidFrom, "height"}, {good, 9e5, ValidFrom, "height"},
		{good, 0, ValidFrom.Add(-1), "2024-12-31"}, {good, 0, ValidTo.Add(1), "2030-01-01"}, {good, 0, time.Time{}, "date"},
	} {
		_, _, err := Declination(c.at, c.m, c.when)
		if !errors.Is(err, fault.ErrInput) || !strings.Contains(err.Error(), c.words) {
			t.Errorf("%v %g %v: %v", c.at, c.m, c.when, err)
		}
	}
	for _, when := range []time.Time{ValidFrom, ValidTo} {
		if _, _, err := Declination(good, 0, when); err != nil {
			t.Error(err)
		}
	}
}

func TestCoefficientsAreWhole(t *testing.T) {
	for what, table := range map[string]string{
		"cut": wmm2025[:len(wmm2025)/2], "none": "", "of another order": strings.Replace(wmm2025, "\n3,1,", "\n3,2,", 1),
		"no number": strings.Replace(wmm2025, "\n3,1,", "\n3,1,x", 1),
	} {
		if _, err := read(table); err == nil {
			t.Errorf("%s: taken", what)
		}
	}
}

// What the comment of Declination says of a kilometre, on a grid of 5 by 15 degrees, where 0.0235
// is the most.
func TestAKilometreTurnsLittle(t *testing.T) {
	for lat := -90.0; lat <= 90; lat += 5 {
		for lon := -180.0; lon <= 180; lon += 15 {
			low, zone, err := Declination(orb.Point{lon, lat}, 0, ValidFrom)
			high, _, err2 := Declination(orb.Point{lon, lat}, 1000, ValidFrom)
			if err != nil || err2 != nil {
				t.Fatal(err, err2)
			}
			if off := math.Abs(math.Remainder(high-low, 360)); zone == Usable && off >= 0.03 {
				t.Errorf("%g %g: %.4f degrees", lon, lat, off)
			}
		}
	}
}

func BenchmarkDeclination(b *testing.B) {
	for b.Loop() {
		if _, _, err := Declination(orb.Point{-84, 36}, 300, ValidFrom); err != nil {
			b.Fatal(err)
		}
	}
}
