package terrain

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

func TestValidateAcceptsHandMadeProfiles(t *testing.T) {
	for _, p := range []Profile{
		{DistM: []float64{0, 1}, HeightM: []float64{5, -3}},
		{DistM: []float64{0, 100, 250}, HeightM: []float64{5, 6, 7}, TopM: []float64{5, 18, 7}},
		{DistM: []float64{0, 100, 250}, HeightM: []float64{5, 6, 7}, Flags: []Flag{Ground, Void, Filled}},
		{DistM: []float64{0, 100}, HeightM: []float64{5, 6}, Points: []orb.Point{{-180, 90}, {360, -90}}, AzimuthDeg: 359.9, BackAzimuthDeg: 180},
	} {
		if err := p.Validate(); err != nil {
			t.Errorf("%+v: %v", p, err)
		}
	}
}

func TestValidateRefusals(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	two := []float64{0, 1}
	rows := []struct {
		name string
		p    Profile
		want []string
	}{
		{"nothing", Profile{}, []string{"0 points"}},
		{"one point", Profile{DistM: []float64{0}, HeightM: []float64{1}}, []string{"1 points"}},
		{"fewer heights", Profile{DistM: two, HeightM: []float64{1}}, []string{"1 heights for 2"}},
		{"more flags", Profile{DistM: two, HeightM: two, Flags: make([]Flag, 3)}, []string{"3 flags for 2"}},
		{"empty flags", Profile{DistM: two, HeightM: two, Flags: []Flag{}}, []string{"0 flags for 2"}},
		{"fewer places", Profile{DistM: two, HeightM: two, Points: make([]orb.Point, 1)}, []string{"1 places for 2"}},
		{"does not start at 0", Profile{DistM: []float64{5, 6}, HeightM: two}, []string{"first distance is 5 m"}},
		{"repeated distance", Profile{DistM: []float64{0, 7, 7}, HeightM: make([]float64, 3)}, []string{"distance 2 is 7 m after 7 m"}},
		{"falling distances", Profile{DistM: []float64{0, 7, 6, 5}, HeightM: make([]float64, 4)}, []string{"distance 2 is 6 m after 7 m", "2 such points"}},
		{"NaN distance", Profile{DistM: []float64{0, nan}, HeightM: two}, []string{"distance 1 is NaN"}},
		{"NaN first", Profile{DistM: []float64{nan, 1}, HeightM: two}, []string{"distance 0 is NaN"}},
		{"infinite end", Profile{DistM: []float64{0, inf}, HeightM: two}, []string{"distance 1 is +Inf"}},
		{"NaN height", Profile{DistM: two, HeightM: []float64{1, nan}}, []string{"height 1 is NaN"}},
		{"fewer tops", Profile{DistM: two, HeightM: two, TopM: []float64{1}}, []string{"1 tops for 2"}},
		{"tops below the ground", Profile{DistM: two, HeightM: two, TopM: []float64{0, 0.5}}, []string{"top 1 is 0.5 m over ground of 1 m"}},
		{"NaN top", Profile{DistM: two, HeightM: two, TopM: []float64{nan, 2}}, []string{"top 0 is NaN"}},
		{"infinite tops", Profile{DistM: two, HeightM: two, TopM: []float64{inf, inf}}, []string{"top 0 is +Inf", "2 such points"}},
		{"no such flag", Profile{DistM: two, HeightM: two, Flags: []Flag{0, 9}}, []string{"flag 1 is 9"}},
		{"no such place", Profile{DistM: two, HeightM: two, Points: []orb.Point{{0, 0}, {0, 91}}}, []string{"place 1", "91"}},
		{"no such azimuth", Profile{DistM: two, HeightM: two, AzimuthDeg: nan, BackAzimuthDeg: -1}, []string{"azimuth is NaN", "azimuth is -1"}},
		{"all at once", Profile{DistM: []float64{1, 1}, HeightM: []float64{inf}, Flags: []Flag{7}},
			[]string{"first distance is 1 m", "1 heights", "1 flags", "distance 1 is 1 m", "height 0 is +Inf", "flag 0 is 7"}},
	}
	for _, r := range rows {
		err := r.p.Validate()
		if err == nil {
			t.Errorf("%s: accepted", r.name)
			continue
		}
		for _, w := range r.want {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: error %q does not tell %q", r.name, err, w)
			}
		}
	}
}

// A fault in every one of a million points is told once, with its count.
func TestValidateErrorStaysShort(t *testing.T) {
	n := 1 << 20
	p := Profile{DistM: make([]float64, n), HeightM: make([]float64, n)}
	for i := range p.HeightM {
		p.HeightM[i] = math.NaN()
	}
	err := p.Validate()
	if err == nil || len(err.Error()) > 400 || !strings.Contains(err.Error(), "1048576 such points") {
		t.Errorf("error %.500v", err)
	}
}

func TestLengthM(t *testing.T) {
	if got := (Profile{}).LengthM(); got != 0 {
		t.Errorf("nothing is %g m long", got)
	}
	if got := (Profile{DistM: []float64{0, 3, 8}}).LengthM(); got != 8 {
		t.Errorf("%g m long, want 8 m", got)
	}
}

func BenchmarkValidate1500(b *testing.B) {
	p, err := NewProfile(formulaDEM{stepDeg: 1.0 / 3600, height: tilted}, orb.Point{11.6, 49.73}, orb.Point{11.9, 49.93},
		ProfileOptions{})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if err := p.Validate(); err != nil {
			b.Fatal(err)
		}
	}
}
