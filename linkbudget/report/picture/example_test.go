package picture_test

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/linkbudget/report/picture"
	"github.com/polereach/polereach/terrain"
)

// A free horizon and the sun at noon of the equinox; a survey has both from the terrain.
func ExampleSun() {
	survey := &power.PoleSurvey{
		Skyline: terrain.Skyline{At: orb.Point{10, 50}, StepDeg: 1, Directions: make([]terrain.SkylineDirection, 360)},
		Paths:   []power.SunPath{{Name: "equinoxes", Points: []power.SunPoint{{AzimuthDeg: 180, ElevDeg: 40, SolarH: 12}}}},
	}
	for _, format := range picture.Formats {
		var b bytes.Buffer
		if err := picture.Sun(&b, format, survey, "Ash"); err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(format, "names the pole:", strings.Contains(b.String(), "Skyline and sun at Ash"))
	}
	// Output:
	// svg names the pole: true
	// png names the pole: false
}
