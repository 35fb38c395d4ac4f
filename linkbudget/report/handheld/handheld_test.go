package handheld

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/linkbudget/waypoints"
)

var november = time.Date(2026, 11, 29, 0, 0, 0, 0, time.UTC)

func answer(names ...string) *Sheet {
	a := &siting.Answer{Cells: 7, Spots: []siting.Spot{{At: orb.Point{-84.1, 36.5}, GroundM: 400, Serves: true,
		HeightM: 6}}}
	var opt siting.Options
	for i, name := range names {
		opt.Neighbours = append(opt.Neighbours, siting.Neighbour{Station: linkbudget.Station{Name: name, HeightM: 8},
			At: orb.Point{-84, 36.6 + float64(i)/100}})
		r := linkbudget.Result{GroundBM: 300}
		r.Verdict, r.DistM, r.MarginDB, r.Probability, r.AzimuthDeg = linkbudget.Reaches, 12345, 12, 0.93, 44.6
		r.BackAzimuthDeg, r.ElevationDeg, r.Doubt.SigmaDB = 224.7, -1.25, 9
		a.Spots[0].Links = append(a.Spots[0].Links, siting.Link{Name: name, Must: i == 0, Result: r})
	}
	s, err := Spots(a, opt, func(i int) string { return "Spot " + string(rune('1'+i)) }, november)
	if err != nil {
		panic(err) // a fault of the test
	}
	return s
}

func written(t *testing.T, write func(io.Writer) error) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	for d := xml.NewDecoder(bytes.NewReader(b.Bytes())); ; {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return b.Bytes()
		} else if err != nil {
			t.Fatal(err)
		}
	}
}

// What a mark says: heights, bearings, level; the declination of -6.1 degrees is that of the
// World Magnetic Model, held elsewhere against its published values.
func TestMarksTellHeightsAndBearings(t *testing.T) {
	s := answer("Ash")
	for _, data := range [][]byte{written(t, s.WriteKML), written(t, s.WriteGPX)} {
		for _, want := range []string{"spot, ground 400 m, antenna 6 m up",
			"to Ash: 045 deg true, 051 magnetic, tilt -1.2 deg, 12.3 km, reaches", "to Spot 1: 225 deg true, 231 magnetic",
			"margin +12 ± 9 dB", "neighbour, ground 300 m, antenna 8 m up", "World Magnetic Model"} {
			if !strings.Contains(string(data), want) {
				t.Errorf("no %q in %s", want, data)
			}
		}
	}
	if got := written(t, s.WriteKML); !strings.Contains(string(got), "-84.1,36.5,406 -84,36.6,308") {
		t.Errorf("the line does not run from antenna to antenna: %s", got)
	}
	if got := written(t, s.WriteGPX); !strings.Contains(string(got), "<magvar>353.9</magvar>") {
		t.Errorf("no variation from 0 to 360: %s", got)
	}
}

// The sequences of the schema of GPX 1.1 (Topografix, 2004): gpxType, wptType and rteType.
var gpxSequence = map[string]string{
	"gpx": "metadata wpt rte trk extensions", "metadata": "name desc author copyright link time keywords bounds",
	"wpt": "ele time magvar geoidheight name cmt desc src link sym type", "rte": "name cmt desc src link number type rtept",
}

func TestElementsOfGPXStandInOrder(t *testing.T) {
	gpxSequence["rtept"] = gpxSequence["wpt"]
	var path []string
	last := map[int]int{}
	for d := xml.NewDecoder(bytes.NewReader(written(t, answer("Ash", "Birch").WriteGPX))); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		switch token := token.(type) {
		case xml.StartElement:
			name := token.Name.Local
			if n := len(path); n > 0 {
				at := slices.Index(strings.Fields(gpxSequence[path[n-1]]), name)
				if at < last[n] {
					t.Errorf("%s in %s is out of order", name, path[n-1])
				}
				last[n] = at
			}
			path = append(path, name)
			last[len(path)] = 0
		case xml.EndElement:
			path = path[:len(path)-1]
		}
	}
}

// Names of strangers come back as text, by the reader of the begin command.
func TestNamesOfStrangersComeBack(t *testing.T) {
	names := []string{`<b>x</b> & "y"`, "a\x00b", "\u202ex", "]]>", strings.Repeat("W", 300), "Größe 木"}
	s := answer(names...)
	for _, data := range [][]byte{written(t, s.WriteKML), written(t, s.WriteGPX)} {
		list, err := waypoints.Read(data)
		if err != nil || len(list) != len(names)+1 {
			t.Fatalf("%d waypoints, %v", len(list), err)
		}
		for i, want := range []string{names[0], "a<U+0000>b", "<U+202E>x", names[3], names[4], names[5]} {
			got, lat := list[i+1], 36.6+float64(i)/100
			if got.Name != want || !(math.Abs(got.At.Lat()-lat) < 1e-7) || got.At.Lon() != -84 {
				t.Errorf("found %q at %v, want %q", got.Name, got.At, want)
			}
		}
	}
	// A description is HTML to viewers of KML: the name stays text in it too.
	data := string(written(t, s.WriteKML))
	if strings.Contains(data, "to &lt;b&gt;") || !strings.Contains(data, "to &amp;lt;b&amp;gt;") {
		t.Error("a name is markup in a description")
	}
}

func TestUnknownGroundHasNoHeight(t *testing.T) {
	s := answer("Ash")
	s.Marks[1].GroundM = math.NaN()
	s.Lines[0].Verdict = linkbudget.Unknown
	for _, data := range [][]byte{written(t, s.WriteKML), written(t, s.WriteGPX)} {
		if strings.Contains(string(data), "NaN") || !strings.Contains(string(data), "ground unknown") {
			t.Errorf("%s", data)
		}
	}
}
