package picture

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// drawnText and drawnPath are what stands in an SVG.
type drawnText struct {
	x, y float64
	text string
}

type drawnPath struct {
	style  string
	points [][2]float64
}

var pair = regexp.MustCompile(`[ML](-?[0-9.e-]+),(-?[0-9.e-]+)`)

// readSVG reads texts and paths; y upwards.
func readSVG(t *testing.T, data []byte) (texts []drawnText, paths []drawnPath) {
	t.Helper()
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	d := xml.NewDecoder(bytes.NewReader(data))
	open := false
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return texts, paths
		}
		if err != nil {
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			attr := map[string]string{}
			for _, a := range token.Attr {
				attr[a.Name.Local] = a.Value
			}
			switch token.Name.Local {
			case "text":
				open = true
				texts = append(texts, drawnText{x: number(attr["x"]), y: -number(attr["y"])})
			case "path":
				p := drawnPath{style: attr["style"]}
				for _, m := range pair.FindAllStringSubmatch(attr["d"], -1) {
					p.points = append(p.points, [2]float64{number(m[1]), number(m[2])})
				}
				paths = append(paths, p)
			}
		case xml.CharData:
			if open {
				texts[len(texts)-1].text += string(token)
			}
		case xml.EndElement:
			open = false
		}
	}
}

// metresPerPoint is the scale of the vertical axis by its figures, the column of numbers
// farthest left.
func metresPerPoint(t *testing.T, texts []drawnText) float64 {
	t.Helper()
	var ys, values []float64
	for _, at := range texts {
		if v, err := strconv.ParseFloat(at.text, 64); err == nil && at.x < 50 && at.y > 0 {
			ys, values = append(ys, at.y), append(values, v)
		}
	}
	// The last of the list are of the axis upwards.
	n := len(ys)
	if n < 3 {
		t.Fatalf("%d figures at the axis", n)
	}
	return (values[n-1] - values[n-2]) / (ys[n-1] - ys[n-2])
}

func tiles(t *testing.T, folder string) terrain.DEM {
	t.Helper()
	sources, err := terrain.OpenSources(os.DirFS(folder), ".")
	if err != nil {
		t.Fatal(err)
	}
	dem, err := terrain.NewTiles(sources, terrain.TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return dem
}

func realPath(t *testing.T, a, b orb.Point, heightM float64) (terrain.Profile, linkbudget.Result) {
	t.Helper()
	p, err := terrain.NewProfile(tiles(t, cumberland), a, b, terrain.ProfileOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return p, result(t, p, heightM)
}

func station(name string) linkbudget.Station {
	return linkbudget.Station{Name: name, TxDBm: 14, Antenna: linkbudget.Antenna{PeakDBi: 2}}
}

var environment = linkbudget.Environment{FreqHz: 868e6, Modem: lora.Modem{SF: 9, BWHz: 125e3, CR: 1}}

func result(t *testing.T, p terrain.Profile, heightM float64) linkbudget.Result {
	t.Helper()
	a, b := station("Ash"), station("Birch")
	a.HeightM, b.HeightM = heightM, heightM
	r, err := linkbudget.Evaluate(p, a, b, environment)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func svg(t *testing.T, p terrain.Profile, r linkbudget.Result) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Path(&b, "svg", &p, &r, 868e6); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

var cumberland = filepath.Join("..", "..", "..", "examples", "cumberland", "dem")

// The red line from the deciding point to the ray, and the ground and the ray where it
// stands, measured on the picture, are the clearance of the table, to one pixel of 96 to the inch.
func TestClearanceOnThePictureIsThatOfTheTable(t *testing.T) {
	const pixel = 0.75 // points
	for _, to := range []orb.Point{{-84.2405, 36.4846}, {-84.15, 36.65}, {-84.27, 36.625}, {-84.4, 36.5}} {
		p, r := realPath(t, orb.Point{-84.2405, 36.5565}, to, 8)
		texts, paths := readSVG(t, svg(t, p, r))
		scale := metresPerPoint(t, texts)
		var mark, ray *drawnPath
		for i := range paths {
			switch style := paths[i].style; {
			case strings.Contains(style, "stroke:#D55E00") && strings.Contains(style, "stroke-width:1.4") &&
				len(paths[i].points) == 2:
				mark = &paths[i]
			case strings.Contains(style, "stroke-width:1.2") && len(paths[i].points) == 2:
				ray = &paths[i]
			}
		}
		if mark == nil || ray == nil {
			t.Fatalf("to %v: no deciding point or no ray", to)
		}
		foot, head := mark.points[0], mark.points[1]
		if off := (head[1]-foot[1])*scale - r.Worst.ClearanceM; !(math.Abs(off) <= pixel*scale) {
			t.Errorf("to %v: clearance %.2f m on the picture, %.2f m in the table, a pixel is %.2f m", to,
				(head[1]-foot[1])*scale, r.Worst.ClearanceM, pixel*scale)
		}
		if y := at(ray.points, head[0]); !(math.Abs(y-head[1]) <= pixel) {
			t.Errorf("to %v: the line ends %.2f points off the ray", to, y-head[1])
		}
		near := math.Inf(1)
		for _, q := range paths {
			if strings.Contains(q.style, "stroke:#5A5A5A") {
				near = min(near, math.Abs(at(q.points, foot[0])-foot[1]))
			}
		}
		if !(near <= pixel) {
			t.Errorf("to %v: the line begins %.2f points off the ground", to, near)
		}
		if share := (foot[0] - ray.points[0][0]) / (ray.points[1][0] - ray.points[0][0]) * r.DistM; !(math.Abs(
			share-r.Worst.AtM) <= pixel/(ray.points[1][0]-ray.points[0][0])*r.DistM) {
			t.Errorf("to %v: decides at %.0f m on the picture, %.0f m in the table", to, share, r.Worst.AtM)
		}
	}
}

// at is the height of a line from left to right.
func at(points [][2]float64, x float64) float64 {
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		if x >= a[0] && x <= b[0] && b[0] > a[0] {
			return a[1] + (b[1]-a[1])*(x-a[0])/(b[0]-a[0])
		}
	}
	return math.Inf(1)
}

func allText(texts []drawnText) string {
	var all []string
	for _, at := range texts {
		all = append(all, at.text)
	}
	return strings.Join(all, " ")
}

func TestPathSaysItsScaleAndItsAir(t *testing.T) {
	p, r := realPath(t, orb.Point{-84.2405, 36.5565}, orb.Point{-84.15, 36.65}, 8)
	data := svg(t, p, r)
	texts, _ := readSVG(t, data)
	all := allText(texts)
	for _, want := range []string{"A: Ash, ground 983 m", "B: Birch", "distance from A, km",
		"height and the earth's bulge, m",
		"direct ray", "first Fresnel zone", "0.6 of it", "ground", "k = 1.33, effective earth radius 8495 km",
		"bulge in the middle 2.5 m", "times as steep as they are", "868 MHz",
		linkbudget.FresnelText(r.Worst.Fraction, 2) + " of the first Fresnel"} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in %s", want, all)
		}
	}
	if len(data) > 60e3 {
		t.Errorf("%d bytes", len(data))
	}
	var b bytes.Buffer
	if err := Path(&b, "png", &p, &r, 868e6); err != nil {
		t.Fatal(err)
	}
	if img, err := png.Decode(&b); err != nil || img.Bounds().Dx() != 672 {
		t.Errorf("%v", err)
	}
}

// Names as a stranger may write them stay text, and every text stays inside.
func TestNamesOfStrangersInAPicture(t *testing.T) {
	p, r := realPath(t, orb.Point{-84.2405, 36.5565}, orb.Point{-84.15, 36.65}, 8)
	for _, name := range []string{`<script>alert("1")</script>&amp;`, "a\x00b\x1b[31m\r\n", "\u202eeman",
		strings.Repeat("W", 300), "",
		"\xff\xfe", "]]>"} {
		r.From, r.To = name, name
		texts, _ := readSVG(t, svg(t, p, r))
		for _, at := range texts {
			if strings.Contains(at.text, "\u202e") || strings.Contains(at.text, "\x1b") {
				t.Errorf("%q: not spelt out", at.text)
			}
			if right := float64(smallStyle.Width(at.text)); at.x+right > 505 && at.y > 0 && len(at.text) > 60 {
				t.Errorf("%q runs out of the picture: %g", at.text, at.x+right)
			}
		}
	}
}

func TestPathWithoutTerrain(t *testing.T) {
	p := terrain.Profile{DistM: []float64{0, 1000, 2000, 3000, 4000}, HeightM: []float64{10, 12, 0, 0, 30},
		Flags: []terrain.Flag{terrain.Ground, terrain.Ground, terrain.Void, terrain.Void, terrain.Ground}}
	r := result(t, p, 5)
	if r.Verdict != linkbudget.Unknown {
		t.Fatal(r.Verdict)
	}
	texts, _ := readSVG(t, svg(t, p, r))
	if all := allText(texts); !strings.Contains(all, "no ground known from") || strings.Contains(all, "direct ray") {
		t.Error(all)
	}
	for i := range p.Flags {
		p.Flags[i], p.HeightM[i] = terrain.Void, 0
	}
	svg(t, p, result(t, p, 5))
}

func TestPathRefuses(t *testing.T) {
	p := terrain.Profile{DistM: []float64{0, 1000, 2000}, HeightM: []float64{1, 2, 3}}
	r := result(t, p, 5)
	if err := Path(io.Discard, "gif", &p, &r, 868e6); err == nil {
		t.Error("drawn as gif")
	}
	for _, bad := range []error{Path(io.Discard, "svg", nil, &r, 868e6), Path(io.Discard, "svg", &p, nil, 868e6),
		Path(io.Discard, "svg", &p, &r, math.NaN()), Path(io.Discard, "svg", &terrain.Profile{}, &r, 868e6)} {
		if !errors.Is(bad, fault.ErrInput) {
			t.Errorf("%v", bad)
		}
	}
}
