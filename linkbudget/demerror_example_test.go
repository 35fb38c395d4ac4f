package linkbudget_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget"
)

func ExampleTerrainErrorByName() {
	for _, name := range []string{"SRTM", "county survey"} {
		e, err := linkbudget.TerrainErrorByName(name)
		fmt.Printf("%s: %.1f m\n", e.Product, e.SigmaM)
		if err != nil {
			fmt.Println(err)
		}
	}
	// Output:
	// SRTM: 6.3 m
	// county survey: 6.0 m
	// terrain model "county survey", known are SRTM, NASADEM, AW3D30, Copernicus GLO-30, MERIT, ASTER; 6 m is assumed
}
