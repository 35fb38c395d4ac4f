package magnetic_test

import (
	"fmt"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/magnetic"
)

func ExampleNewCompass() {
	ridge := orb.Point{-84.2405, 36.5565}
	compass := magnetic.NewCompass(ridge, time.Date(2026, 11, 29, 0, 0, 0, 0, time.UTC))
	fmt.Printf("38 deg true, %.0f by compass\n", compass.BearingDeg(38))
	fmt.Println(compass.Turn())
	// Output:
	// 38 deg true, 44 by compass
	// true + 6.0 deg; World Magnetic Model 2025 for 2026-11, valid to 2030-01-01, good to half a degree; a compass near steel or a car reads wrong
}
