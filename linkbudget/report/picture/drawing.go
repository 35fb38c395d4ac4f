package picture

import (
	"fmt"
	"image"
	"io"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/recorder"

	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

// drawing is a chart in its frame. What the frame says is known once the chart is drawn.
type drawing struct {
	chart       *chart
	under       image.Image
	title, left string
	scale       *coverage.Scale // of the colours, nil for none
	key         []keyed
	notes       []note
}

// shade lays a hillshade under the chart.
func (d *drawing) shade(dem terrain.DEM) error {
	light, err := d.chart.light(dem, d.chart.places())
	if err == nil {
		d.under = d.chart.hillshade(light)
		if slices.ContainsFunc(light, func(v float64) bool { return v != v }) {
			d.notes = append(d.notes, note{text: "White: no ground known."})
		}
	}
	return err
}

// mostKeyed bounds the entries of the key: more would be a page of their own.
const mostKeyed = 60

// uses puts an entry into the key, once.
func (d *drawing) uses(name string, thumb plot.Thumbnailer) {
	switch n := len(d.key); {
	case slices.ContainsFunc(d.key, func(k keyed) bool { return k.name == name }):
	case n < mostKeyed:
		d.key = append(d.key, keyed{name, []plot.Thumbnailer{thumb}})
	case n == mostKeyed:
		d.key = append(d.key, keyed{"and more", nil})
	}
}

// render fills the chart twice: first on nothing, for the key, the notes and the names
// there is no room for, on which the height of the frame depends.
func (d *drawing) render(w io.Writer, format string, fill func()) error {
	empty := *d.chart
	d.chart.begin(draw.Canvas{Canvas: new(recorder.Canvas), Rectangle: vg.Rectangle{Max: vg.Point{X: chartWidth,
		Y: d.chart.height()}}}, nil)
	fill()
	f := frame{title: d.title, left: d.left, scale: d.scale, key: d.key, notes: d.notes}
	if d.chart.left > 0 {
		f.notes = append(f.notes, note{text: fmt.Sprintf("Names left out for want of room: %d.", d.chart.left)})
	}
	*d.chart = empty
	const width = 7 * vg.Inch
	return render(w, format, width, f.above()+d.chart.height()+f.below(width), func(c draw.Canvas) error {
		d.chart.begin(f.draw(c), d.under)
		fill()
		return nil
	})
}

// rounded are ticks at 1, 2 or 5 times a power of ten, each with its figure, at most so many.
type rounded int

// Ticks returns those from min to max.
func (n rounded) Ticks(from, to float64) (ticks []plot.Tick) {
	step := math.Pow(10, math.Floor(math.Log10((to-from)/float64(n))))
	for _, times := range []float64{2, 2.5, 2} { // 1, 2, 5, 10
		if (to-from)/step <= float64(n) {
			break
		}
		step *= times
	}
	decimals := max(0, -int(math.Floor(math.Log10(step))))
	first := int(math.Ceil(from / step)) // an int has no -0
	for i := range int(n) + 1 {
		v := float64(first+i) * step
		if !(v <= to) {
			break
		}
		ticks = append(ticks, plot.Tick{Value: v, Label: strconv.FormatFloat(v, 'f', decimals, 64)})
	}
	return ticks
}
