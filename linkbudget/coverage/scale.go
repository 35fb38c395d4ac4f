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
	if v != v {
		v = 0 // of a scale without a length
	}
	v = min(max(v, 0), 1) * float64(len(viridis)-1)
	i := min(int(v), len(viridis)-2)
	u := v - float64(i)
	mix := func(a, b uint8) uint8 { return uint8(math.Round(float64(a) + u*(float64(b)-float64(a)))) }
	a, b := viridis[i], viridis[i+1]
	return color.RGBA{mix(a.R, b.R), mix(a.G, b.G), mix(a.B, b.B), 255}
}

// Scale is how a quantity becomes a colour.
type Scale struct {
	Title string
	// Low and High have the first and the last colour; Marks are labelled in a legend.
	Low, High float64
	Marks     []float64
	open      bool // values lie beyond both ends
}

func scaleOf(q Quantity) Scale {
	switch q {
	case Margin:
		return Scale{"margin, dB", -20, 30, []float64{-20, -10, 0, 10, 20, 30}, true}
	case Loss:
		return Scale{"path loss, dB", 170, 90, []float64{170, 150, 130, 110, 90}, true}
	}
	return Scale{"chance that the link closes, %", 0, 1, []float64{0, 0.25, 0.5, 0.75, 1}, false}
}

// Label is the figure of a mark; the ends also stand for all beyond.
func (s Scale) Label(v float64) string {
	switch {
	case s.High == 1:
		return fmt.Sprintf("%.0f", v*100)
	case s.open && v == min(s.Low, s.High):
		return fmt.Sprintf("≤%.0f", v)
	case s.open && v == max(s.Low, s.High):
		return fmt.Sprintf("≥%.0f", v)
	}
	return fmt.Sprintf("%.0f", v)
}

// Colour is that of a value; beyond the ends, of the end.
func (s Scale) Colour(v float64) color.RGBA { return colourAt((v - s.Low) / (s.High - s.Low)) }
