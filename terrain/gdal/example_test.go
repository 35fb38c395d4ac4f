//go:build gdal

package gdal_test

import (
	"fmt"
	"log"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/gdal"
)

// One place in a projected GeoTIFF.
func ExampleOpen() {
	r, err := gdal.Open("../../testdata/cumberland/cumberland_utm16n_float32.tif", gdal.Options{})
	if err != nil {
		log.Fatal(err)
	}
	defer r.Close()
	var (
		heightM [1]float64
		flag    [1]terrain.Flag
	)
	if err := r.Heights([]orb.Point{{-84.2405, 36.5565}}, heightM[:], flag[:]); err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s: %.0f m, %v\n", r.Info().CRS, heightM[0], flag[0])
	// Output: WGS 84 / UTM zone 16N: 982 m, ground
}
