package sun

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// places are corners of the world.
var places = map[string]orb.Point{
	"equator": {30, 0}, "south": {147, -43}, "date line": {180, 52}, "beyond it": {-179.9, -17},
	"polar circle": {25, 66.6}, "far north": {15, 78}, "far south": {0, -78}, "pole": {0, 90}, "south pole": {0, -90},
}

// Everywhere: numbers, nothing below 0, hills never help, a year of 365 days whose
// months have the means of the mean days.
func TestModelEverywhere(t *testing.T) {
	for name, at := range places {
		site := Site{At: at, Skyline: skylineOf(360, wall(20, 180))}
		p := Panel{TiltDeg: 60, AzimuthDeg: 180}
		c := DefaultClimate(at[1], 300)
		m, err := Monthly(site, p, c)
		if err != nil {
			t.Fatal(name, err)
		}
		d, err := Daily(site, p, c)
		if err != nil {
			t.Fatal(name, err)
		}
		hours, err := SunHours(site, referenceYear)
		if err != nil {
			t.Fatal(name, err)
		}
		if len(d.Days) != 365 || !d.Assumed || !m.Assumed || d.InOrder {
			t.Errorf("%s: %d days, assumed %v %v", name, len(d.Days), d.Assumed, m.Assumed)
		}
		for i, month := range m.Months {
			if !(month.PlaneWhM2 >= 0 && month.PlaneWhM2 <= month.FreeWhM2+1e-9 &&
				month.YieldWhPerWp <= month.PlaneWhM2/1000+1e-9 && month.YieldWhPerWp >= 0) ||
				!(hours[i].SeenH >= 0 && hours[i].SeenH <= hours[i].FreeH && hours[i].FreeH <= 24.01) {
				t.Errorf("%s, %v: %+v", name, month.Month, month)
			}
			sum, level := 0.0, 0.0
			for k := monthStart[i]; k < monthStart[i+1]; k++ {
				day := &d.Days[k]
				if day.Month != month.Month {
					t.Fatalf("%s: day %d is in %v", name, k, day.Month)
				}
				sum += day.PlaneWhM2()
				for h := range day.Hours {
					x := day.Hours[h]
					level += x.GlobalWM2
					if !(x.PlaneWM2 >= 0 && x.PlaneWM2 < 2000 && x.BeamWM2 >= 0 && x.BeamWM2 < 4000 && x.AirK > 180 && x.AirK < 330 &&
						x.YieldWPerWp >= 0) {
						t.Errorf("%s, day %d, hour %d: %+v", name, k, h, x)
					}
				}
			}
			days := float64(monthStart[i+1] - monthStart[i])
			if math.Abs(at[1]) < meanDayLatDeg {
				near(t, name+": days add up on level ground", level/days, month.GlobalWhM2, 1e-6*month.GlobalWhM2)
			}
			if month.GlobalWhM2 == 0 && sum != 0 {
				t.Errorf("%s, %v: %g Wh/m² in the polar night", name, month.Month, sum)
			}
		}
	}
}

// Night and day at the ends of the earth, by what everybody knows: at 78 N no sun
// in December, all day in June; at the equator 12.1 h throughout (refraction
// adds some minutes to the half day of the centre).
func TestSunHoursKnown(t *testing.T) {
	hours := func(at orb.Point) [12]MonthHours {
		h, err := SunHours(Site{At: at}, 2025)
		if err != nil {
			t.Fatal(err)
		}
		return h
	}
	north := hours(orb.Point{15, 78})
	if north[11] != (MonthHours{}) || north[0] != (MonthHours{}) {
		t.Errorf("78 N: December %+v, January %+v", north[11], north[0])
	}
	near(t, "78 N, June", north[5].FreeH, 24, 1e-6)
	for _, h := range hours(orb.Point{30, 0}) {
		near(t, "equator, h a day", h.FreeH, 12.07, 0.03)
		if h.FreeH != h.SeenH {
			t.Errorf("free horizon: %+v", h)
		}
	}
	// The seasons of the south are those of the north half a year on.
	south, same := hours(orb.Point{0, -40}), hours(orb.Point{0, 40})
	for i := range south {
		near(t, "40 S", south[i].FreeH, same[(i+6)%12].FreeH, 0.35)
	}
	// H16 by days: 46.5 N, 10 December, above a ridge of 15° all round; refraction
	// adds some minutes to the geometric 4.136 h. Compare Sunlit, less the disc.
	ring := Site{At: orb.Point{8, 46.5}, Skyline: skylineOf(360, uniform(15.2667))}
	day := time.Date(2025, 12, 10, 0, 0, 0, 0, time.UTC)
	got, err := Sunlit(ring, day, day.Add(24*time.Hour))
	if err != nil || len(got) != 1 {
		t.Fatal(got, err)
	}
	near(t, "hours above 15°", got[0].End.Sub(got[0].Start).Hours(), 4.136, 0.06)
}

// A gap in a wall lets the sun through twice; the sun sets behind a ridge before
// it sets over the level.
func TestSunlitOverSkyline(t *testing.T) {
	at := orb.Point{8, 46.5}
	day := time.Date(2025, 3, 20, 0, 0, 0, 0, time.UTC)
	of := func(elev func(float64) float64) []Interval {
		got, err := Sunlit(Site{At: at, Skyline: skylineOf(360, elev)}, day, day.Add(24*time.Hour))
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	if got := of(block(60, 150, 210)); len(got) != 2 {
		t.Errorf("a tower in the south: %v", got)
	}
	free, ridge := of(uniform(0)), of(block(10, 200, 330))
	if len(free) != 1 || len(ridge) != 1 || !ridge[0].End.Before(free[0].End.Add(-50*time.Minute)) ||
		ridge[0].Start != free[0].Start {
		t.Errorf("free %v, ridge in the west %v", free, ridge)
	}
	if got := of(uniform(80)); len(got) != 0 {
		t.Errorf("a well: %v", got)
	}
	june := time.Date(2025, 6, 1, 0, 0, 0, 0, time.UTC)
	if got, err := Sunlit(Site{At: orb.Point{20, 75}}, june, june.AddDate(0, 0, 20)); err != nil || len(got) != 1 ||
		got[0] != (Interval{june, june.AddDate(0, 0, 20)}) {
		t.Errorf("midnight sun: %v, %v", got, err)
	}
	if got, err := Sunlit(Site{At: orb.Point{20, 75}}, june.AddDate(0, 6, 0), june.AddDate(0, 6, 20)); err != nil ||
		len(got) != 0 {
		t.Errorf("polar night: %v, %v", got, err)
	}
}

// A panel that faces a wall to the zenith gets nothing but what the ground
// reflects; one whose skyline may hide more gets less when the worst is asked.
func TestWallAndWorst(t *testing.T) {
	p := Panel{TiltDeg: 90, AzimuthDeg: 180}
	c := DefaultClimate(46.5, 400)
	m, err := Monthly(Site{At: orb.Point{8, 46.5}, Skyline: skylineOf(360, block(90, 90, 270))}, p, c)
	if err != nil {
		t.Fatal(err)
	}
	for i, month := range m.Months {
		ground := month.GlobalWhM2 * 0.2 / 2 * 0.85
		near(t, "ground alone", month.PlaneWhM2, ground, 0.001*ground)
		if month.FreeWhM2 < 3*month.PlaneWhM2 {
			t.Errorf("month %d: %+v", i, month)
		}
	}
	s := skylineOf(360, uniform(3))
	for i := 120; i < 240; i++ {
		s.Directions[i].MostDeg = 30
		s.Directions[i].Flag = terrain.Outside
	}
	known, err1 := Monthly(Site{At: orb.Point{8, 46.5}, Skyline: s}, Panel{TiltDeg: 60, AzimuthDeg: 180}, c)
	worst, err2 := Monthly(Site{At: orb.Point{8, 46.5}, Skyline: s, Worst: true}, Panel{TiltDeg: 60, AzimuthDeg: 180}, c)
	if err1 != nil || err2 != nil || !(worst.Months[11].PlaneWhM2 < 0.8*known.Months[11].PlaneWhM2) {
		t.Errorf("December %g, at worst %g; %v %v", known.Months[11].PlaneWhM2, worst.Months[11].PlaneWhM2, err1, err2)
	}
}

// Means known to be of another place are refused like the weather of one.
func TestClimateOfAnotherPlace(t *testing.T) {
	c := DefaultClimate(46.5, 100)
	for _, at := range []orb.Point{{8, 46.5}, {8, 48}} {
		c.At = &at
		if _, err := Daily(Site{At: orb.Point{8, 46.5}}, workedPanel, c); err != nil {
			t.Errorf("%v: %v", at, err)
		}
	}
	for _, at := range []orb.Point{{-8, 46.5}, {8, 200}} {
		c.At = &at
		_, err := Monthly(Site{At: orb.Point{8, 46.5}}, workedPanel, c)
		if err == nil || !strings.Contains(err.Error(), "place") {
			t.Errorf("%v: %v", at, err)
		}
	}
}

// The default and its two ends hold wherever a pole may stand, the ice of the poles
// and the highest mountains too: no month is refused, no hour colder than any was.
func TestDefaultHoldsEverywhere(t *testing.T) {
	for _, lat := range []float64{-90, -78, 0, 46, 80} {
		for _, heightM := range []float64{-400, 3000, 8500} {
			dull, bright := DefaultRange(lat, heightM)
			for i, c := range []Climate{dull, bright, DefaultClimate(lat, heightM)} {
				year, err := Daily(Site{At: orb.Point{0, lat}}, workedPanel, c)
				if err != nil {
					t.Errorf("%g deg, %g m, climate %d: %v", lat, heightM, i, err)
					continue
				}
				for d := range year.Days {
					for h, x := range year.Days[d].Hours {
						if !(x.AirK > 273.15-90 && x.AirK < 273.15+70) {
							t.Fatalf("%g deg, %g m, climate %d, day %d, hour %d: air at %g K", lat, heightM, i, d, h, x.AirK)
						}
					}
				}
			}
		}
	}
}
