package coverage

import (
	"fmt"
	"image/color"
	"math"
)

// viridis is the palette of that name by S. van der Walt and N. Smith (released
// under CC0), at nine equal steps from the published table, from memory; straight
// lines between. It is even to the eye and safe for the colour-blind.
var viridis = [9]color.RGBA{
	{68, 1, 84, 255}, {71, 45, 123, 255}, {59, 82, 139, 255}, {44, 114, 142, 255}, {33, 145, 140, 255},
	{40, 174, 128, 255}, {94, 201, 98, 255}, {173, 220, 48, 255}, {253, 231, 37, 255},
}

// colourAt returns the colour of a value from 0 to 1; beyond, that of the end.
func colourAt(v float64) color.RGBA {
	v = min(max(v, 0), 1) * float64(len(viridis)-1)
	i := min(int(v), len(viridis)-2)
	u := v - float64(i)
	mix := func(a, b uint8) uint8 { return uint8(math.Round(float64(a) + u*(float64(b)-float64(a)))) }
	a, b := viridis[i], viridis[i+1]
	return color.RGBA{mix(a.R, b.R), mix(a.G, b.G), mix(a.B, b.B), 255}
}

// scale is how a quantity becomes a colour.
type scale struct {
	low, high float64
	marks     []float64 // labelled in the legend
	title     string
	format    string
	open      bool // values lie beyond both ends
}

func scaleOf(q Quantity) scale {
	switch q {
	case Margin:
		return scale{-20, 30, []float64{-20, -10, 0, 10, 20, 30}, "margin, dB", "%.0f", true}
	case Loss:
		return scale{170, 90, []float64{170, 150, 130, 110, 90}, "path loss, dB", "%.0f", true}
	}
	return scale{0, 1, []float64{0, 0.25, 0.5, 0.75, 1}, "chance that the link closes, %", "%.0f", false}
}

// label of a value in the legend; the ends also stand for all beyond.
func (s scale) label(v float64) string {
	switch {
	case s.high == 1:
		return fmt.Sprintf(s.format, v*100)
	case s.open && v == min(s.low, s.high):
		return fmt.Sprintf("≤"+s.format, v)
	case s.open && v == max(s.low, s.high):
		return fmt.Sprintf("≥"+s.format, v)
	}
	return fmt.Sprintf(s.format, v)
}

func (s scale) colour(v float64) color.RGBA { return colourAt((v - s.low) / (s.high - s.low)) }
