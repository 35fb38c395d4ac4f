package sun_test

import (
	"fmt"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/sun"
)

func ExampleAt() {
	p, err := sun.At(time.Date(2003, 10, 17, 19, 30, 30, 0, time.UTC), orb.Point{-105.1786, 39.742476}, sun.Air{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("azimuth %.1f°, elevation %.1f°\n", p.AzimuthDeg, p.ElevDeg)
	// Output: azimuth 194.3°, elevation 39.9°
}

// A ridge in the south, 15° high, and a panel that leans 60° towards it.
func ExampleMonthly() {
	ridge := terrain.Skyline{StepDeg: 1, Directions: make([]terrain.SkylineDirection, 360)}
	for az := 120; az <= 240; az++ {
		ridge.Directions[az].ElevDeg = 15
		ridge.Directions[az].MostDeg = 15
	}
	site := sun.Site{At: orb.Point{8, 46.5}, Skyline: ridge}
	year, err := sun.Monthly(site, sun.Panel{TiltDeg: 60, AzimuthDeg: 180}, sun.DefaultClimate(46.5, 600))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, i := range []int{5, 11} {
		m := year.Months[i]
		fmt.Printf("%v: %.2f of %.2f kWh/m² a day\n", m.Month, m.PlaneWhM2/1000, m.FreeWhM2/1000)
	}
	fmt.Println(year.Source)
	// Output:
	// June: 3.14 of 3.43 kWh/m² a day
	// December: 1.59 of 2.32 kWh/m² a day
	// none given, a default by latitude stands in
}

func ExampleSunlit() {
	day := time.Date(2015, 1, 2, 0, 0, 0, 0, time.FixedZone("", -7*3600))
	lit, err := sun.Sunlit(sun.Site{At: orb.Point{-105, 39}}, day, day.Add(24*time.Hour))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, i := range lit {
		fmt.Println(i.Start.Format("15:04"), "to", i.End.Format("15:04"))
	}
	// Output: 07:19 to 16:49
}
