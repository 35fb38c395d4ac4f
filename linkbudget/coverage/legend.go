package coverage

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"unicode/utf8"
)

const (
	legendWidth  = 700
	legendHeight = 96
)

// legend draws the scale of colours below the map.
func (p *Picture) legend(s scale, top int) {
	const left, barWidth, barHeight = 36, 320, 16
	m := p.image
	y := top + 30
	text(m, left, top+10, s.title)
	for x := range barWidth {
		c := colourAt(float64(x) / (barWidth - 1))
		fill(m, image.Rect(left+x, y, left+x+1, y+barHeight), c)
	}
	for _, v := range s.marks {
		x := left + int((v-s.low)/(s.high-s.low)*(barWidth-1))
		fill(m, image.Rect(x, y+barHeight, x+1, y+barHeight+5), ink)
		label := s.label(v)
		text(m, x-utf8.RuneCountInString(label)*glyphAdvance/2, y+barHeight+9, label)
	}
	x, y := left+barWidth+70, top+10
	if p.zoom >= 2 {
		box := swatch(x, y)
		fill(m, box, ink)
		fill(m, box.Inset(2), paper)
		text(m, box.Max.X+8, y, fmt.Sprintf("reaches with %g %%", p.raster.WantPercent))
		y += 28
	}
	p.sample(x, y, "not judged", hatch)
}

// swatch is the place of a sample of what the map shows.
func swatch(x, y int) image.Rectangle { return image.Rect(x, y, x+32, y+15) }

// sample shows a colour or pattern of the map and says what it means.
func (p *Picture) sample(x, y int, what string, colour func(x, y int) color.RGBA) {
	box := swatch(x, y)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			p.image.SetRGBA(x, y, colour(x, y))
		}
	}
	text(p.image, box.Max.X+8, y, what)
}

// A small alphabet of our own, 5 by 7 dots, for what a legend says. Each glyph is
// seven rows, the leftmost dot in bit 4.
var glyphs = map[rune][7]uint8{
	'0': {14, 17, 19, 21, 25, 17, 14}, '1': {4, 12, 4, 4, 4, 4, 14}, '2': {14, 17, 1, 2, 4, 8, 31},
	'3': {31, 2, 4, 2, 1, 17, 14},
	'4': {2, 6, 10, 18, 31, 2, 2}, '5': {31, 16, 30, 1, 1, 17, 14}, '6': {6, 8, 16, 30, 17, 17, 14},
	'7': {31, 1, 2, 4, 8, 8, 8},
	'8': {14, 17, 17, 14, 17, 17, 14}, '9': {14, 17, 17, 15, 1, 2, 12}, '-': {0, 0, 0, 31, 0, 0, 0},
	'.': {0, 0, 0, 0, 0, 12, 12}, ',': {0, 0, 0, 0, 12, 4, 8}, '%': {24, 25, 2, 4, 8, 19, 3},
	'≤': {2, 4, 8, 4, 2, 0, 14}, '≥': {8, 4, 2, 4, 8, 0, 14},
	'a': {0, 0, 14, 1, 15, 17, 15}, 'c': {0, 0, 14, 16, 16, 17, 14}, 'd': {1, 1, 13, 19, 17, 17, 15},
	'e': {0, 0, 14, 17, 31, 16, 14},
	'g': {0, 15, 17, 17, 15, 1, 14}, 'h': {16, 16, 22, 25, 17, 17, 17}, 'i': {4, 0, 12, 4, 4, 4, 14},
	'j': {2, 0, 6, 2, 2, 18, 12},
	'k': {16, 16, 18, 20, 24, 20, 18}, 'l': {12, 4, 4, 4, 4, 4, 14}, 'm': {0, 0, 26, 21, 21, 17, 17},
	'n': {0, 0, 22, 25, 17, 17, 17},
	'o': {0, 0, 14, 17, 17, 17, 14}, 'p': {0, 0, 30, 17, 30, 16, 16}, 'r': {0, 0, 22, 25, 16, 16, 16},
	's': {0, 0, 14, 16, 14, 1, 30},
	't': {8, 8, 28, 8, 8, 9, 6}, 'u': {0, 0, 17, 17, 17, 19, 13}, 'b': {16, 16, 22, 25, 17, 17, 30},
	'w': {0, 0, 17, 17, 21, 21, 10}, 'y': {0, 0, 17, 17, 15, 1, 14}, 'B': {30, 17, 17, 30, 17, 17, 30},
}

const (
	dot          = 2 // pixels
	glyphAdvance = 6 * dot
)

// text writes a line, its upper left corner at x, y. What the alphabet lacks
// stays blank.
func text(m *image.RGBA, x, y int, line string) {
	for _, r := range line {
		for row, bits := range glyphs[r] {
			for col := range 5 {
				if bits>>(4-col)&1 != 0 {
					fill(m, image.Rect(x+col*dot, y+row*dot, x+(col+1)*dot, y+(row+1)*dot), ink)
				}
			}
		}
		x += glyphAdvance
	}
}

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
	open      bool // values lie beyond both ends
}

func scaleOf(q Quantity) scale {
	switch q {
	case Margin:
		return scale{-20, 30, []float64{-20, -10, 0, 10, 20, 30}, "margin, dB", true}
	case Loss:
		return scale{170, 90, []float64{170, 150, 130, 110, 90}, "path loss, dB", true}
	}
	return scale{0, 1, []float64{0, 0.25, 0.5, 0.75, 1}, "chance that the link closes, %", false}
}

// label of a value in the legend; the ends also stand for all beyond.
func (s scale) label(v float64) string {
	switch {
	case s.high == 1:
		return fmt.Sprintf("%.0f", v*100)
	case s.open && v == min(s.low, s.high):
		return fmt.Sprintf("≤%.0f", v)
	case s.open && v == max(s.low, s.high):
		return fmt.Sprintf("≥%.0f", v)
	}
	return fmt.Sprintf("%.0f", v)
}

func (s scale) colour(v float64) color.RGBA { return colourAt((v - s.low) / (s.high - s.low)) }
