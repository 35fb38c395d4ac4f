package terrain

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"
)

func TestReadProfile(t *testing.T) {
	for name, text := range map[string]string{
		"plain": "dist_m,ground_m,top_m\n0,100,100\n250.5,-3,12\n1e3,99.25,99.25\n",
		"order, blanks": "\ufeff# surveyed\r\n top_m , dist_m,ground_m\r\n\r\n100,0,100\r\n# a barn\r\n12, " +
			"250.5,-3\r\n99.25,1000.0,+99.25\r\n",
		"quoted, no end":    "\"dist_m\",\"ground_m\",\"top_m\"\n\"0\",100,100\n250.5,-3,12\n1000,99.25,99.25",
		"comment before it": "\ufeff#x\n#y,z\ndist_m,ground_m,top_m\n0,100,100\n250.5,-3,12\n1e3,99.25,99.25\n",
	} {
		p, err := ReadProfile(strings.NewReader(text))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		want := Profile{DistM: []float64{0, 250.5, 1000}, HeightM: []float64{100, -3, 99.25}, TopM: []float64{100, 12, 99.25}}
		if d := cmp.Diff(want, p); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
	p, err := ReadProfile(strings.NewReader("ground_m,dist_m\n5,0\n6,10\n"))
	if d := cmp.Diff(Profile{DistM: []float64{0, 10}, HeightM: []float64{5, 6}}, p); err != nil || d != "" {
		t.Errorf("without tops: %v %s", err, d)
	}
}

// Every fault is told at once, each with its line, the value and what is allowed.
func TestReadProfileRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want []string // all lines of the error, in order
	}{
		"nothing":        {"", []string{"no header, allowed dist_m, ground_m and perhaps top_m"}},
		"comments only":  {"# a\n", []string{"no header, allowed dist_m, ground_m and perhaps top_m"}},
		"header only":    {"dist_m,ground_m\n", []string{"0 points, allowed 2 to 1048576"}},
		"one point":      {"dist_m,ground_m\n0,1\n", []string{"1 points, allowed 2 to 1048576"}},
		"too short":      {"dist_m,ground_m\n0,1\n0.9,1\n", []string{"the path is 0.9 m long, allowed 1 m to 1000 km"}},
		"first is not 0": {"dist_m,ground_m\n5,1\n9,1\n", []string{"line 2: dist_m: found 5, the first must be 0"}},
		"a stray quote":  {"dist_m,ground_m\n0,\"1\n9,1\n", []string{`line 3: extraneous or missing " in quoted-field`}},
		"another table": {"lon,lat,dist_m,dist_m\n1,2,3,4\n", []string{
			`line 1: column "lon", allowed dist_m, ground_m and perhaps top_m`,
			`line 1: column "lat", allowed dist_m, ground_m and perhaps top_m`,
			`line 1: column "dist_m" twice, allowed dist_m, ground_m and perhaps top_m`,
			`line 1: column ground_m is missing, allowed dist_m, ground_m and perhaps top_m`}},
		"all at once": {"# x\ndist_m,ground_m,top_m\n0,1,0.5\n10,9001,NaN\n10,5,5\n10,5,6\n9,0x1,7\n20,inf,7,8\n1000001,5,5\n15,,5\n8,1,2\n", []string{
			"line 3: top_m: found 0.5 over ground_m 1, allowed not below it",
			`line 4: ground_m: found "9001", allowed -500 to 9000 m`, `line 4: top_m: found "NaN", allowed -500 to 9000 m`,
			"line 6: dist_m: found 10 after 10, allowed only rising, by 1 mm and more",
			`line 7: ground_m: found "0x1", allowed -500 to 9000 m`,
			"line 8: 4 values, allowed 3 as in the header, decimals with a point",
			`line 9: dist_m: found "1000001", allowed 0 to 1000000 m`,
			`line 10: ground_m: found "", allowed -500 to 9000 m`,
			"line 11: dist_m: found 8 after 10, allowed only rising, by 1 mm and more"}},
	} {
		p, err := ReadProfile(strings.NewReader(c.text))
		if d := cmp.Diff(strings.Join(c.want, "\n"), fmt.Sprint(err)); d != "" || p.DistM != nil {
			t.Errorf("%s: %s", name, d)
		}
	}
	many := "dist_m,ground_m\n" + strings.Repeat("0,x\n", 1000)
	if _, err := ReadProfile(strings.NewReader(many)); strings.Count(err.Error(), "\n") != profileCSVFaults ||
		!strings.Contains(err.Error(), "and 950 faults more") {
		t.Errorf("1000 faults: %v", err)
	}
	broken := errors.New("disk on fire")
	if _, err := ReadProfile(io.MultiReader(strings.NewReader("dist_m,ground_m\n"),
		iotest.ErrReader(broken))); !errors.Is(err, broken) {
		t.Errorf("a reader that fails: %v", err)
	}
}

// endless is a table that never ends.
type endless struct{ i int }

func (e *endless) Read(p []byte) (int, error) {
	if e.i++; e.i == 1 {
		return copy(p, "dist_m,ground_m\n"), nil
	}
	return copy(p, fmt.Sprintf("%d,1\n", e.i-2)), nil
}

func TestReadProfileIsBounded(t *testing.T) {
	if _, err := ReadProfile(&endless{}); err == nil || !strings.Contains(err.Error(), `dist_m: found "1000001"`) {
		t.Errorf("endless points: %v", err)
	}
	if _, err := ReadProfile(io.MultiReader(strings.NewReader("dist_m,ground_m\n0,"), zeros{})); err == nil ||
		!strings.Contains(err.Error(), "more than 64 MiB") {
		t.Errorf("one endless line: %.200v", err)
	}
	if _, err := ReadProfile(zeros{}); err == nil || len(err.Error()) > 500 {
		t.Errorf("one endless name of a column: an error of %d bytes: %.200v", len(err.Error()), err)
	}
}

// What is read is a valid profile, and written down again it reads the same.
// Steps of a millimetre, the least allowed, written as such: no sum of theirs is exact.
func TestReadProfileOfMillimetres(t *testing.T) {
	var text strings.Builder
	text.WriteString("dist_m,ground_m\n0,5\n999990,5\n")
	for i := 1; i <= 9999; i++ {
		fmt.Fprintf(&text, "%.3f,5\n", 999990+float64(i)/1000)
	}
	if _, err := ReadProfile(strings.NewReader(text.String())); err != nil {
		t.Fatal(strings.SplitN(err.Error(), "\n", 2)[0])
	}
	if _, err := ReadProfile(strings.NewReader("dist_m,ground_m\n0,5\n10,5\n10.0009,5\n20,5\n")); err == nil {
		t.Error("a step of 0.9 mm is taken")
	}
}

func FuzzReadProfile(f *testing.F) {
	for _, text := range []string{
		"dist_m,ground_m,top_m\n0,100,100\n250.5,-3,12\n1e3,99.25,99.25\n",
		"\ufeff#\n top_m,dist_m,ground_m\r\n1,0,1\r\n5,9,4\r\n", "dist_m,ground_m\n0,\"1\n", "dist_m;ground_m\n0;1\n",
		"ground_m,dist_m\n-1,0\n0.000,1e6",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := ReadProfile(strings.NewReader(text))
		if err != nil {
			if p.DistM != nil || err.Error() == "" {
				t.Fatal(p, err)
			}
			return
		}
		if err := p.Validate(); err != nil || p.LengthM() < leastLengthM {
			t.Fatal(p, err)
		}
		var again strings.Builder
		again.WriteString("dist_m,ground_m,top_m\n")
		if p.TopM == nil {
			again.Reset()
			again.WriteString("dist_m,ground_m\n")
		}
		for i, d := range p.DistM {
			fmt.Fprintf(&again, "%v,%v", d, p.HeightM[i])
			if p.TopM != nil {
				fmt.Fprintf(&again, ",%v", p.TopM[i])
			}
			again.WriteString("\n")
		}
		q, err := ReadProfile(strings.NewReader(again.String()))
		if d := cmp.Diff(p, q); err != nil || d != "" {
			t.Fatal(err, d)
		}
	})
}
