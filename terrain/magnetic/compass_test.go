package magnetic

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
)

var november = time.Date(2026, 11, 29, 23, 0, 0, 0, time.UTC)

// East declination is taken off, west is added: "east is least, west is best".
func TestBearingByCompass(t *testing.T) {
	for _, c := range []struct{ declination, trueDeg, want float64 }{
		{10, 90, 80}, {-10, 90, 100}, {-6, 357, 3}, {6, 3, 357}, {0, 359.96, 0}, {0.04, 0, 0},
		{0.04, -0.001, 0}, {-360, 0, 0}, {-179.9, 359, 178.9},
		{180, 0, 180}, {5.26, 360, 354.7},
	} {
		got := Compass{DeclinationDeg: c.declination}.BearingDeg(c.trueDeg)
		if !(math.Abs(got-c.want) < 1e-9) || math.Signbit(got) || got >= 360 {
			t.Errorf("true %g, declination %g: %g, want %g", c.trueDeg, c.declination, got, c.want)
		}
	}
}

func TestNotes(t *testing.T) {
	middle := orb.Point{10, 50}
	for _, c := range []struct {
		at    orb.Point
		when  time.Time
		known bool
		words []string
	}{
		{middle, november, true, []string{"2026-11", "valid to 2030-01-01", "steel", "true - "}},
		{orb.Point{-84, 36}, november, true, []string{"true + "}},
		{orb.Point{-96, 80}, november, true, []string{"near a magnetic pole", "many degrees"}},
		{orb.Point{139.3, 85.76}, november, false, []string{"unknown", "magnetic pole", "2000 nT"}},
		{middle, time.Date(2029, 12, 31, 0, 0, 0, 0, time.UTC), true, []string{"2029-12"}},
		{middle, time.Date(2030, 1, 2, 0, 0, 0, 0, time.UTC), false, []string{"unknown", "to 2030-01-01, not for 2030-01"}},
		{middle, time.Date(2024, 12, 31, 0, 0, 0, 0, time.UTC), false, []string{"unknown", "not for 2024-12"}},
		{middle, time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC), true, []string{"2025-01"}},
		{orb.Point{10, 91}, november, false, []string{"unknown", "lat_deg"}},
	} {
		compass := NewCompass(c.at, c.when)
		if compass.Known() != c.known || (compass.Unknown() == "") != c.known {
			t.Errorf("%v %v: known %v, unknown %q", c.at, c.when, compass.Known(), compass.Unknown())
		}
		for _, word := range c.words {
			if !strings.Contains(compass.Turn(), word) {
				t.Errorf("%v %v: no %q in %q", c.at, c.when, word, compass.Turn())
			}
		}
	}
	if none := NewCompass(middle, time.Time{}); none.Known() || none.Note()+none.Turn()+none.Unknown()+none.Month() != "" {
		t.Errorf("without a date: %+v", none)
	}
}

// The first day of a month and its last say the same.
func TestAMonthIsOneAnswer(t *testing.T) {
	at := orb.Point{10, 50}
	first := NewCompass(at, time.Date(2026, 11, 1, 0, 0, 0, 0, time.UTC))
	if last := NewCompass(at, november); first != last {
		t.Errorf("%+v and %+v", first, last)
	}
	if next := NewCompass(at, november.AddDate(0, 1, 0)); next == first {
		t.Error("December is November")
	}
}

func TestWorst(t *testing.T) {
	usable, weak := NewCompass(orb.Point{10, 50}, november), NewCompass(orb.Point{-96, 80}, november)
	blind := NewCompass(orb.Point{139.3, 85.76}, november)
	for _, c := range []struct {
		list []Compass
		want Compass
	}{
		{nil, Compass{}}, {[]Compass{usable}, usable}, {[]Compass{usable, weak}, weak}, {[]Compass{weak, usable}, weak},
		{[]Compass{weak, blind, usable}, blind}, {[]Compass{blind, weak}, blind}, {[]Compass{{}, usable}, usable},
	} {
		if got := Worst(c.list...); got != c.want {
			t.Errorf("%+v of %+v", got, c.list)
		}
	}
}
