package region_test

import (
	"bytes"
	"context"
	"fmt"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/region"
	"github.com/polereach/polereach/terrain"
)

// Three poles on a plain in two shards, which may run anywhere, and what they serve together.
func Example() {
	ground := &terrain.Grid{HeightM: make([]float32, 161*41), Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 50,
		StepLonDeg: 0.001, StepLatDeg: 0.001, Cols: 161, Rows: 41}}
	p, err := plan.Read("plan.geojson", []byte(`{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"name":"west","height_m":8},"geometry":{"type":"Point","coordinates":[10.02,49.98]}},
{"type":"Feature","properties":{"name":"middle","height_m":4},"geometry":{"type":"Point","coordinates":[10.08,49.98]}},
{"type":"Feature","properties":{"name":"east","height_m":8},"geometry":{"type":"Point","coordinates":[10.14,49.98]}}]}`))
	area := ground.Extent().Bound
	opt := region.Options{Area: &area, RadiusM: 9000, CellM: 300, Receiver: linkbudget.DefaultStation("walker", 1.5),
		Settings: plan.Settings{Station: linkbudget.DefaultStation("", 0),
			Environment: linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 7, BWHz: 250e3, CR: 1}}}}
	var parts []*region.Part
	for n := 1; n <= 2 && err == nil; n++ {
		opt.Shard, opt.Shards = n, 2
		var file bytes.Buffer
		var shard *region.Region
		if shard, err = region.Prepare(p, ground.Extent(), opt); err != nil {
			break
		}
		if err = shard.WritePart(context.Background(), ground, &file); err != nil {
			break
		}
		var part *region.Part
		part, err = region.OpenPart(bytes.NewReader(file.Bytes()), int64(file.Len()))
		parts = append(parts, part)
	}
	if err != nil {
		fmt.Println(err)
		return
	}
	joined, err := region.Join(parts...)
	if err != nil {
		fmt.Println(err)
		return
	}
	sum, err := joined.Sum(context.Background(), []float64{90}, 0, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range sum.Shares {
		fmt.Printf("%s carries %.1f km², %.1f of them alone\n", s.Name, s.Km2, s.AloneKm2)
	}
	fmt.Printf("of %.1f km² %.1f have a chance of 90 %%\n", sum.Table.JudgedKm2(), sum.Table.Levels[0].AreaKm2)
	// Output:
	// west carries 3.9 km², 3.9 of them alone
	// middle carries 0.9 km², 0.9 of them alone
	// east carries 3.9 km², 3.9 of them alone
	// of 54.3 km² 10.0 have a chance of 90 %
}
