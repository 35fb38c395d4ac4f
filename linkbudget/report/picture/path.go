package picture

import (
	"fmt"
	"io"
	"strings"

	"github.com/paulmach/orb"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// pathWidth is that of the picture of a path, which a page of A4 or Letter holds between
// its margins; pathHeight is that of its plot.
const (
	pathWidth  = 7 * vg.Inch
	pathHeight = 3.2 * vg.Inch
)

// Path draws the vertical section of a path, as "svg" or "png": the ground and what stands
// on it, raised by the bulge of the effective earth, the direct ray, the first Fresnel zone
// and 0.6 of it, the point that decides and where the ground reflects. r is the result for
// the profile p at freqHz, Hz; where its Verdict is Unknown only the ground is drawn. Errors
// are of the format, of a profile that is not valid, or of w.
func Path(w io.Writer, format string, p *terrain.Profile, r *linkbudget.Result, freqHz float64) (err error) {
	defer fault.Recovered(&err)
	if p == nil || r == nil || !(freqHz > 0) {
		return fault.Input("picture: a profile, its result and a frequency above 0 are wanted")
	}
	if err := p.Validate(); err != nil {
		return err
	}
	s := newSection(p, r, freqHz)
	plotted, err := s.plot()
	if err != nil {
		return err
	}
	f := frame{title: s.title(), left: endLabel("A", r.From, r.GroundAM, r.HeightAM, s.known),
		right: endLabel("B", r.To, r.GroundBM, r.HeightBM, s.known), key: s.key, notes: s.notes()}
	// The scale of the plot does not depend on what stands round it.
	body := draw.Canvas{Rectangle: vg.Rectangle{Max: vg.Point{X: pathWidth - 2*framePad, Y: pathHeight}}}
	inside := plotted.DataCanvas(body)
	x, y := plotted.Transforms(&inside)
	steeper := float64(y(1)-y(0)) / float64(x(1)-x(0)) * 1000 // an x is a kilometre
	f.notes = append(f.notes, note{text: s.scaleText(steeper)})
	height := f.above() + pathHeight + f.below(pathWidth)
	return render(w, format, pathWidth, height, func(c draw.Canvas) error {
		inner := f.draw(c)
		plotted.Draw(inner)
		return nil
	})
}

// section is what is drawn of a path.
type section struct {
	profile *terrain.Profile
	result  *linkbudget.Result
	known   bool
	sight   diffraction.Sightline
	standsM []float64 // see heightsM
	freqHz  float64
	key     []keyed
}

func newSection(p *terrain.Profile, r *linkbudget.Result, freqHz float64) *section {
	s := &section{profile: p, result: r, known: r.Verdict != linkbudget.Unknown, freqHz: freqHz,
		sight: r.Sightline(p, freqHz)}
	s.standsM = s.heightsM()
	return s
}

func (s *section) title() string {
	r := s.result
	if !s.known {
		return fmt.Sprintf("%.2f km, %s", r.DistM/1000, r.Verdict)
	}
	return fmt.Sprintf("%.2f km, path %s, margin %+.0f ± %.0f dB, %s", r.DistM/1000, r.Path, r.MarginDB, r.Doubt.SigmaDB,
		r.Verdict)
}

// endLabel is of an end by its letter, which the notes have.
func endLabel(letter, name string, groundM, heightM float64, known bool) string {
	const most = 40 // letters of a name
	if r := []rune(name); len(r) > most {
		name = string(r[:most]) + "…"
	}
	if name != letter {
		name = letter + ": " + name
	}
	if !known {
		return fmt.Sprintf("%s, antenna %g m up", name, heightM)
	}
	return fmt.Sprintf("%s, ground %.0f m, antenna %g m up", name, groundM, heightM)
}

// placeText is a place of the path, if places are known.
func placeText(at linkbudget.Place) string {
	if !at.Known {
		return ""
	}
	return fmt.Sprintf(" (lon %.5f, lat %.5f)", at.LonDeg, at.LatDeg)
}

// notes say where the marks are and what they mean.
func (s *section) notes() (list []note) {
	r := s.result
	add := func(mark draw.GlyphStyle, format string, args ...any) {
		list = append(list, note{mark, fmt.Sprintf(format, args...)})
	}
	for i, g := range r.Gaps {
		if i == 3 {
			add(draw.GlyphStyle{}, "and %d more such stretches", len(r.Gaps)-i)
			break
		}
		add(draw.GlyphStyle{}, "no ground known from %.2f to %.2f km: %s", g.FromM/1000, g.ToM/1000, g.Flag)
	}
	if !s.known {
		return list
	}
	if c := &r.Worst; r.HasWorst {
		how := "leaves free"
		if c.ClearanceM < 0 {
			how = "cuts the line of sight:"
		}
		stands := ""
		if r.WorstStandsM > 0 {
			stands = fmt.Sprintf(", %.0f m of it what stands there", r.WorstStandsM)
		}
		add(decidingMark, "decides: %.1f km from A, %.1f km from B%s, %.0f m high%s, %s %s of the first Fresnel zone's "+
			"radius, %.1f of %.1f m", c.AtM/1000, (r.DistM-c.AtM)/1000, placeText(r.WorstAt), c.GroundM, stands, how,
			linkbudget.FresnelText(c.Fraction, 2), c.ClearanceM, c.RadiusM)
	}
	if others := s.others(); len(others) > 0 {
		var where []string
		for _, c := range others[:min(len(others), 6)] {
			where = append(where, fmt.Sprintf("%.1f km (%.1f m)", c.AtM/1000, c.ClearanceM))
		}
		if more := len(others) - len(where); more > 0 {
			where = append(where, fmt.Sprintf("%d more", more))
		}
		add(otherMark, "cuts the line of sight too, km from A: %s", strings.Join(where, ", "))
	}
	if f := r.Reflection; f != nil {
		what := "too weak to matter"
		switch {
		case f.Possible():
			what = fmt.Sprintf("the level may be %.0f dB lower or %.0f dB higher", -f.NullDB, f.PeakDB)
		case !f.Visible:
			what = "not in free sight of both ends"
		}
		add(reflectionMark, "the ground may reflect: %.1f km from A, %.1f km from B%s, %s", f.AtM/1000, (r.DistM-f.AtM)/1000,
			placeText(s.placeAt(f.AtM)), what)
	}
	return list
}

// placeAt is the place at a distance from A.
func (s *section) placeAt(atM float64) linkbudget.Place {
	if s.profile.Points == nil {
		return linkbudget.Place{}
	}
	var at orb.Point = terrain.Destination(s.profile.Points[0], s.profile.AzimuthDeg, atM)
	return linkbudget.Place{LonDeg: at.Lon(), LatDeg: at.Lat(), Known: true}
}

// others are the worst points of the runs that cut the line of sight, but for the one that
// decides.
func (s *section) others() (list []diffraction.Clearance) {
	for _, o := range s.result.Obstacles {
		if o.Worst.Index != s.result.Worst.Index {
			list = append(list, o.Worst)
		}
	}
	return list
}

// scaleText says how the section is drawn.
func (s *section) scaleText(steeper float64) string {
	r := s.result
	text := fmt.Sprintf("%.4g MHz. Air: k = %.2f, effective earth radius %.0f km, bulge in the middle %.1f m.",
		s.freqHz/1e6, r.KFactor, radio.EffectiveRadiusM(r.KFactor)/1000, s.bulgeM(r.DistM/2))
	if s.known {
		text += fmt.Sprintf(" Where the air bends less, k = %.2f: path %s.", r.PessimisticK, r.PessimisticPath)
		if r.ReckonedAM != r.HeightAM || r.ReckonedBM != r.HeightBM {
			text += fmt.Sprintf(" Reckoned from %.0f m over the ground at A and %.0f m at B, the tops around.", r.ReckonedAM,
				r.ReckonedBM)
		}
	}
	return text + fmt.Sprintf(" Heights are drawn %s times as steep as they are.", roundScale(steeper))
}

// roundScale is a scale to two digits or three.
func roundScale(v float64) string {
	if v >= 100 {
		return fmt.Sprintf("%.0f", v)
	}
	return fmt.Sprintf("%.2g", v)
}

// bulgeM is the rise of the effective earth over the chord.
func (s *section) bulgeM(atM float64) float64 {
	return atM * (s.profile.LengthM() - atM) * radio.HalfCurvature(s.sight.EffectiveRadiusM)
}
