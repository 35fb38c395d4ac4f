package mesh_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// level is ground of 100 m everywhere but in a void east of 10.30.
type level struct{ fail error }

func (level) Extent() terrain.Extent {
	return terrain.Extent{Bound: orb.Bound{Min: orb.Point{9, 49}, Max: orb.Point{11, 51}}, StepLonDeg: 0.001,
		StepLatDeg: 0.001}
}

func (l level) Heights(at []orb.Point, heightM []float64, flag []terrain.Flag) error {
	for i := range at {
		heightM[i], flag[i] = 100, terrain.Ground
		if at[i].Lon() > 10.30 {
			heightM[i], flag[i] = 0, terrain.Void
		}
	}
	return l.fail
}

func station(name string, lon float64) plan.Station {
	return plan.Station{Name: name, At: orb.Point{lon, 50}}
}

func wanted(from, to string, required bool) plan.Link {
	return plan.Link{From: from, To: to, Required: required}
}

// Poles on one parallel; 0.01 degrees of longitude are about 717 m there.
func row() *plan.Plan {
	return &plan.Plan{Stations: []plan.Station{station("Ash", 10), station("Birch", 10.01), station("Cedar", 10.20),
		station("Dogwood", 10.35), station("Elder", 10.9)}}
}

func settings() plan.Settings {
	st := linkbudget.DefaultStation("", 10)
	st.Surroundings.Inside = clutter.Free // counted here is what reaches, not why
	return plan.Settings{Station: st, Environment: linkbudget.Environment{
		FreqHz: 868e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1},
		Terrain: diffraction.TerrainError{SigmaM: 0.3}, // the ground is known: it is made up
	}}
}

func check(t *testing.T, p *plan.Plan, pole string, opt mesh.SiteOptions) *mesh.Site {
	t.Helper()
	st, ok := p.Station(pole)
	if !ok {
		t.Fatalf("no station %q", pole)
	}
	site, err := mesh.CheckSite(context.Background(), p, *st, level{}, opt)
	if err != nil {
		t.Fatal(err)
	}
	return site
}

func summary(s *mesh.Site) string {
	var b strings.Builder
	for _, l := range s.Links {
		fmt.Fprintf(&b, "%s %s required %v wanted %v\n", l.Neighbour.Name, l.Verdict, l.Required, l.Wanted)
	}
	fmt.Fprintf(&b, "%s %d reached, %d of %d required, beyond %v", s.Verdict, s.Reached, s.RequiredReached,
		s.RequiredCount, s.Beyond)
	return b.String()
}

func TestSiteOrdersAndCounts(t *testing.T) {
	p := row()
	p.Links = []plan.Link{wanted("Cedar", "Ash", true), wanted("Ash", "Elder", false), wanted("Birch", "Cedar", true)}
	got := summary(check(t, p, "Ash", mesh.SiteOptions{Settings: settings(), RangeM: 20e3}))
	want := `Cedar reaches required true wanted true
Birch reaches required false wanted false
Elder unknown required false wanted true
reaches 2 reached, 1 of 1 required, beyond [Dogwood]`
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestSiteVerdict(t *testing.T) {
	deaf := settings()
	deaf.Station.TxDBm = -30
	for name, c := range map[string]struct {
		links   []plan.Link
		atLeast int
		s       plan.Settings
		want    linkbudget.Verdict
	}{
		"no link wanted, one is enough": {nil, 0, settings(), linkbudget.Reaches},
		"two wanted":                    {nil, 2, settings(), linkbudget.Reaches},
		"three wanted, one not judged":  {nil, 3, settings(), linkbudget.Unknown},
		"five wanted of four":           {nil, 5, settings(), linkbudget.Short},
		"required one not judged":       {[]plan.Link{wanted("Ash", "Dogwood", true)}, 0, settings(), linkbudget.Unknown},
		"required one fails, one unsure": {[]plan.Link{wanted("Ash", "Dogwood", true), wanted("Ash", "Cedar", true)}, 0,
			deaf, linkbudget.Short},
		"wanted is not required": {[]plan.Link{wanted("Ash", "Dogwood", false)}, 0, settings(), linkbudget.Reaches},
	} {
		t.Run(name, func(t *testing.T) {
			p := row()
			p.Links = c.links
			site := check(t, p, "Ash", mesh.SiteOptions{Settings: c.s, AtLeast: c.atLeast, RangeM: 100e3})
			if site.Verdict != c.want {
				t.Errorf("verdict %s, want %s\n%s", site.Verdict, c.want, summary(site))
			}
			if !site.HasUnknown() {
				t.Error("Dogwood stands in a void")
			}
		})
	}
}

func TestSiteIsTheSameForAnyWorkerCount(t *testing.T) {
	var first string
	for _, workers := range []int{1, 2, 8} {
		site := check(t, row(), "Ash", mesh.SiteOptions{Settings: settings(), RangeM: 100e3, Workers: workers})
		got := summary(site)
		for _, l := range site.Links {
			got += fmt.Sprint(l.LossDB, l.MarginDB, l.Terms)
		}
		if first == "" {
			first = got
		}
		if got != first {
			t.Errorf("%d workers:\n%s", workers, cmp.Diff(first, got))
		}
	}
}

func TestSiteRefuses(t *testing.T) {
	p := row()
	noHeight := settings()
	noHeight.Station.HeightM = 0
	h := 5.0
	p.Stations[0].HeightM = &h
	_, err := mesh.CheckSite(context.Background(), p, p.Stations[0], level{}, mesh.SiteOptions{Settings: noHeight,
		RangeM: 20e3})
	if err == nil || !strings.Contains(err.Error(), `"Birch"`) || !strings.Contains(err.Error(), `"Cedar"`) ||
		strings.Contains(err.Error(), `"Ash"`) {
		t.Errorf("heights missing at Birch and Cedar: %v", err)
	}
	broken := errors.New("disk on fire")
	_, err = mesh.CheckSite(context.Background(), p, p.Stations[0], level{fail: broken},
		mesh.SiteOptions{Settings: settings()})
	if !errors.Is(err, broken) {
		t.Errorf("terrain fails: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err = mesh.CheckSite(ctx, p, p.Stations[0], level{}, mesh.SiteOptions{Settings: settings()}); !errors.Is(err,
		context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

func ExampleCheckSite() {
	p, err := plan.Read("two.geojson", []byte(`{"type": "FeatureCollection", "features": [
		{"type": "Feature", "properties": {"name": "Ash", "height_m": 8}, "geometry": {"type": "Point", "coordinates": [10, 50]}},
		{"type": "Feature", "properties": {"name": "Birch", "height_m": 4}, "geometry": {"type": "Point", "coordinates": [10.1, 50]}}]}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	pole, _ := p.Station("Ash")
	site, err := mesh.CheckSite(context.Background(), p, *pole, level{}, mesh.SiteOptions{Settings: settings()})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range site.Links {
		fmt.Printf("%s: %.2f km, path %s, margin %.1f dB, %s\n", l.To, l.DistM/1000, l.Path, l.MarginDB, l.Verdict)
	}
	// Output:
	// Birch: 7.17 km, path grazing, margin 17.8 dB, reaches
}

// A plan put together by hand is looked at before anything is computed, and so is the
// pole that is none of the plan's.
func TestHandMadePlansAreChecked(t *testing.T) {
	ctx := context.Background()
	for name, want := range map[string]string{"inside": "dense urban", "latitude": "latitude 95",
		"twice": "again, allowed once"} {
		p := row()
		switch word := "dense urban"; name {
		case "inside":
			p.Stations[1].Inside = &word
		case "latitude":
			p.Stations[1].At[1] = 95
		case "twice":
			p.Stations[1].Name = "Cedar"
			p.Links = nil
		}
		_, err := mesh.Check(ctx, p, level{}, mesh.Options{SiteOptions: mesh.SiteOptions{Settings: settings()}})
		_, siteErr := mesh.CheckSite(ctx, p, p.Stations[0], level{}, mesh.SiteOptions{Settings: settings()})
		for _, err := range []error{err, siteErr} {
			var field *plan.FieldError
			if !errors.As(err, &field) || !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
	p := row()
	pole := plan.Station{At: orb.Point{10, math.Inf(1)}}
	if _, err := mesh.CheckSite(ctx, p, pole, level{}, mesh.SiteOptions{Settings: settings()}); err == nil ||
		!strings.Contains(err.Error(), `"the new pole": geometry.coordinates: found latitude +Inf`) {
		t.Error(err)
	}
	if _, err := mesh.Check(ctx, nil, level{}, mesh.Options{}); err == nil {
		t.Error("checked no plan")
	}
	if _, err := mesh.CheckSite(ctx, nil, pole, level{}, mesh.SiteOptions{}); err == nil {
		t.Error("checked a site of no plan")
	}
	opt := mesh.Options{SiteOptions: mesh.SiteOptions{Settings: settings(), Band: "eu999"}}
	opt.Settings.Environment.Family = 7
	if _, err := mesh.Check(ctx, p, level{}, opt); err == nil || !strings.Contains(err.Error(), "eu999") ||
		!strings.Contains(err.Error(), "family: found 7") {
		t.Errorf("unknown band and chips: %v", err)
	}
}
