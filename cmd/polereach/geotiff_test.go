package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/polereach/polereach/terrain/madetiff"
)

// A coverage and a link over the corner where four distributed tiles meet and the columns of the
// northern ones lie further apart: nothing is unknown, and the answers are those over one raster of
// the same ground without a seam.
func TestCoverageOverTilesThatNarrow(t *testing.T) {
	long(t)
	hills := func(lon, lat float64) float64 {
		return 300 + 60*math.Sin((lon-11)*2*math.Pi*23)*math.Cos((lat-50)*2*math.Pi*31)
	}
	tiles, whole := t.TempDir(), t.TempDir()
	for _, lat := range []int{49, 50} {
		for _, lon := range []int{10, 11} {
			data := madetiff.Tile(lon, lat, hills).Bytes()
			if err := os.WriteFile(filepath.Join(tiles, fmt.Sprintf("N%dE%03d.tif", lat, lon)), data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	one := madetiff.Image{Cols: 500, Rows: 500, West: 11 - 250.0/3600, North: 50 + 250.0/3600, StepLon: 1.0 / 3600,
		StepLat: 1.0 / 3600, Kind: "Float32", Compression: 8}
	one.Height = func(col, row int) float64 {
		return hills(one.West+float64(col)*one.StepLon, one.North-float64(row)*one.StepLat)
	}
	if err := os.WriteFile(filepath.Join(whole, "one.tif"), one.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	type answer struct {
		Levels []struct {
			Share float64 `json:"share_of_judged"`
		}
		Unjudged struct{ Share float64 }
	}
	plan := write(t, "plan.geojson", []byte(`{"type":"FeatureCollection","features":[{"type":"Feature",
		"geometry":{"type":"Point","coordinates":[11.0001,50.0001]},"properties":{"name":"Corner","height_m":6}}]}`))
	ask := func(dem string) (out answer, link string) {
		r := polereach(t, "coverage", "--pole", "Corner", "--radius-km", "4", "--cell-m", "30",
			"--levels", "50", "--freq-mhz", "868", "--format", "json", "--dem", dem, plan)
		if r.code != exitHolds || r.err != "" {
			t.Fatalf("exit %d: %s", r.code, r.err)
		}
		if err := json.Unmarshal([]byte(r.out), &out); err != nil {
			t.Fatal(err)
		}
		l := polereach(t, "link", "10.97,49.97", "11.03,50.035", "--height-m", "10", "--freq-mhz", "868", "--dem", dem)
		return out, verdict(l.out)
	}
	got, gotLink := ask(tiles)
	want, wantLink := ask(whole)
	share, wantShare := got.Levels[0].Share, want.Levels[0].Share
	t.Logf("reached: %.4f of the area over tiles, %.4f over one raster; %s", share, wantShare, gotLink)
	if got.Unjudged.Share != 0 || want.Unjudged.Share != 0 || !(wantShare > 0.05 && wantShare < 0.95) ||
		!(math.Abs(share-wantShare) <= 0.01) || gotLink != wantLink {
		t.Errorf("over tiles %+v, %q; over one raster %+v, %q", got, gotLink, want, wantLink)
	}
}
