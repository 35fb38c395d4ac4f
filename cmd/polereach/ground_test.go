package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// near fails on NaN, too.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %g, want %g ± %g", what, got, want, tolerance)
	}
}

// groundLink runs link --ground over a table.
func groundLink(t *testing.T, table string, args ...string) linkAnswer {
	t.Helper()
	return linkJSON(t, append([]string{"--ground", write(t, "path.csv", []byte(table))}, args...)...)
}

// The path of linkbudget's TestDeltaBullingtonComputed, row 5s, computed by a
// separate program: 36.098 dB over an earth of 8500 km, horizontal polarisation.
func TestGroundOfATextbookPath(t *testing.T) {
	args := []string{"--height-m", "10", "--freq-mhz", "868", "--k", fmt.Sprint(8500.0 / 6371), "--polarisation",
		"horizontal"}
	plain := groundLink(t, "ground_m,dist_m\n0,0\n30,2000\n10,5000\n40,8000\n0,10000\n", args...).Links[0]
	near(t, "diffraction", plain.Diffraction.LossDB, 36.098, 0.002)
	near(t, "loss", plain.LossDB, plain.Diffraction.LossDB+of(t, plain.Terms, "free space"),
		0.002) // from 10 m on the ends cost nothing
	// Houses on a plain make the same tops. The smooth surface is that of the bare
	// ground, and here for both no higher than the ends: the loss is the same.
	tops := groundLink(t, "dist_m,ground_m,top_m\n0,0,0\n2000,0,30\n5000,0,10\n8000,0,40\n10000,0,0\n", args...).Links[0]
	near(t, "over tops", tops.Diffraction.LossDB, plain.Diffraction.LossDB, 0.002)
	// At the ends tops say nothing.
	atEnds := groundLink(t, "dist_m,ground_m,top_m\n0,0,90\n2000,0,30\n5000,0,10\n8000,0,40\n10000,0,90\n",
		args...).Links[0]
	near(t, "tops at the ends", atEnds.LossDB, tops.LossDB, 0)
}

// One edge 50 m above the line of sight in the middle of 10 km at 900 MHz: nu = 2.4503,
// J = 20.794 dB by Fresnel's integrals (mpmath, 30 digits). The earth stands up by
// 1.4715 m there.
func TestGroundOfAKnifeEdge(t *testing.T) {
	got := groundLink(t, "dist_m,ground_m,top_m\n0,100,100\n5000,100,168.528488\n10000,100,100\n",
		"--height-a-m", "20", "--height-b-m", "20", "--freq-mhz", "900").Links[0]
	near(t, "J", got.Diffraction.Edge, 20.794, 0.001)
}

// Whatever coordinates there are not is absent, and never 0.
func TestGroundHasNoCoordinates(t *testing.T) {
	table := write(t, "path.csv", []byte("dist_m,ground_m\n0,100\n500,120\n900,100\n"))
	for _, args := range [][]string{{"--format", "json", "--profile"}, {}} {
		r := polereach(t, append([]string{"link", "--ground", table, "--height-m", "3"}, args...)...)
		for _, word := range []string{"lon_deg", "azimuth", ", bearing", "0.00000"} {
			if strings.Contains(r.out, word) {
				t.Errorf("%v: found %s:\n%s", args, word, r.out)
			}
		}
		if r.err != "" || !strings.Contains(r.out, "open country at A") {
			t.Errorf("%v: exit %d, stderr %q", args, r.code, r.err)
		}
	}
}

func TestBadGroundIsRefused(t *testing.T) {
	good := write(t, "good.csv", []byte("dist_m,ground_m,top_m\n0,1,1\n9,2,5\n20,1,1\n"))
	bad := write(t, "bad.csv", []byte("dist_m,ground_m,top_m\n0,x,1\n9,2,1\n20,1,1\n"))
	for name, c := range map[string]struct{ args, want []string }{
		"all at once": {[]string{"--ground", bad, "-84.2,36.5", "--dem", "d", "--fill-voids-m", "9", "--sf", "4"},
			[]string{bad + `: line 2: ground_m: found "x"`, bad + ": line 3: top_m: found 1 over ground_m 2",
				"found 1 arguments", "dem: found beside --ground", "fill-voids-m", "5 to 12"}},
		"no such file": {[]string{"--ground", good + "x"}, []string{"good.csvx", "no such file"}},
		"a folder":     {[]string{"--ground", filepath.Dir(good)}, []string{"is a directory"}},
		"cover of the radio": {[]string{"--ground", good, "--radio",
			write(t, "r.json", []byte(`{"cover": "wood", "bare_earth": true}`))},
			[]string{"cover", "top_m", "give one"}},
		"cover and tops": {[]string{"--ground", good, "--cover", "wood", "--bare-earth"},
			[]string{"cover", "top_m", "give one"}},
		"neither": {nil, []string{"coordinates", "--ground FILE", "found 0"}},
	} {
		t.Run(name, func(t *testing.T) {
			refused(t, polereach(t, append([]string{"link", "--height-m", "5"}, c.args...)...), c.want...)
		})
	}
}

// referenceRows are those of a table of the official ITU-R validation data, or a skip.
func referenceRows(t *testing.T, path ...string) [][]string {
	t.Helper()
	root := os.Getenv("POLEREACH_REFERENCE_DIR")
	if root == "" {
		t.Skip("ITU validation data not read: set POLEREACH_REFERENCE_DIR to the folder that holds itu")
	}
	data, err := os.ReadFile(filepath.Join(append([]string{root, "itu"}, path...)...))
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord, r.LazyQuotes, r.TrimLeadingSpace = -1, true, true
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

func numberOf(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// The numeric examples of Study Group 3 for delta-Bullington, through the command.
// They take the speed of light for 3e8 m/s, which is worth 0.006 dB and below.
func TestGroundOfITUExamples(t *testing.T) {
	for _, row := range referenceRows(t, "delta_bullington", "cases.csv")[1:] {
		table := "dist_m,ground_m\n"
		for _, p := range referenceRows(t, "delta_bullington", "path"+row[1]+"_profile.csv")[1:] {
			table += fmt.Sprintf("%.6g,%s\n", 1000*numberOf(t, p[0]), p[1])
		}
		got := groundLink(t, table, "--freq-mhz", fmt.Sprint(1000*numberOf(t, row[2])), "--height-a-m", row[3],
			"--height-b-m", row[4], "--k", fmt.Sprint(numberOf(t, row[5])/6371), "--polarisation", "horizontal")
		near(t, "case "+row[0], got.Links[0].Diffraction.LossDB, numberOf(t, row[12]), 0.01)
	}
}

// A path of P.1812-6 with what stands on it: L_d50 at 0.5, 1 and 3 GHz.
func TestGroundOfITUPathWithTops(t *testing.T) {
	profile := referenceRows(t, "p1812", "profiles", "rburg_urban_with_clutter.csv")
	begin := slices.IndexFunc(profile, func(r []string) bool { return r[0] == "{Begin of Profile}" })
	table := "dist_m,ground_m,top_m\n"
	for _, p := range profile[begin+2 : begin+2+int(numberOf(t, profile[begin+1][1]))] {
		ground := numberOf(t, p[1])
		table += fmt.Sprintf("%.8g,%g,%g\n", 1000*numberOf(t, p[0]), ground, ground+numberOf(t, p[3]))
	}
	for _, name := range []string{"3", "4", "5"} {
		value := map[string]string{}
		for _, row := range referenceRows(t, "p1812", "results", "rburg_urban_with_clutter_"+name+".csv") {
			if len(row) > 3 {
				value[strings.TrimSpace(row[0]+" "+row[1])] = row[3]
			}
		}
		got := groundLink(t, table, "--freq-mhz", fmt.Sprint(1000*numberOf(t, value["f (GHz)"])), "--k",
			fmt.Sprint(numberOf(t, value["ae (km) Eq (7a)"])/6371),
			"--height-a-m", value["htg (m)"], "--height-b-m", value["hrg (m)"], "--polarisation", "horizontal")
		near(t, name, got.Links[0].Diffraction.LossDB, numberOf(t, value["Ld50 (dB) Eq (39)"]), 0.01)
	}
}
