package handheld

import (
	"fmt"
	"html"
	"image/color"
	"io"
	"math"
	"strconv"
	"strings"

	kml "github.com/twpayne/go-kml/v3"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain/fault"
)

// lineLooks are colours of Okabe and Ito; the width and the folder tell the state besides.
var lineLooks = []struct {
	verdict linkbudget.Verdict
	colour  color.RGBA
	width   float64
}{
	{linkbudget.Reaches, color.RGBA{0, 158, 115, 255}, 4}, {linkbudget.Marginal, color.RGBA{230, 159, 0, 255}, 3},
	{linkbudget.Short, color.RGBA{213, 94, 0, 255}, 2}, {linkbudget.Unknown, color.RGBA{0, 0, 0, 255}, 1},
}

// WriteKML writes the sheet as OGC KML 2.2: a folder of poles on the ground, and a folder of
// links for each state, which run from antenna to antenna where the ground of both is known.
// The figures stand in ExtendedData too. Errors are those of w.
func (s *Sheet) WriteKML(w io.Writer) (err error) {
	defer fault.Recovered(&err)
	document := kml.Document(kml.Name(s.Name), kml.Description(shown(s.About)))
	for _, look := range lineLooks {
		document.Append(kml.SharedStyle(look.verdict.String(), kml.LineStyle(kml.Color(look.colour), kml.Width(look.width))))
	}
	poles := kml.Folder(kml.Name("poles"))
	for i := range s.Marks {
		poles.Append(s.Marks[i].placemark())
	}
	document.Append(poles)
	for _, look := range lineLooks {
		var lines []kml.Element
		for i := range s.Lines {
			if l := &s.Lines[i]; l.Verdict == look.verdict {
				lines = append(lines, l.placemark())
			}
		}
		if len(lines) > 0 {
			document.Append(kml.Folder(append([]kml.Element{kml.Name("links: " + look.verdict.String())}, lines...)...))
		}
	}
	return kml.KML(document).WriteIndent(w, "", " ")
}

// shown is a text as a description, which viewers take for HTML.
func shown(text string) string { return strings.ReplaceAll(html.EscapeString(text), "\n", "<br>\n") }

func datum(name, value string) kml.Element { return kml.Data(name, kml.Value(value)) }

func number(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }

// tenths of a metre are more than any terrain knows.
func tenths(v float64) float64 { return math.Round(10*v) / 10 }

func (m *Mark) placemark() kml.Element {
	at := kml.Coordinate{Lon: m.At.Lon(), Lat: m.At.Lat()}
	data := []kml.Element{datum("kind", m.Kind), datum("height_m", number(m.HeightM, 3))}
	if m.GroundM == m.GroundM {
		at.Alt = tenths(m.GroundM)
		data = append(data, datum("ground_m", number(m.GroundM, 3)))
	}
	if m.MagneticDeg == m.MagneticDeg {
		data = append(data, datum("declination_deg", number(m.MagneticDeg, 1)))
	}
	return kml.Placemark(kml.Name(m.Name), kml.Description(shown(m.text())), kml.ExtendedData(data...),
		kml.Point(kml.AltitudeMode(kml.AltitudeModeClampToGround), kml.Coordinates(at)))
}

func (l *Line) placemark() kml.Element {
	data := []kml.Element{datum("from", l.From.Name), datum("to", l.To.Name), datum("verdict", l.Verdict.String()),
		datum("wanted", strconv.FormatBool(l.Wanted)), datum("distance_m", number(l.DistM, 3)),
		datum("azimuth_deg", number(l.AzimuthDeg, 4)), datum("back_azimuth_deg", number(l.BackAzimuthDeg, 4))}
	if l.Verdict != linkbudget.Unknown {
		data = append(data, datum("margin_db", number(float64(l.MarginDB), 3)),
			datum("sigma_db", number(float64(l.SigmaDB), 3)),
			datum("probability", number(l.Probability, 4)))
	}
	mode, ends := kml.AltitudeModeAbsolute, []kml.Coordinate{}
	for _, m := range []*Mark{l.From, l.To} {
		ends = append(ends, kml.Coordinate{Lon: m.At.Lon(), Lat: m.At.Lat(), Alt: tenths(m.GroundM + m.HeightM)})
		if m.GroundM != m.GroundM {
			mode = kml.AltitudeModeClampToGround
		}
	}
	line := []kml.Element{kml.AltitudeMode(mode), kml.Coordinates(ends...)}
	if mode == kml.AltitudeModeClampToGround {
		for i := range ends {
			ends[i].Alt = 0
		}
		line = []kml.Element{kml.Tessellate(true), kml.AltitudeMode(mode), kml.Coordinates(ends...)}
	}
	return kml.Placemark(kml.Name(l.name()), kml.Description(shown(l.note())), kml.StyleURL(fmt.Sprintf("#%s", l.Verdict)),
		kml.ExtendedData(data...), kml.LineString(line...))
}
