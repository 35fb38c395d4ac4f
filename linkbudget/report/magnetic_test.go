package report_test

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/magnetic"
)

// The magnetic bearings of a link are the true ones less the declination at the end they
// are seen from.
func TestMagneticBearings(t *testing.T) {
	v := siteObject(t, report.SiteOptions{Date: november})
	if note := v["magnetic"].(map[string]any); note["month"] != "2026-11" || note["valid_to"] != "2030-01-01" {
		t.Errorf("the date is %v", note)
	}
	s := site(t)
	for i, l := range v["links"].([]any) {
		link := l.(map[string]any)
		for _, end := range []struct {
			at              string
			of, trueBearing string
		}{{"A", "magnetic_deg", "azimuth_deg"}, {"B", "back_magnetic_deg", "back_azimuth_deg"}} {
			at := s.At.At
			if end.at == "B" {
				at = s.Links[i].Neighbour.At
			}
			deg, _, err := magnetic.Declination(at, 0, november)
			off := math.Remainder(link[end.trueBearing].(float64)-link[end.of].(float64)-deg, 360)
			if err != nil || !(math.Abs(off) <= 0.06) || deg < 3 || deg > 6 { // Germany's map: 4 to 5 east, from memory
				t.Errorf("%v, %s: true %v, magnetic %v, declination %.2f; %v", link["to"], end.at, link[end.trueBearing],
					link[end.of], deg, err)
			}
		}
	}
}

// Without a date nothing is told of a compass; beyond the model's years why not, with the
// true bearings as ever.
func TestBearingsWithoutAModel(t *testing.T) {
	for _, c := range []struct {
		date  time.Time
		words []string
		not   []string
	}{
		{time.Time{}, []string{" km deg path"}, []string{"mag", "compass"}},
		{november, []string{" km deg mag path", "for 2026-11, valid to 2030-01-01"}, []string{"unknown: the World"}},
		{november.AddDate(5, 0, 0), []string{" km deg path", "not for 2031-11"}, []string{"deg mag"}},
	} {
		var text bytes.Buffer
		if err := report.SiteText(&text, site(t), report.SiteOptions{Date: c.date}); err != nil {
			t.Fatal(err)
		}
		flat := strings.Join(strings.Fields(text.String()), " ")
		v := siteObject(t, report.SiteOptions{Date: c.date})
		flat += fmt.Sprint(v["magnetic"])
		for _, word := range c.words {
			if !strings.Contains(flat, word) {
				t.Errorf("%v: no %q in\n%s", c.date, word, text.String())
			}
		}
		for _, word := range c.not {
			if strings.Contains(flat, word) {
				t.Errorf("%v: %q in\n%s", c.date, word, text.String())
			}
		}
		_, has := v["links"].([]any)[0].(map[string]any)["magnetic_deg"]
		if known := strings.Contains(flat, "mag path"); has != known {
			t.Errorf("%v: JSON has magnetic_deg: %v", c.date, has)
		}
		if note, _ := v["magnetic"].(map[string]any); (note["unknown"] != nil) != (c.date.Year() > 2030) {
			t.Errorf("%v: %v", c.date, note)
		}
	}
}

// A path without places has no bearings of either kind.
func TestProfileWithoutPlacesHasNoCompass(t *testing.T) {
	s := site(t)
	one := report.Link{PathCheck: s.Links[0].PathCheck, A: s.Pole, B: s.Pole, Settings: s.Settings, Date: november}
	one.Profile = terrain.Profile{DistM: one.Profile.DistM, HeightM: one.Profile.HeightM}
	var text, object bytes.Buffer
	if err := report.LinkText(&text, one); err != nil {
		t.Fatal(err)
	}
	if err := report.LinkJSON(&object, one); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(text.String()+object.String(), "magnetic") {
		t.Errorf("%s\n%s", text.String(), object.String())
	}
}
