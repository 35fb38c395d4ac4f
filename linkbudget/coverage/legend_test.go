package coverage

import (
	"image"
	"testing"
)

// Every word of a legend has its letters, and all of it lies within the picture.
func TestLegendIsComplete(t *testing.T) {
	for _, s := range []scale{scaleOf(Probability), scaleOf(Margin), scaleOf(Loss), (&Combined{}).countScale()} {
		words := []string{s.title, "not judged", "reaches with 99.5 %", "nobody reaches", "who carries here",
			"how many poles"}
		for _, v := range s.marks {
			words = append(words, s.label(v))
		}
		for _, w := range words {
			for _, c := range w {
				if _, ok := glyphs[c]; !ok && c != ' ' {
					t.Errorf("no glyph %q for %q", c, w)
				}
			}
		}
	}
	for _, q := range []Quantity{Margin, Loss} {
		s := scaleOf(q)
		low, high := s.label(min(s.low, s.high)), s.label(max(s.low, s.high))
		if low[:len("≤")] != "≤" || high[:len("≥")] != "≥" {
			t.Errorf("%s: the ends are %q and %q, want them to say that values lie beyond", q, low, high)
		}
	}
}

func TestLegendFitsBelow(t *testing.T) {
	r := &Raster{Cells: make([]Cell, 4), WantPercent: 99.5}
	r.Cols, r.Rows, r.StepLonDeg, r.StepLatDeg = 2, 2, 1, 1
	p, err := r.Draw(PictureOptions{Quantity: Margin, LeastPixels: 100, Legend: true})
	if err != nil {
		t.Fatal(err)
	}
	b := p.image.Bounds()
	if b.Dy() <= 100 || b.Dx() < 600 {
		t.Fatalf("a picture of %v has no room for a legend", b)
	}
	ink := func(area image.Rectangle) (n int) {
		for y := area.Min.Y; y < area.Max.Y; y++ {
			for x := area.Min.X; x < area.Max.X; x++ {
				if p.image.RGBAAt(x, y) != paper {
					n++
				}
			}
		}
		return n
	}
	below := image.Rect(0, 100, b.Max.X, b.Max.Y)
	if ink(below) < 5000 {
		t.Error("there is no legend")
	}
	for name, edge := range map[string]image.Rectangle{"right": {image.Pt(b.Max.X-4, 100), b.Max},
		"left": {image.Pt(0, 100), image.Pt(4, b.Max.Y)}, "foot": {image.Pt(0, b.Max.Y-4), b.Max}} {
		if ink(edge) > 0 {
			t.Errorf("the legend touches the %s edge", name)
		}
	}
}
