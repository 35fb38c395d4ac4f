package linkbudget

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/terrain"
)

// Reasons says in sentences what decides the result, the most important first.
func (r *Result) Reasons() []string {
	if r.Verdict == Unknown {
		return append(gapReasons(r.Gaps), r.Warnings...)
	}
	out := []string{r.pathReason()}
	if measured := r.calibratedReason(); measured != "" {
		out = append(out, measured)
	}
	if r.Diffraction.LossDB >= telling {
		out = append(out, r.diffractionReason())
	}
	out = append(out, r.costReasons()...)
	if r.Verdict != Reaches {
		out = append(out, fmt.Sprintf("%.1f dBm arrives where %.1f dBm is needed; the doubt of %.1f dB comes mostly from "+
			"the %s", r.Weaker().RxDBm, r.Weaker().SensitivityDBm, r.Doubt.SigmaDB, r.Doubt.Leading().Name))
	}
	if gap := r.Forward.MarginDB - r.Backward.MarginDB; gap >= telling || gap <= -telling {
		w := r.Weaker()
		out = append(out, fmt.Sprintf("the weaker direction is %s to %s, by %.1f dB", w.From, w.To, max(gap, -gap)))
	}
	if fall := r.MarginDB - r.PessimisticMarginDB; fall >= telling {
		out = append(out, fmt.Sprintf("when the air bends rays less (k = %.2f) the margin is %.1f dB lower, %+.1f dB",
			r.PessimisticK, fall, r.PessimisticMarginDB))
	}
	if r.Reflection != nil && r.Reflection.Possible() {
		out = append(out, fmt.Sprintf("a ground reflection near %s could shift the level by %+.1f to %+.1f dB",
			r.along(r.Reflection.AtM), r.Reflection.NullDB, r.Reflection.PeakDB))
	}
	if r.FilledPoints > 0 {
		out = append(out, fmt.Sprintf("%d heights were interpolated over voids in the terrain", r.FilledPoints))
	}
	return append(out, r.Warnings...)
}

// telling is the least change in decibels worth a sentence.
const telling DB = 0.5

// Plain reports whether the path is clear, reaches and has nothing to explain.
func (r *Result) Plain() bool {
	return r.Verdict == Reaches && r.Path == diffraction.PathClear && len(r.Reasons()) == 1
}

func (r *Result) pathReason() string {
	if !r.HasWorst {
		return "no ground between the ends to judge"
	}
	w, at := r.Worst, r.placeText()
	switch r.Path {
	case diffraction.PathBlocked:
		count := r.surface() + " cuts the line of sight" + r.overTops()
		if n := len(r.Obstacles); n > 1 {
			count = fmt.Sprintf("%s %d times", count, n)
		}
		above := "less than 1"
		if w.ClearanceM <= -1 {
			above = fmt.Sprintf("%.0f", -w.ClearanceM)
		}
		return fmt.Sprintf("%s; the worst, %s, stands %s m above it (%s)", count, at, above, r.worstText())
	case diffraction.PathGrazing:
		what := "ground"
		if r.WorstStandsM > 0 {
			what = "what stands"
		}
		leaves, needs := RoundedApart(w.ClearanceM, diffraction.ClearFraction*w.RadiusM, 1)
		return fmt.Sprintf("line of sight%s, but %s %s leaves %s m where %g of the first Fresnel zone needs %s m",
			r.overTops(), what, at, leaves, diffraction.ClearFraction, needs)
	}
	return fmt.Sprintf("clear%s: at least %s first Fresnel radii beyond the nearest 50 to 100 m, least %s", r.overTops(),
		FresnelText(w.Fraction, 1), at)
}

// surface is what paths are told to run over: the ground, and what stands on it where
// that is known.
func (r *Result) surface() string {
	if r.StandsM != nil {
		return "the ground or what stands on it"
	}
	return "ground"
}

// worstText is the height of the worst point: of the ground, or of a top and of the
// ground below it.
func (r *Result) worstText() string {
	if r.WorstStandsM > 0 {
		return fmt.Sprintf("top %.0f m, on ground %.0f m", r.Worst.GroundM, r.Worst.GroundM-r.WorstStandsM)
	}
	return fmt.Sprintf("ground %.0f m", r.Worst.GroundM)
}

// overTops says from where a path is reckoned whose antenna stands below the tops around it:
// the line of sight is not that of the antenna.
func (r *Result) overTops() string {
	var from []string
	for _, end := range [2]struct {
		name              string
		heightM, reckoned float64
	}{{r.From, r.HeightAM, r.ReckonedAM}, {r.To, r.HeightBM, r.ReckonedBM}} {
		if end.reckoned > end.heightM {
			from = append(from, fmt.Sprintf("the tops of %g m around %s", end.reckoned, end.name))
		}
	}
	if len(from) == 0 {
		return ""
	}
	return " from " + strings.Join(from, " and ")
}

func (r *Result) diffractionReason() string {
	d := r.Diffraction
	over, edge := "the ground", "ground"
	if r.StandsM != nil {
		over, edge = "the ground and what stands on it", "what rises"
	}
	s := fmt.Sprintf("diffraction over %s costs %.1f dB", over, d.LossDB)
	switch {
	case r.SingleEdgeDB != nil:
		s += fmt.Sprintf("; one sharp edge in its place would cost %.1f dB", *r.SingleEdgeDB)
	case r.Path == diffraction.PathClear && d.BullingtonDB >= telling && nearEnd(d.EdgeAtM, r.DistM):
		s += fmt.Sprintf(", from %s %s: more height there, or a spot nearer the edge, would save most of it", edge,
			r.along(d.EdgeAtM))
	case d.SphericalDB > d.SmoothDB:
		s += ", part of it because the antennas are low over the mean ground"
	}
	return s
}

// nearEndM is how close ground must be to an antenna to count as its own.
const nearEndM = 300

func nearEnd(atM, distM float64) bool { return atM < nearEndM || distM-atM < nearEndM }

// along tells a distance on the path: from the nearer end in metres when close
// to it, else from the first end in kilometres.
func (r *Result) along(atM float64) string {
	switch {
	case atM < nearEndM:
		return fmt.Sprintf("%.0f m from %s", atM, r.From)
	case r.DistM-atM < nearEndM:
		return fmt.Sprintf("%.0f m from %s", r.DistM-atM, r.To)
	}
	return fmt.Sprintf("%.1f km", atM/1000)
}

// placeText is the place of the worst point as a distance and coordinates.
func (r *Result) placeText() string {
	s := r.along(r.Worst.AtM)
	if r.WorstAt.Known {
		s += fmt.Sprintf(" (%.4f, %.4f)", r.WorstAt.LonDeg, r.WorstAt.LatDeg)
	}
	return s
}

// gapReasons names each stretch without heights and its first place.
func gapReasons(gaps []terrain.Gap) []string {
	var out []string
	for _, g := range gaps {
		what := "the terrain has a void"
		if g.Flag == terrain.Outside {
			what = "the path is outside the terrain"
		}
		s := fmt.Sprintf("%s from %.2f to %.2f km", what, g.FromM/1000, g.ToM/1000)
		if g.FromM == g.ToM {
			s = fmt.Sprintf("%s at %.2f km", what, g.FromM/1000)
		}
		if g.Place != (orb.Point{}) {
			s += fmt.Sprintf(", first at %.5f, %.5f", g.Place.Lon(), g.Place.Lat())
		}
		out = append(out, s)
	}
	return out
}
