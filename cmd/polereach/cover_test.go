package main

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/madetiff"
)

const demoCover = "../../examples/cumberland/cover.tif"

// madeCover invents what stands on the ground of the demo: woods on slopes and on high ground, a town
// around Mill Bottom, water where the ground is level and low; fields between.
func madeCover(t *testing.T) []byte {
	t.Helper()
	sources, err := terrain.OpenSources(os.DirFS("../../examples/cumberland"), "dem")
	if err != nil {
		t.Fatal(err)
	}
	dem, err := terrain.NewTiles(sources, terrain.TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	const step = 1.0 / 1200
	im := madetiff.Image{Cols: 396, Rows: 336, West: -84.41 + step/2, North: 36.73 - step/2, StepLon: step, StepLat: step,
		Kind: "Byte", Compression: 8, TileCols: 64, TileRows: 64, NoData: "0", Overviews: 1}
	im.Height = func(col, row int) float64 {
		at := orb.Point{im.West + float64(col)*step, im.North - float64(row)*step}
		places := []orb.Point{at, {at[0] - step, at[1]}, {at[0] + step, at[1]}, {at[0], at[1] - step}, {at[0], at[1] + step}}
		h, flags := make([]float64, 5), make([]terrain.Flag, 5)
		if err := dem.Heights(places, h, flags); err != nil {
			t.Fatal(err)
		}
		for _, f := range flags {
			if !f.Known() {
				return 0
			}
		}
		slope := math.Hypot((h[2]-h[1])/149, (h[4]-h[3])/185)
		switch {
		case h[0] < 245 && slope < 0.01:
			return 80
		case math.Hypot((at[0]+84.1592)*0.8, at[1]-36.5775) < 0.008:
			return 50
		case slope > 0.12 || h[0] > 640:
			return 10
		case slope > 0.08:
			return 20
		case (col/7+row/5)%2 == 0:
			return 40
		}
		return 30
	}
	return im.Bytes()
}

// The cover of the demo is what the rule above makes of its ground.
func TestDemoCover(t *testing.T) {
	made := madeCover(t)
	if *update {
		if err := os.WriteFile(filepath.FromSlash(demoCover), made, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if kept, err := os.ReadFile(demoCover); err != nil || !bytes.Equal(kept, made) {
		t.Errorf("%s is not what the rule makes: %v, %d bytes, want %d", demoCover, err, len(kept), len(made))
	}
}
