package sheet

import (
	"fmt"
	"math"
	"net/url"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// follow reads a thinned path back: the corners of each line, in units.
func follow(t *rapid.T, d string) (lines [][][2]float64) {
	d = strings.TrimSuffix(strings.TrimPrefix(d, ` d="`), `"`)
	var at [2]float64
	for d != "" {
		what := d[0]
		end := strings.IndexAny(d[1:], "MlZ") + 1
		if end == 0 {
			end = len(d)
		}
		rest := d[1:end]
		d = d[end:]
		if what == 'Z' {
			continue
		}
		x, y, ok := strings.Cut(rest, ",")
		if i := strings.LastIndex(rest, "-"); !ok && i > 0 {
			x, y = rest[:i], rest[i:]
		}
		var to [2]float64
		if _, err := fmt.Sscan(x, &to[0]); err != nil {
			t.Fatalf("%q: %v", rest, err)
		}
		if _, err := fmt.Sscan(y, &to[1]); err != nil {
			t.Fatalf("%q: %v", rest, err)
		}
		if what == 'M' {
			lines = append(lines, nil)
			at = [2]float64{}
		}
		at = [2]float64{at[0] + to[0], at[1] + to[1]}
		lines[len(lines)-1] = append(lines[len(lines)-1], at)
	}
	return lines
}

// toLine is the distance from a point to a line of straight pieces.
func toLine(at [2]float64, line [][2]float64) float64 {
	least := math.Hypot(at[0]-line[0][0], at[1]-line[0][1])
	for i := 1; i < len(line); i++ {
		ax, ay := line[i-1][0], line[i-1][1]
		bx, by := line[i][0]-ax, line[i][1]-ay
		part := min(max(((at[0]-ax)*bx+(at[1]-ay)*by)/max(bx*bx+by*by, 1e-12), 0), 1)
		least = min(least, math.Hypot(at[0]-ax-part*bx, at[1]-ay-part*by))
	}
	return least
}

// No corner of a drawing is moved or left out by more than 0.22 of a unit, and no line
// begins or ends elsewhere.
func TestThinnedLinesStayWhereTheyAre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var lines [][][2]float64
		var d strings.Builder
		for range rapid.IntRange(1, 3).Draw(t, "lines") {
			var line [][2]float64
			x, y := rapid.Float64Range(-50, 700).Draw(t, "x"), rapid.Float64Range(-50, 400).Draw(t, "y")
			for i := range rapid.IntRange(1, 60).Draw(t, "corners") {
				line = append(line, [2]float64{x, y})
				fmt.Fprintf(&d, "%c%.5g,%.5g", "ML"[min(i, 1)], x, y)
				x += rapid.Float64Range(-1, 4).Draw(t, "dx")
				y += rapid.Float64Range(-3, 3).Draw(t, "dy")
			}
			lines = append(lines, line)
			if rapid.Bool().Draw(t, "closed") {
				d.WriteByte('Z')
			}
		}
		thin := thinned(` d="` + d.String() + `"`)
		got := follow(t, thin)
		if len(got) != len(lines) {
			t.Fatalf("%d lines of %d: %s", len(got), len(lines), thin)
		}
		for i, line := range lines {
			for k, at := range line {
				if far := toLine(at, got[i]); far > 0.15+0.071 { // off, and rounding to tenths both ways
					t.Fatalf("corner %d of line %d is %.3f away in %s", k, i, far, thin)
				}
			}
			for _, ends := range [2][2][2]float64{{line[0], got[i][0]}, {line[len(line)-1], got[i][len(got[i])-1]}} {
				if math.Hypot(ends[0][0]-ends[1][0], ends[0][1]-ends[1][1]) > 0.1 {
					t.Fatalf("line %d has an end at %v, want %v", i, ends[1], ends[0])
				}
			}
		}
	})
}

// What a drawing says and how its parts look is the same after it is made small.
func TestSmallDrawing(t *testing.T) {
	const from = `<?xml version="1.0"?>
<!-- made -->
<svg width="9pt" height="9pt" viewBox="0 0 9 9"
	xmlns="http://www.w3.org/2000/svg">
<path d="M1,1L5,1L5,5Z" style="fill:#FFF" />
<path d="M7,1A3,3 0 1 1 1,1" style="fill:#FFF" />
<text x="1" y="2" transform="scale(1, -1)"
	style="font-family:Liberation Sans;font-size:9px">a &lt; b 100% &quot;c&quot; #1</text>
</svg>
`
	address, ok := strings.CutPrefix(string(svgURL(from)), "data:image/svg+xml,")
	if !ok || strings.ContainsAny(address, "\"'<>#& \n") {
		t.Fatalf("not to be put into quotes: %s", address)
	}
	got, err := url.PathUnescape(address)
	want := `<svg width="9pt" height="9pt" viewBox="0 0 9 9" xmlns="http://www.w3.org/2000/svg"><style>` +
		`text{transform:scale(1,-1)}.c0{fill:#FFF}` +
		`.c1{font-family:Liberation Sans,Arimo,Arial,Helvetica,sans-serif;font-size:9px}` +
		`</style><path d="M1,1l4,0l0,4Z" class="c0" /><path d="M7,1A3,3 0 1 1 1,1" class="c0" />` +
		`<text x="1" y="2" class="c1">a &lt; b 100% &quot;c&quot; #1</text></svg>`
	if err != nil || strings.TrimSpace(got) != want {
		t.Errorf("%v\n%s\nwant\n%s", err, got, want)
	}
}
