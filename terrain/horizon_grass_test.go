package terrain

import (
	"encoding/csv"
	"io"
	"math"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// horizonFigure is one line of r_horizon.csv.
type horizonFigure struct {
	at                  orb.Point
	azimuthDeg, elevDeg float64
}

func readHorizonFigures(t *testing.T, r io.Reader) []horizonFigure {
	t.Helper()
	c := csv.NewReader(r)
	c.Comment = '#'
	rows, err := c.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []horizonFigure
	for _, row := range rows[1:] {
		var v [4]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[i+1], 64); err != nil {
				t.Fatal(err)
			}
		}
		out = append(out, horizonFigure{orb.Point{v[0], v[1]}, v[2], v[3]})
	}
	if len(out) != 20*120 {
		t.Fatalf("%d figures, want 20 points × 120 directions", len(out))
	}
	return out
}

// compareWithGRASS holds the skylines of the 20 posts against figures of
// r.horizon: median under 0.1°, worst under 0.5°.
//
// What is left are the cells of r.horizon: near the eye, a post 1.7 m wide at 75 m
// counts for 1.3° of direction, and where the skyline is a slope that rises by 0.3°
// per degree, that makes up to 0.25°.
//
// Where the skyline stands below level, r.horizon may miss ground. It skips blocks
// of 100 by 100 posts whose highest post is not above the line of sight where the
// line enters the block; but a line that falls may be lower where it leaves. Such
// figures, and no others, may be too low by more, if brute force confirms ours.
func compareWithGRASS(t *testing.T, figures []horizonFigure) {
	t.Helper()
	dem := mustLoad(t, os.DirFS("../testdata/cumberland"), "N36W085.hgt.zip")
	const k = 1e-9
	var (
		s      Skyline
		diffs  []float64
		missed int
	)
	for _, f := range figures {
		if s.At != f.at {
			s = mustHorizon(t, dem, f.at, 10, HorizonOptions{StepDeg: 3, KLight: k})
		}
		d := s.Directions[int(f.azimuthDeg/3)]
		diff := math.Abs(d.ElevDeg - f.elevDeg)
		diffs = append(diffs, diff)
		if diff < 0.5 {
			continue
		}
		brute := bruteSkyline(t, dem, f.at, s.EyeM, f.azimuthDeg, 30e3, k)
		if d.ElevDeg < 0 && f.elevDeg < d.ElevDeg && math.Abs(brute-d.ElevDeg) <= 0.01 {
			missed++
			continue
		}
		t.Errorf("at %v towards %g°: %.4f° (ground %.0f m away), r.horizon %.4f°, brute force %.4f°",
			f.at, f.azimuthDeg, d.ElevDeg, d.DistM, f.elevDeg, brute)
	}
	slices.Sort(diffs)
	median := diffs[len(diffs)/2]
	t.Logf("median %.4f°, 95 %% %.4f°, worst %.4f°; below level, r.horizon missed ground in %d of %d directions",
		median, diffs[len(diffs)*95/100], diffs[len(diffs)-1-missed], missed, len(diffs))
	if !(median < 0.1) || missed > len(diffs)/100 {
		t.Errorf("median %.4f°, must be under 0.1°; %d directions missed", median, missed)
	}
}

func TestHorizonAgainstGRASS(t *testing.T) {
	file, err := os.Open("testdata/horizon/r_horizon.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	compareWithGRASS(t, readHorizonFigures(t, file))
}

// The program itself, where it is installed: POLEREACH_GRASS=1, some minutes.
func TestHorizonAgainstGRASSItself(t *testing.T) {
	if os.Getenv("POLEREACH_GRASS") == "" {
		t.Skip("set POLEREACH_GRASS=1 to run GRASS GIS (Debian grass-core), which takes some minutes")
	}
	if _, err := exec.LookPath("grass"); err != nil {
		t.Skip("GRASS GIS is not installed; Debian: apt-get install grass-core")
	}
	out, err := exec.Command("sh", "testdata/horizon/grass_r_horizon.sh",
		"../testdata/cumberland/cumberland_ll_int16.tif").Output()
	if err != nil {
		t.Fatal(err)
	}
	compareWithGRASS(t, readHorizonFigures(t, strings.NewReader(string(out))))
}
