package coverage_test

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

func TestPictureAndWorldFile(t *testing.T) {
	r := raster(-84, "#.", "?#")
	p, err := r.Draw(coverage.PictureOptions{LeastPixels: 8})
	if err != nil {
		t.Fatal(err)
	}
	var buf, world bytes.Buffer
	if err := p.WritePNG(&buf); err != nil {
		t.Fatal(err)
	}
	m, err := png.Decode(&buf)
	if err != nil {
		t.Fatal(err)
	}
	if b := m.Bounds(); b.Dx() != 8 || b.Dy() != 8 {
		t.Errorf("picture of %v", b)
	}
	if err := p.WriteWorldFile(&world); err != nil {
		t.Fatal(err)
	}
	// Four pixels a cell of one degree; the cell's edge lies half a degree west.
	if want := "0.25\n0\n0\n-0.25\n-84.375\n10.375\n"; world.String() != want {
		t.Errorf("world file %q, want %q", world.String(), want)
	}
	// Equal hues apart, the void is grey: all three channels alike.
	if red, green, blue, _ := m.At(1, 6).RGBA(); red != green || green != blue {
		t.Errorf("a void is drawn as %v", m.At(1, 6))
	}
}

// drawn is a picture after its way through a PNG file.
func drawn(t *testing.T, r *coverage.Raster, opt coverage.PictureOptions) image.Image {
	t.Helper()
	p, err := r.Draw(opt)
	if err != nil {
		t.Fatal(err)
	}
	return throughPNG(t, p)
}

func throughPNG(t *testing.T, p *coverage.Picture) image.Image {
	t.Helper()
	var buf bytes.Buffer
	if err := p.WritePNG(&buf); err != nil {
		t.Fatal(err)
	}
	m, err := png.Decode(&buf)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func pixel(m image.Image, x, y int) color.RGBA {
	return color.RGBAModel.Convert(m.At(x, y)).(color.RGBA)
}

// The line round what is reached stands on the inner edge, where the next cell
// is not reached, and nowhere else; the pole is far away.
func TestPictureDrawsALineRoundWhatIsReached(t *testing.T) {
	r := raster(0, "....", ".##.", "....")
	far := coverage.PictureOptions{LeastPixels: 40, Poles: []orb.Point{{30, 30}}}
	m := drawn(t, r, far)
	black := color.RGBA{0, 0, 0, 255}
	for _, c := range []struct {
		x, y int
		want bool
	}{{10, 15, true}, {29, 15, true}, {15, 10, true}, {15, 19, true}, {19, 15, false}, {20, 15, false}, {15, 15, false},
		{9, 15, false}, {30, 15, false}, {15, 9, false}, {15, 20, false}} {
		if got := pixel(m, c.x, c.y) == black; got != c.want {
			t.Errorf("pixel %d, %d is black: %v, want %v", c.x, c.y, got, c.want)
		}
	}
}

func TestPictureMarksEveryPole(t *testing.T) {
	r := raster(-4, "........", "........", "........")
	ring := color.RGBA{213, 94, 0, 255} // vermillion of Okabe and Ito, "Color Universal Design"
	m := drawn(t, r, coverage.PictureOptions{LeastPixels: 400, Poles: []orb.Point{{-3, 9}, {362, 9}}})
	for _, c := range [][2]int{{75, 75}, {325, 75}, {81, 75}, {75, 81}} { // middles of their cells, and rings of 6 pixels
		if got := pixel(m, c[0], c[1]); got != ring {
			t.Errorf("pixel %v is %v, want %v", c, got, ring)
		}
	}
	if m := drawn(t, r, coverage.PictureOptions{LeastPixels: 400}); pixel(m, 75, 75) == ring {
		t.Error("a pole is marked where none stands")
	}
}

// Level ground is as light beside a void and at the edge as in the middle, and a
// slope to the north-west is lighter than one to the south-east.
func TestShadeBesideVoidsAndEdges(t *testing.T) {
	r := raster(0, "....", "....", "....", "....")
	for i := range r.Cells {
		r.Cells[i] = chance(0.6)
	}
	ground := &terrain.Grid{Lattice: r.Lattice, HeightM: make([]float32, 16)}
	ground.HeightM[5] = terrain.VoidHeight()
	opt := coverage.PictureOptions{LeastPixels: 16, Shade: ground, Poles: []orb.Point{{30, 30}}}
	m := drawn(t, r, opt)
	for i := range 16 {
		if got, want := pixel(m, i%4*4+1, i/4*4+1), pixel(m, 13, 13); got != want {
			t.Errorf("cell %d is %v, level ground elsewhere %v", i, got, want)
		}
	}
	for i := range ground.HeightM {
		ground.HeightM[i] = 40_000 * float32(min(i%4, 3-i%4)) // a ridge from north to south; posts are 111 km apart
	}
	m = drawn(t, r, opt)
	if a, b := pixel(m, 1, 5), pixel(m, 13, 5); !(a.G > b.G) {
		t.Errorf("slope to the west %v, to the east %v", a, b)
	}
}

// Colours go from the published ends of viridis over its middle: 440154, 21918c,
// fde725 (S. van der Walt and N. Smith, matplotlib's table, from memory).
func TestColoursOfThePalette(t *testing.T) {
	r := raster(0, "...")
	for i, p := range []float64{0, 0.5, 1} {
		r.Cells[i] = chance(p)
	}
	r.WantPercent = 101 // no line
	m := drawn(t, r, coverage.PictureOptions{LeastPixels: 12, Poles: []orb.Point{{30, 30}}})
	for i, want := range []color.RGBA{{0x44, 0x01, 0x54, 255}, {0x21, 0x91, 0x8c, 255}, {0xfd, 0xe7, 0x25, 255}} {
		if got := pixel(m, 4*i+2, 2); got != want {
			t.Errorf("colour of %g is %v, want %v", r.Cells[i].Probability(), got, want)
		}
	}
	// Lighter throughout: the order can be read in grey, too.
	before := -1.0
	for k := range 101 {
		r.Cells[0] = chance(float64(k) / 100)
		c := pixel(drawn(t, r, coverage.PictureOptions{LeastPixels: 3, Poles: []orb.Point{{30, 30}}}), 0, 0)
		light := 0.2126*float64(c.R) + 0.7152*float64(c.G) + 0.0722*float64(c.B) // ITU-R BT.709 luma
		if !(light >= before) {
			t.Errorf("%d %% is darker, %.1f, than the step before, %.1f", k, light, before)
		}
		before = light
	}
}
