package region_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/region"
	"github.com/polereach/polereach/terrain"
)

var ctx = context.Background()

// rolling is made ground, more than two blocks wide and high, with a hole in it.
func rolling() *terrain.Grid {
	g := &terrain.Grid{Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 50.6, StepLonDeg: 0.001, StepLatDeg: 0.001,
		Cols: 701, Rows: 601}, HeightM: make([]float32, 701*601)}
	for i := range g.HeightM {
		x, y := float64(i%701), float64(i/701)
		g.HeightM[i] = float32(300 + 25*math.Sin(x/31)*math.Cos(y/23) + 8*math.Sin((x+2*y)/9))
		if math.Hypot(x-400, y-300) < 12 {
			g.HeightM[i] = terrain.VoidHeight()
		}
	}
	return g
}

// poles is a plan of invented ones on it, some near its edge.
func poles(t testing.TB, n int) *plan.Plan {
	t.Helper()
	rng := rand.New(rand.NewPCG(3, 5))
	var text bytes.Buffer
	text.WriteString(`{"type":"FeatureCollection","features":[`)
	for i := range n {
		if i > 0 {
			text.WriteByte(',')
		}
		fmt.Fprintf(&text, `{"type":"Feature","properties":{"name":"Pole %d","height_m":%d},"geometry":{"type":"Point",`+
			`"coordinates":[%.5f,%.5f]}}`, i, 4+2*rng.IntN(4), 10.02+0.66*rng.Float64(), 50.02+0.56*rng.Float64())
	}
	text.WriteString("]}")
	p, err := plan.Read("plan.geojson", text.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func options() region.Options {
	return region.Options{
		Settings: plan.Settings{Station: linkbudget.DefaultStation("", 6),
			Environment: linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 11, BWHz: 125e3, CR: 1}}},
		Receiver: linkbudget.DefaultStation("receiver", 2), RadiusM: 12e3, Terrain: "made", Version: "test",
	}
}

// shard writes one part and opens it.
func shard(t testing.TB, p *plan.Plan, dem terrain.DEM, opt region.Options) *region.Part {
	t.Helper()
	part, err := open(write(t, p, dem, opt))
	if err != nil {
		t.Fatal(err)
	}
	return part
}

func write(t testing.TB, p *plan.Plan, dem terrain.DEM, opt region.Options) []byte {
	t.Helper()
	g, err := region.Prepare(p, dem.Extent(), opt)
	if err != nil {
		t.Fatal(err)
	}
	var file bytes.Buffer
	if err := g.WritePart(ctx, dem, &file); err != nil {
		t.Fatal(err)
	}
	return file.Bytes()
}

func open(data []byte) (*region.Part, error) {
	return region.OpenPart(bytes.NewReader(data), int64(len(data)))
}

var (
	levels     = []float64{50, 90, 99}
	quantities = []coverage.Quantity{coverage.Probability, coverage.Who, coverage.HowMany}
)

// answer is the summary of joined parts, and their files.
func answer(t testing.TB, workers int, parts ...*region.Part) (*region.Summary, [][]byte) {
	t.Helper()
	joined, err := region.Join(parts...)
	if err != nil {
		t.Fatal(err)
	}
	var layers []*region.Layer
	behind := make([]bytes.Buffer, len(quantities))
	for i, q := range quantities {
		layers = append(layers, &region.Layer{Quantity: q, Description: q.Title(), Tiles: &behind[i]})
	}
	sum, err := joined.Sum(ctx, levels, workers, nil, layers...)
	if err != nil {
		t.Fatal(err)
	}
	var files [][]byte
	for i, l := range layers {
		files = append(files, append(l.Head, behind[i].Bytes()...))
	}
	return sum, files
}

// What comes out of parts, be they one or seven, by one worker or three, is to the byte what
// coverage makes of all poles at once, another way to the same: rasters held whole.
func TestPartsAreTheWhole(t *testing.T) {
	dem, p := rolling(), poles(t, 13)
	box := &orb.Bound{Min: orb.Point{10.2, 50.1}, Max: orb.Point{10.5, 50.5}}
	for name, c := range map[string]struct {
		change func(*region.Options)
		shards []int
	}{
		"every post": {func(*region.Options) {}, []int{1, 7}},
		"wide cells": {func(o *region.Options) { o.CellM = 300 }, []int{17}}, // more than poles
		"an area":    {func(o *region.Options) { o.Area = box }, []int{3}},
	} {
		t.Run(name, func(t *testing.T) {
			if testing.Short() && name == "every post" {
				t.Skip("the longest of three")
			}
			opt := options()
			c.change(&opt)
			want, files := atOnce(t, dem, p, opt)
			for _, shards := range c.shards {
				var parts []*region.Part
				for n := range shards {
					opt.Shard, opt.Shards, opt.Workers = n+1, shards, 1+n%3
					parts = append(parts, shard(t, p, dem, opt))
				}
				rand.New(rand.NewPCG(1, 1)).Shuffle(len(parts), func(i, k int) { parts[i], parts[k] = parts[k], parts[i] })
				got, gotFiles := answer(t, 1+shards%3, parts...)
				// Areas are added up in another order than over the whole.
				if diff := cmp.Diff(want, got, cmpopts.EquateApprox(1e-12, 0)); diff != "" {
					t.Errorf("%d parts: %s", shards, diff)
				}
				for i, file := range gotFiles {
					if !bytes.Equal(file, files[i]) {
						t.Errorf("%d parts: %s: %d bytes, want %d, others", shards, quantities[i], len(file), len(files[i]))
					}
				}
			}
		})
	}
}

// atOnce is the same by package coverage.
func atOnce(t *testing.T, dem terrain.DEM, p *plan.Plan, opt region.Options) (*region.Summary, [][]byte) {
	t.Helper()
	var names []string
	var rasters []*coverage.Raster
	for i := range p.Stations {
		station, err := opt.Settings.Resolve(&p.Stations[i])
		if err != nil {
			t.Fatal(err)
		}
		r, err := coverage.Sweep(ctx, station, p.Stations[i].At, dem, coverage.Options{RadiusM: opt.RadiusM, Area: opt.Area,
			Receiver: opt.Receiver, Environment: opt.Settings.Environment, CellM: opt.CellM})
		if opt.Area != nil && err != nil {
			r, err = &coverage.Raster{Lattice: rasters[0].Lattice, Cells: make([]coverage.Cell, len(rasters[0].Cells)),
				WantPercent: 90}, nil // it does not reach the area
		}
		if err != nil {
			t.Fatal(err)
		}
		names, rasters = append(names, station.Name), append(rasters, r)
	}
	all, err := coverage.Combine(names, rasters...)
	if err != nil {
		t.Fatal(err)
	}
	sum := &region.Summary{Lattice: all.Lattice, Table: all.AsRaster(nil).Table(levels)}
	sum.Shares, sum.ByHeard = all.Shares()
	var files [][]byte
	for _, q := range quantities {
		var file bytes.Buffer
		if err := all.WriteGeoTIFF(&file, q, q.Title()); err != nil {
			t.Fatal(err)
		}
		files = append(files, file.Bytes())
	}
	if sum.Table.UnjudgedByState[coverage.Void] == 0 || !(sum.ByHeard[2] > 0) {
		t.Fatalf("nothing unjudged, or nowhere two poles: not much of a test: %+v %v", sum.Table, sum.ByHeard)
	}
	return sum, files
}
