// Package handheld writes results for phones, GPS receivers and globes, as KML (OGC KML 2.2)
// or GPX 1.1: poles and spots as waypoints with heights and bearings, links as lines.
//
// [Mesh] and [Spots] make the Sheet, whose WriteKML and WriteGPX write it. Texts of strangers stand
// in it as [plan.Visible] spells them out.
package handheld

import (
	"fmt"
	"math"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/magnetic"
)

// Sheet is what is written.
type Sheet struct {
	Name  string
	About string
	Marks []Mark
	Lines []Line
}

// Mark is a pole or a spot.
type Mark struct {
	Name string
	Kind string // "pole", "proposed pole", "gateway", "spot", "spot that does not serve", "neighbour"
	At   orb.Point
	// GroundM is the ground above the datum of the terrain, m; NaN for unknown.
	GroundM float64
	// HeightM is the antenna above the ground, m.
	HeightM float64
	// MagneticDeg is the declination, degrees east of true north; NaN for unknown.
	MagneticDeg float64
	// Notes are lines of text, one for each path from here.
	Notes []string
}

// Line is a link between two marks.
type Line struct {
	From, To       *Mark
	Verdict        linkbudget.Verdict
	Wanted         bool
	DistM          float64
	MarginDB       linkbudget.DB
	SigmaDB        linkbudget.DB
	Probability    float64
	AzimuthDeg     float64 // at From, true
	BackAzimuthDeg float64 // at To, true
}

// name is that of both ends.
func (l *Line) name() string { return l.From.Name + " - " + l.To.Name }

// note is what is told of the path on one line.
func (l *Line) note() string {
	text := fmt.Sprintf("%.1f km, %s", l.DistM/1000, l.Verdict)
	if l.Verdict != linkbudget.Unknown {
		text += fmt.Sprintf(", margin %+.0f ± %.0f dB, %s %%", l.MarginDB, l.SigmaDB, linkbudget.PercentText(l.Probability))
	}
	return text
}

// declination sets that of a mark, in the month of a date.
func (m *Mark) declination(date time.Time) {
	if m.MagneticDeg = math.NaN(); !date.IsZero() {
		if c := magnetic.NewCompass(m.At, date); c.Known() {
			m.MagneticDeg = c.DeclinationDeg
		}
	}
}

// toward is a line of text about the path from a mark to another one.
func toward(name string, azimuthDeg, elevationDeg float64, known bool, c magnetic.Compass, l *Line) string {
	text := fmt.Sprintf("to %s: %s deg true", name, wholeDeg(azimuthDeg))
	if c.Known() {
		text += fmt.Sprintf(", %s magnetic", wholeDeg(c.BearingDeg(azimuthDeg)))
	}
	if known {
		text += fmt.Sprintf(", tilt %+.1f deg", elevationDeg)
	}
	return text + ", " + l.note()
}

// link adds a line and what each end is told of it.
func (s *Sheet) link(l Line, elevationDeg, backElevationDeg float64, date time.Time) {
	known := l.Verdict != linkbudget.Unknown
	there, back := magnetic.NewCompass(l.From.At, date), magnetic.NewCompass(l.To.At, date)
	l.From.Notes = append(l.From.Notes, toward(l.To.Name, l.AzimuthDeg, elevationDeg, known, there, &l))
	l.To.Notes = append(l.To.Notes, toward(l.From.Name, l.BackAzimuthDeg, backElevationDeg, known, back, &l))
	s.Lines = append(s.Lines, l)
}

// wholeDeg is a bearing of three figures.
func wholeDeg(deg float64) string { return fmt.Sprintf("%03d", int(math.Round(deg))%360) }

// groundOf is NaN where the height is not known.
func groundOf(heightM float64, flag terrain.Flag) float64 {
	if !flag.Known() {
		return math.NaN()
	}
	return heightM
}

// heights tells ground and antenna.
func (m *Mark) heights() string {
	ground := "ground unknown"
	if m.GroundM == m.GroundM {
		ground = fmt.Sprintf("ground %.0f m", m.GroundM)
	}
	return fmt.Sprintf("%s, %s, antenna %g m up", m.Kind, ground, m.HeightM)
}

// text is all that is told of a mark.
func (m *Mark) text() string { return strings.Join(append([]string{m.heights()}, m.Notes...), "\n") }

// directions says what the bearings are, by the compass at a place of the sheet.
func directions(at orb.Point, date time.Time) string {
	text := "Bearings are true"
	if note := magnetic.NewCompass(at, date).Note(); note != "" {
		text += "; magnetic: " + note
	}
	return text + "."
}

// spelt makes every text fit to be seen.
func (s *Sheet) spelt() {
	s.Name, s.About = plan.Visible(s.Name), plan.Visible(s.About)
	for i := range s.Marks {
		m := &s.Marks[i]
		m.Name = plan.Visible(m.Name)
		for k, note := range m.Notes {
			m.Notes[k] = plan.Visible(note)
		}
	}
}
