package report

import (
	"fmt"
	"io"
	"math"

	"github.com/polereach/polereach/linkbudget/power"
)

// skylineStepDeg is the step of the table in text; JSON has every direction.
const skylineStepDeg = 15

// writeSkyline prints the table of the skyline and who steals the sun.
func writeSkyline(out io.Writer, s *power.PoleSurvey) {
	if len(s.Skyline.Directions) == 0 {
		return
	}
	fmt.Fprintln(out, "Skyline (highest in each 15 deg: true direction, elevation in deg, km off;")
	fmt.Fprintln(out, "  ?: missing ground could stand higher)")
	const rows = 360 / skylineStepDeg / 3
	for row := range rows {
		for column := range 3 {
			fmt.Fprintf(out, "  %s", skylineCell(s, (column*rows+row)*skylineStepDeg))
		}
		fmt.Fprintln(out)
	}
	for _, t := range s.Thieves {
		writeWrapped(out, "  ", thiefText(t)+".")
	}
	if len(s.Thieves) == 0 {
		writeWrapped(out, "  ", "No direction takes 1 % of the panel's sun in the poorest month.")
	}
	fmt.Fprintln(out)
}

// skylineCell is the highest direction within half a step of azimuth.
func skylineCell(s *power.PoleSurvey, azimuth int) string {
	n := len(s.Skyline.Directions)
	best := -1
	for i, d := range s.Skyline.Directions {
		off := math.Abs(math.Remainder(s.Skyline.StepDeg*float64(i)-float64(azimuth), 360))
		if off <= skylineStepDeg/2 && (best < 0 || d.ElevDeg > s.Skyline.Directions[best].ElevDeg) {
			best = i
		}
	}
	if n == 0 || best < 0 {
		return ""
	}
	d := s.Skyline.Directions[best]
	what := fmt.Sprintf("%.1f", d.DistM/1000)
	if d.Obstacle {
		what = "given"
	}
	if d.MostDeg > d.ElevDeg {
		what += "?"
	}
	return fmt.Sprintf("%-2s %3d %5.1f %6s", compassName(float64(azimuth)), azimuth, d.ElevDeg, what)
}

// compassName names the eight main directions and nothing between.
func compassName(deg float64) string {
	if math.Mod(deg, 45) != 0 {
		return ""
	}
	return [...]string{"N", "NE", "E", "SE", "S", "SW", "W", "NW"}[int(deg/45)%8]
}

func thiefText(t power.Thief) string {
	what := fmt.Sprintf("ground up to %.0f deg, %.1f km away", t.HighestDeg, t.DistM/1000)
	if t.Obstacle {
		what = fmt.Sprintf("what stands there, up to the %.0f deg of the obstacle given,", t.HighestDeg)
	}
	return fmt.Sprintf("From %.0f to %.0f deg %s takes %.0f %% of the panel's sun in %s (%.2f kWh/m2 a day)",
		t.FromDeg, t.ToDeg, what, 100*t.Share, power.MonthName(t.Month), t.TakesWhM2/1000)
}
