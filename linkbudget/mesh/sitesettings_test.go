package mesh_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
)

func TestLinkSettingsOverride(t *testing.T) {
	sf, bw, freq := 12, 41.7, 433.5
	p := row()
	p.Links = []plan.Link{{From: "Ash", To: "Birch", SF: &sf, BWKHz: &bw, FreqMHz: &freq, Required: true}}
	site := check(t, p, "Ash", mesh.SiteOptions{Settings: settings()})
	env := site.Links[0].Environment
	if env.Modem.SF != 12 || env.FreqHz != 433.5e6 || !(math.Abs(env.Modem.BWHz-500e3/12) < 1e-6) {
		t.Errorf("environment %+v", env)
	}
	if other := site.Links[1].Environment; other.Modem.SF != 9 || other.FreqHz != 868e6 {
		t.Errorf("another link: %+v", other)
	}
}

func TestStationsOfTheirOwn(t *testing.T) {
	p := row()
	h, tx, rise, hardware := 3.5, 20.0, 6.0, 1.5
	p.Stations[1].HeightM, p.Stations[1].TxDBm, p.Stations[1].NoiseRiseDB = &h, &tx, &rise
	p.Stations[1].HardwareDB = &hardware
	l := check(t, p, "Ash", mesh.SiteOptions{Settings: settings()}).Links[0]
	if l.HeightAM != 10 || l.HeightBM != 3.5 || l.Backward.TxDBm != 20 {
		t.Errorf("heights %g and %g, power %v", l.HeightAM, l.HeightBM, l.Backward.TxDBm)
	}
	lost := map[string]linkbudget.DB{}
	for _, item := range l.Forward.Items {
		lost[item.Name] = -item.DB
	}
	if lost["transmitter hardware"] != linkbudget.DefaultHardwareDB || lost["receiver hardware"] != 1.5 {
		t.Errorf("hardware loses %v", lost)
	}
	if rise := l.Forward.NoiseDBm.Sub(l.Backward.NoiseDBm); !(math.Abs(float64(rise)-6) < 1e-9) {
		t.Errorf("noise at Birch is %v dB higher, want 6", rise)
	}
}

// Faults that only show when a station meets the settings are told for all
// links, once each and in the order of the links, whatever runs first.
func TestSiteTellsEveryContradictionOnce(t *testing.T) {
	p := row()
	suburban, woodM := "suburban", 50.0
	p.Stations[0].Inside, p.Stations[1].WoodM, p.Stations[2].Inside = &suburban, &woodM, &suburban
	for _, workers := range []int{1, 4} {
		opt := mesh.SiteOptions{Settings: settings(), Workers: workers}
		opt.Settings.Environment.Cover, opt.Settings.Environment.BareEarth = clutter.Suburban, true
		_, err := mesh.CheckSite(context.Background(), p, p.Stations[0], level{}, opt)
		if err == nil {
			t.Fatal("no error")
		}
		lines := strings.Split(err.Error(), "\n")
		if len(lines) != 3 {
			t.Errorf("%d workers: %d lines, want one for each of three stations:\n%v", workers, len(lines), err)
		}
		for i, name := range []string{"Ash", "Birch", "Cedar"} {
			if i < len(lines) && !(strings.Contains(lines[i], fmt.Sprintf("station %q", name)) &&
				strings.Contains(lines[i], "clutter twice")) {
				t.Errorf("%d workers: line %d is %q, want station %s", workers, i, lines[i], name)
			}
		}
	}
}

// The town of the settings stands around ends of which the plan says nothing: what
// it states wins.
func TestStatedSurroundingsWinOverTheTown(t *testing.T) {
	p := row()
	free, suburban, woodM, lowM := "free", "suburban", 50.0, 5.0
	p.Stations[0].Inside, p.Stations[1].Inside, p.Stations[2].WoodM = &free, &suburban, &woodM
	p.Stations = append(p.Stations, station("Alder", 10.05))
	for i := range p.Stations {
		p.Stations[i].HeightM = &lowM
	}
	opt := mesh.SiteOptions{Settings: settings(), RangeM: 20e3}
	opt.Settings.Environment.TownPercent = 50
	opt.Settings.Station.Surroundings.Inside = clutter.Urban // the wood stands in its place, too
	for name, want := range map[string]string{"Birch": "suburban at Birch", "Cedar": "wood at Cedar",
		"Alder": "urban at Alder"} {
		var got []string
		for _, l := range check(t, p, "Ash", opt).Links {
			if l.Neighbour.Name == name {
				for _, term := range l.Terms[2:] {
					got = append(got, term.Name)
				}
			}
		}
		if d := cmp.Diff([]string{want}, got); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
	opt.Settings.Station.Surroundings.Inside = clutter.Unstated
	for _, l := range check(t, p, "Ash", opt).Links {
		if last := l.Terms[len(l.Terms)-1].Name; l.Neighbour.Name == "Alder" && last != "town at Alder" {
			t.Errorf("Alder stands in %s, want the town", last)
		}
	}
}

func TestTwoRadiosOnOnePole(t *testing.T) {
	p := row()
	p.Stations[1].At = p.Stations[0].At
	site := check(t, p, "Ash", mesh.SiteOptions{Settings: settings()})
	if len(site.Warnings) != 1 || !strings.Contains(site.Warnings[0], "Birch") {
		t.Errorf("warnings %q", site.Warnings)
	}
	for _, l := range site.Links {
		if l.Neighbour.Name == "Birch" {
			t.Error("Birch is still examined")
		}
	}
}
