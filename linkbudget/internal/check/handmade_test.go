package check_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/fading"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/sun"
)

// Values put together by hand are refused alike, each by a type that can be asked for.
func TestValuesMadeByHand(t *testing.T) {
	field := func(f string) string { return "field " + f }
	with := func(change func(*linkbudget.Station, *linkbudget.Environment)) error {
		s, env := station, good[linkbudget.Environment]()
		change(&s, &env)
		p := good[terrain.Profile]()
		_, err := linkbudget.Evaluate(p, s, station, env)
		_, inMesh := mesh.CheckProfile(p, s, station, mesh.SiteOptions{Settings: plan.Settings{Environment: env}})
		opt := good[coverage.Options]()
		opt.Environment, opt.Receiver = env, s
		_, inArea := coverage.Sweep(ctx, station, here, hilly(), opt)
		sites := good[siting.Options]()
		sites.Environment, sites.Candidate = env, s
		_, inSearch := siting.Search(ctx, hilly(), sites)
		for room, e := range map[string]error{"mesh": inMesh, "coverage": inArea, "siting": inSearch} {
			if !errors.Is(e, fault.ErrInput) {
				t.Errorf("%s takes what linkbudget refuses with %v: %v", room, err, e)
			}
		}
		return err
	}
	for _, c := range []struct {
		name, want string
		err        error
	}{
		{"polarisation", field("polarisation"), with(func(s *linkbudget.Station, _ *linkbudget.Environment) { s.Polarisation = 9 })},
		{"inside", field("inside"), with(func(s *linkbudget.Station, _ *linkbudget.Environment) { s.Surroundings.Inside = clutter.Class(99) })},
		{"beam", field("beam"), with(func(s *linkbudget.Station, _ *linkbudget.Environment) { s.Antenna.Beam = 99 })},
		{"coax by name only", "", with(func(s *linkbudget.Station, _ *linkbudget.Environment) {
			s.Feeder = antenna.Feeder{Coax: antenna.Coax{Name: "RG58/U"}, LengthM: 10}
		})},
		{"cover", field("cover"), with(func(_ *linkbudget.Station, e *linkbudget.Environment) { e.Cover, e.BareEarth = 99, true })},
		{"fading", field("fading"), with(func(_ *linkbudget.Station, e *linkbudget.Environment) { e.Fading.Kind = fading.Kind(9) })},
		{"low data rate", "", with(func(_ *linkbudget.Station, e *linkbudget.Environment) { e.Modem.LDRO = lora.LDROMode(9) })},
		{"chip family", "", with(func(_ *linkbudget.Station, e *linkbudget.Environment) { e.Family = lora.Family(9) })},
		{"MHz for Hz", field("freq_mhz"), with(func(_ *linkbudget.Station, e *linkbudget.Environment) { e.FreqHz = 868.3 })},
		{"a path of 1e-300 m", "", func() error {
			_, err := linkbudget.Evaluate(terrain.Profile{DistM: []float64{0, 1e-300}, HeightM: []float64{1, 1}}, station,
				station, good[linkbudget.Environment]())
			return err
		}()},
		{"an Evaluator that nobody made", "", new(linkbudget.Evaluator).Prepare(new(linkbudget.PreparedStation), &station)},
		{"a station that nobody prepared", "", func() error {
			e, _ := linkbudget.NewEvaluator(good[linkbudget.Environment]())
			return e.Survey(new(linkbudget.Brief), hilly(), here, there, terrain.ProfileOptions{},
				new(linkbudget.PreparedStation), new(linkbudget.PreparedStation))
		}()},
		{"no plan", "", func() error { _, err := mesh.Check(ctx, nil, hilly(), good[mesh.Options]()); return err }()},
		{"no plan for a site", "", func() error {
			_, err := mesh.CheckSite(ctx, nil, plan.Station{At: here}, hilly(), good[mesh.SiteOptions]())
			return err
		}()},
		{"range that is no number", field("range_m"), func() error {
			opt := good[mesh.SiteOptions]()
			opt.RangeM = math.NaN()
			_, err := mesh.CheckSite(ctx, goodPlanOf(t), plan.Station{At: here}, hilly(), opt)
			return err
		}()},
		{"no weather", "", func() error { _, err := power.ExposureOf(sun.Site{At: here}, power.Weather{}, 100); return err }()},
		{"no file system", "", func() error { _, err := terrain.OpenSources(nil, "."); return err }()},
		{"no Load", "", func() error { _, err := terrain.Summarise(ctx, []terrain.Source{{Name: "x"}}); return err }()},
		{"radius", field("radius_m"), func() error {
			opt := good[coverage.Options]()
			opt.RadiusM = math.Inf(1)
			_, err := coverage.Sweep(ctx, station, here, hilly(), opt)
			return err
		}()},
		{"panel tilt", field("tilt_deg"), sun.Panel{TiltDeg: math.NaN()}.Check()},
		{"a file's fault", "", func() error { _, err := plan.Read("x", []byte(`{"type":"FeatureCollection"}`)); return err }()},
	} {
		var f *fault.FieldError
		switch {
		case !errors.Is(c.err, fault.ErrInput):
			t.Errorf("%s: %v is no fault of the input", c.name, c.err)
		case c.want != "" && (!errors.As(c.err, &f) || field(f.Field) != c.want):
			t.Errorf("%s: %v, want %s, found %+v", c.name, c.err, c.want, f)
		case errors.Is(c.err, terrain.ErrRead):
			t.Errorf("%s: %v is said to be the terrain's", c.name, c.err)
		}
	}
	if db := radio.FreeSpace(1e-300, 868e6); db != 0 {
		t.Errorf("free space over 1e-300 m: %v", db)
	}
	if h := linkbudget.StandsM(terrain.Standing{Class: 99}, 99); h != 0 {
		t.Errorf("what stands of no class: %v", h)
	}
	if g := (terrain.Profile{Flags: []terrain.Flag{terrain.Void}}).Unknown(); g != nil {
		t.Errorf("gaps of a profile without distances: %v", g)
	}
}

// A raster with fewer cells than its lattice has posts is refused or empty, everywhere.
func TestRasterMadeByHand(t *testing.T) {
	for _, r := range []*coverage.Raster{nil, {}, {Lattice: hilly().Lattice},
		{Lattice: terrain.Lattice{Cols: -3, Rows: 1 << 30}},
		{Lattice: hilly().Lattice, Cells: make([]coverage.Cell, 31*21-1)}} {
		if err := r.Check(); !errors.Is(err, fault.ErrInput) {
			t.Errorf("%v", err)
		}
		if table := r.Table([]float64{50, 90}); table.WantedCells != 0 || len(table.Levels) != 2 {
			t.Errorf("table %+v", table)
		}
		if g := r.Grid(coverage.Margin); len(g.HeightM) != 0 {
			t.Errorf("grid of %d", len(g.HeightM))
		}
		if o := r.Outline(func(coverage.Cell) bool { return true }); o != nil {
			t.Errorf("outline %v", o)
		}
		if _, err := r.Draw(coverage.PictureOptions{}); !errors.Is(err, fault.ErrInput) {
			t.Errorf("draw: %v", err)
		}
		if _, err := coverage.Combine([]string{"Ash"}, r); !errors.Is(err, fault.ErrInput) {
			t.Errorf("combine: %v", err)
		}
	}
	whole := &coverage.Raster{Lattice: hilly().Lattice, Cells: make([]coverage.Cell, 31*21)}
	if err := whole.Check(); err != nil {
		t.Error(err)
	}
	worse := &coverage.Combined{Lattice: hilly().Lattice, Cells: make([]coverage.Served, 31*21), Names: []string{"Ash"}}
	worse.Cells[7] = coverage.Served{State: coverage.Judged, Best: 3, Heard: 1}
	if _, err := worse.Draw(coverage.PictureOptions{}); !errors.Is(err, fault.ErrInput) || !strings.Contains(err.Error(),
		"cell 7") {
		t.Errorf("a pole that is not there: %v", fmt.Sprint(err))
	}
}
