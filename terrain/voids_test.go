package terrain

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// flagged returns a profile with a point every 10 m, 100 m high and rising by
// 1 m per point, with one flag per letter: g, v, o.
func flagged(letters string) Profile {
	var p Profile
	for i, c := range letters {
		f := map[rune]Flag{'g': Ground, 'v': Void, 'o': Outside}[c]
		h := 0.0
		if f == Ground {
			h = 100 + float64(i)
		}
		p.DistM = append(p.DistM, 10*float64(i))
		p.HeightM = append(p.HeightM, h)
		p.Flags = append(p.Flags, f)
		p.Points = append(p.Points, orb.Point{float64(i), 50})
	}
	return p
}

// letters writes the flags of a profile back, f for Filled.
func letters(p Profile) string {
	s := make([]byte, len(p.Flags))
	for i, f := range p.Flags {
		s[i] = "gvof"[f]
	}
	return string(s)
}

func TestUnknown(t *testing.T) {
	rows := []struct {
		flags string
		want  []Gap
	}{
		{"gggg", nil},
		{"", nil},
		{"gvg", []Gap{{10, 10, Void, orb.Point{1, 50}}}},
		{"vvggoo", []Gap{{0, 10, Void, orb.Point{0, 50}}, {40, 50, Outside, orb.Point{4, 50}}}},
		{"gvvoovg", []Gap{{10, 20, Void, orb.Point{1, 50}}, {30, 40, Outside, orb.Point{3, 50}}, {50, 50, Void, orb.Point{5, 50}}}},
		{"oooo", []Gap{{0, 30, Outside, orb.Point{0, 50}}}},
	}
	for _, r := range rows {
		if diff := cmp.Diff(r.want, flagged(r.flags).Unknown()); diff != "" {
			t.Errorf("%q: gaps (-want +got)\n%s", r.flags, diff)
		}
	}
	p := flagged("gvg")
	p.Points = nil
	if diff := cmp.Diff([]Gap{{10, 10, Void, orb.Point{}}}, p.Unknown()); diff != "" {
		t.Errorf("without places: gaps (-want +got)\n%s", diff)
	}
	p.Flags = nil
	if got := p.Unknown(); got != nil {
		t.Errorf("without flags all is known, got %v", got)
	}
}

// The ground of flagged is a straight line, so whatever is filled must lie on it.
func TestFillVoids(t *testing.T) {
	rows := []struct {
		name, flags string
		longestM    float64
		want        string
	}{
		{"one point", "gvg", 20, "gfg"},
		{"one point, too wide", "gvg", 19.9, "gvg"},
		{"three points", "gvvvg", 40, "gfffg"},
		{"short one only", "gvgvvvg", 30, "gfgvvvg"},
		{"at the start", "vvg", 1000, "vvg"},
		{"at the end", "gvv", 1000, "gvv"},
		{"never outside", "googvg", 1000, "googfg"},
		{"never up to outside", "gvog", 1000, "gvog"},
		{"never from outside", "govg", 1000, "govg"},
		{"all void", "vvv", 1000, "vvv"},
	}
	for _, r := range rows {
		p := flagged(r.flags)
		p.fillVoids(r.longestM)
		if got := letters(p); got != r.want {
			t.Errorf("%s: %q, want %q", r.name, got, r.want)
		}
		for i, f := range p.Flags {
			if want := 100 + float64(i); f.Known() && !(math.Abs(p.HeightM[i]-want) <= 1e-9) {
				t.Errorf("%s: point %d is %g m, want %g m", r.name, i, p.HeightM[i], want)
			}
			if !f.Known() && p.HeightM[i] != 0 {
				t.Errorf("%s: unknown point %d is %g m, want 0", r.name, i, p.HeightM[i])
			}
		}
	}
}

// Filling is asked for through the options, and only then done.
func TestProfileFillsVoids(t *testing.T) {
	// Void between 11.20° and 11.21° east, 720 m wide.
	dem := formulaDEM{stepDeg: 0.001, height: func(p orb.Point) (float64, Flag) {
		if p[0] > 11.20 && p[0] < 11.21 {
			return 0, Void
		}
		return 500, Ground
	}}
	a, b := orb.Point{11.1, 49.9}, orb.Point{11.3, 49.9}
	for _, r := range []struct {
		fillM float64
		gaps  int
	}{{0, 1}, {500, 1}, {900, 0}} {
		p, err := NewProfile(dem, a, b, ProfileOptions{FillVoidsM: r.fillM})
		if err != nil {
			t.Fatal(err)
		}
		if got := len(p.Unknown()); got != r.gaps {
			t.Errorf("filling up to %g m leaves %d gaps, want %d", r.fillM, got, r.gaps)
		}
		for i, f := range p.Flags {
			if f == Filled && !(math.Abs(p.HeightM[i]-500) <= 1e-9) {
				t.Errorf("filled point %d is %g m, want 500 m", i, p.HeightM[i])
			}
		}
	}
}

// Whatever the flags: Outside and Ground stay, every gap lies inside the profile,
// and a filled point lies between two known ones within reach.
func TestFillVoidsProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		flags := rapid.StringOfN(rapid.SampledFrom([]rune("gggvvo")), 0, 40, -1).Draw(t, "flags")
		longestM := rapid.Float64Range(0, 200).Draw(t, "longest")
		p := flagged(flags)
		p.fillVoids(longestM)
		got := letters(p)
		for i := range flags {
			if flags[i] != got[i] && (flags[i] != 'v' || got[i] != 'f') {
				t.Fatalf("%q became %q", flags, got)
			}
		}
		unknown := 0
		for _, g := range p.Unknown() {
			if g.Flag.Known() || !(g.FromM <= g.ToM) {
				t.Fatalf("%q: gap %+v", got, g)
			}
			unknown += int((g.ToM-g.FromM)/10) + 1
		}
		for _, f := range p.Flags {
			if !f.Known() {
				unknown--
			}
		}
		if unknown != 0 {
			t.Fatalf("%q: the gaps hold %d points too many", got, unknown)
		}
	})
}
