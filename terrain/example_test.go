package terrain_test

import (
	"fmt"
	"log"
	"testing/fstest"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// A small grid out of a file system (here in memory; os.DirFS serves a folder),
// asked at a post, between posts, beside a void and beyond the edge.
func ExampleOpenSources() {
	fsys := fstest.MapFS{"hill.asc": {Data: []byte(`
		ncols 3
		nrows 2
		xllcenter 10
		yllcenter 50
		cellsize 0.001
		NODATA_value -9999
		410 420   430
		400 408 -9999
	`)}}

	sources, err := terrain.OpenSources(fsys, ".")
	if err != nil {
		log.Fatal(err)
	}
	grid, err := sources[0].Load()
	if err != nil {
		log.Fatal(err)
	}

	places := []orb.Point{{10, 50}, {10.0005, 50.0005}, {10.0015, 50.0005}, {11, 50}}
	heightM := make([]float64, len(places))
	flag := make([]terrain.Flag, len(places))
	if err := grid.Heights(places, heightM, flag); err != nil {
		log.Fatal(err)
	}
	for i, p := range places {
		if flag[i].Known() {
			fmt.Printf("%.4f, %.4f: %.1f m\n", p[0], p[1], heightM[i])
		} else {
			fmt.Printf("%.4f, %.4f: %v\n", p[0], p[1], flag[i])
		}
	}
	// Output:
	// 10.0000, 50.0000: 400.0 m
	// 10.0005, 50.0005: 409.5 m
	// 10.0015, 50.0005: void
	// 11.0000, 50.0000: outside the terrain
}
