package main

import (
	"flag"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// FuzzClimate: whatever is in a file of --climate, it is refused, or a climate whose figures are
// those of months.
func FuzzClimate(f *testing.F) {
	example, err := os.ReadFile(demo + "climate.json")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(example, 36.5)
	f.Add([]byte(`{"global_kwh_m2_day":[1,1,1,1,1,1,1,1,1,1,1,1],"snow_cm":[],"model_factor":0.5}`), -60.0)
	f.Add([]byte(`{"geometry":{"coordinates":[8,46,400]},"properties":{"parameter":{"ALLSKY_SFC_SW_DWN":{"JAN":1,"FEB":2,
		"MAR":3,"APR":4,"MAY":5,"JUN":6,"JUL":6,"AUG":5,"SEP":4,"OCT":3,"NOV":2,"DEC":1}}},"header":{"fill_value":-999},
		"parameters":{"ALLSKY_SFC_SW_DWN":{"units":"kW-hr/m^2/day"}}}`), 46.0)
	f.Fuzz(func(t *testing.T, data []byte, latDeg float64) {
		if !(math.Abs(latDeg) <= 90) {
			return
		}
		c, err := parseClimate(data, latDeg, "climate.json")
		if err != nil {
			return
		}
		if err := c.Check(latDeg); err != nil {
			t.Fatalf("accepted, but %v", err)
		}
		for i, m := range c.Months {
			for _, v := range []float64{m.GlobalWhM2, m.AirK, m.AirSwingK, m.SnowCM, m.SnowDays, c.ModelFactor} {
				if !(v >= 0 && v <= 20e3) {
					t.Fatalf("month %d: %+v", i+1, m)
				}
			}
		}
	})
}

// linkContext is the command link before its arguments are read.
func linkContext(t testing.TB) *cli.Context {
	t.Helper()
	set := flag.NewFlagSet("link", flag.ContinueOnError)
	command := linkCommand()
	for _, f := range command.Flags {
		if err := f.Apply(set); err != nil {
			t.Fatal(err)
		}
	}
	c := cli.NewContext(cli.NewApp(), set, nil)
	c.Command = command
	return c
}

// FuzzRadio: whatever is in a file of --radio, it is refused, or gives settings that are sound.
func FuzzRadio(f *testing.F) {
	example, err := os.ReadFile(demo + "radio.json")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(example)
	f.Add([]byte(`{"fading":"rician","rician_k_db":6,"dem_model":"srtm","bare_earth":true,"inside":"wood"}`))
	f.Add([]byte(`{"freq_mhz":"868.1","sf":"0x9","payload_b":1e2,"band":"eu868","polarisation":null}`))
	f.Add([]byte(`{"freq_mhz":NaN}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		c := linkContext(t)
		if err := applyRadio(c, "radio.json", data); err != nil {
			return
		}
		s, err := settings(c)
		a, b, endsErr := linkEnds(c, s.Station, err == nil)
		if err != nil || endsErr != nil {
			return
		}
		if s.Validate() != nil || a.Validate() != nil || b.Validate() != nil {
			t.Fatalf("accepted: %+v", s)
		}
	})
}

// FuzzWords: what a flag's words are taken for lies in its range, and written again it reads the
// same.
func FuzzWords(f *testing.F) {
	for _, text := range []string{"-84.2,36.6", "-84.4,36.4,-84.1,36.7", "179,1,-179,2", "az=170..190", "elev=12",
		"50,90,99", "3/7", "NaN,Inf", "0x1p4,1_0", "az=0..NaN", "1/2/3", " 1 , 2 ", "36.6,-184.2"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if p, err := coordinate("at", text); err == nil {
			again, err := coordinate("at", fmt.Sprintf("%v,%v", p[0], p[1]))
			if terrain.CheckPlace(p) != nil || err != nil || again != p {
				t.Fatalf("%q: %v, again %v, %v", text, p, again, err)
			}
		}
		if b, err := box("area", text); err == nil && b != nil {
			wide := b.Max[0] - b.Min[0]
			if !(wide > 0 && wide <= 360 && b.Min[1] < b.Max[1] && b.Min[1] >= -90 && b.Max[1] <= 90) {
				t.Fatalf("%q: %v", text, b)
			}
		}
		if list, err := percents(text); err == nil {
			for _, v := range list {
				if !(v >= 1 && v <= 100) {
					t.Fatalf("%q: %v", text, list)
				}
			}
		}
		if shard, shards, err := parseShard(text); err == nil && !(shard >= 1 && shard <= shards) {
			t.Fatalf("%q: %d of %d", text, shard, shards)
		}
		var obstacles []terrain.Obstacle
		var errs []error
		for _, part := range strings.Split(text, ",") {
			obstacles, errs = addObstacle(obstacles, errs, part)
		}
		for _, o := range obstacles {
			if len(errs) == 0 && !(o.FromDeg >= 0 && o.FromDeg <= 360 && o.ToDeg >= 0 && o.ToDeg <= 360 && o.ElevDeg >= 0 &&
				o.ElevDeg <= 90) {
				t.Fatalf("%q: %+v", text, o)
			}
		}
	})
}

// FuzzWhatIf: a change in words is refused, or changes no pole but those it names.
func FuzzWhatIf(f *testing.F) {
	p, err := plan.Read("plan", []byte(`{"type":"FeatureCollection","features":[
		{"type":"Feature","properties":{"name":"A","height_m":6},"geometry":{"type":"Point","coordinates":[1,2]}},
		{"type":"Feature","properties":{"name":"B, x=1","panel_w":3},"geometry":{"type":"Point","coordinates":[1,3]}}]}`))
	if err != nil {
		f.Fatal(err)
	}
	for _, text := range []string{"pole=A,height_m=8", "pole=B, x=1,height_m=", "pole=A,inside=wood,pole=A,tx_dbm=1e1",
		"pole=A,height_m=NaN", "height_m=1", `pole=A,beam="}`} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		j := &planJob{p: p}
		v, err := j.whatIf(text)
		if err != nil {
			return
		}
		if err := v.p.Validate(); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		for i, s := range v.p.Stations {
			if d := cmp.Diff(p.Stations[i], s, cmpopts.IgnoreUnexported(s)); d != "" && !strings.Contains(text, "pole="+s.Name) {
				t.Fatalf("%q changes %q (-was +is):\n%s", text, s.Name, d)
			}
		}
		if len(v.p.Stations) != len(p.Stations) {
			t.Fatalf("%q: %d poles", text, len(v.p.Stations))
		}
	})
}
