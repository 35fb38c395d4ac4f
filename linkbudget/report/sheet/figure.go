package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain/magnetic"
)

// figure is a number as it is shown, with the value that the JSON has under a key.
type figure struct{ Key, Value, Text string }

// Bare is the text without its unit.
func (f figure) Bare() string { bare, _, _ := strings.Cut(f.Text, " "); return bare }

func number(key string, v float64, decimals int, format string) figure {
	return figure{key, strconv.FormatFloat(unsigned0(v, decimals), 'f', decimals, 64), fmt.Sprintf(format, v)}
}

// unsigned0 drops the sign of what rounds to zero.
func unsigned0(v float64, decimals int) float64 {
	if math.Abs(v)*math.Pow(10, float64(decimals)) < 0.5 {
		return 0
	}
	return v
}

// signed is a level over another in whole decibels.
func signed(key string, db float64) figure { return number(key, db, 3, "%+.0f dB") }

// bearing is a direction in whole degrees below 360.
func bearing(key string, deg float64, decimals int) figure {
	f := number(key, deg, decimals, "")
	f.Text = fmt.Sprintf("%03.0f°", math.Mod(math.Round(deg), 360))
	return f
}

// magneticBearing is what a compass shows, the zero figure where that is not known.
func magneticBearing(key string, c magnetic.Compass, trueDeg float64) figure {
	if !c.Known() {
		return figure{}
	}
	return bearing(key, c.BearingDeg(trueDeg), 1)
}

// tilt is an angle above the horizontal.
func tilt(key string, deg float64) figure {
	f := number(key, deg, 4, "")
	switch {
	case deg >= 0.05:
		f.Text = fmt.Sprintf("%.1f° up", deg)
	case deg <= -0.05:
		f.Text = fmt.Sprintf("%.1f° down", -deg)
	default:
		f.Text = "level"
	}
	return f
}

// length is in kilometres, or in metres below one.
func length(key string, m float64) figure {
	f := number(key, m, 3, "%.0f m")
	if m >= 1000 {
		f.Text = fmt.Sprintf("%.2f km", m/1000)
	}
	return f
}

// placeText is a place as maps and phones take it, latitude first.
func placeText(lonDeg, latDeg float64) string {
	ns, ew := "N", "E"
	if latDeg < 0 {
		ns = "S"
	}
	if lonDeg < 0 {
		ew = "W"
	}
	return fmt.Sprintf("%.5f° %s, %.5f° %s", math.Abs(latDeg), ns, math.Abs(lonDeg), ew)
}

// shown is a text with what would be obeyed spelt out.
func shown(text string) string { return plan.Visible(text) }

func allShown(list []string) []string {
	out := make([]string, len(list))
	for i, text := range list {
		out[i] = shown(text)
	}
	return out
}

// brief cuts a name where there is little room.
func brief(name string, most int) string {
	if r := []rune(shown(name)); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return shown(name)
}
