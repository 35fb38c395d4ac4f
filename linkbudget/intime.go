package linkbudget

import (
	"fmt"
	"math"

	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/timepercent"
	"github.com/polereach/polereach/terrain"
)

// inTime makes the loss that not exceeded for Environment.TimePercent, after the median one
// has been found.
func (e *evaluation) inTime() {
	percent := e.conditions.env.TimePercent
	switch {
	case percent == 0 || percent == 50:
		return
	case percent > 50:
		fades := e.fades()
		e.loss.time = fades.NotExceeded(percent)
	default:
		course := e.course()
		e.loss.time = course.Loss(percent, 50, 0) - course.Loss(50, 50, 0)
	}
	e.loss.total += e.loss.time
}

// unknownLatDeg stands for the latitude of a profile without places.
const unknownLatDeg = 45

// latDeg is that of the middle of the path.
func latDeg(p *terrain.Profile) float64 {
	if n := len(p.Points); n > 0 {
		return (p.Points[0].Lat() + p.Points[n-1].Lat()) / 2
	}
	return unknownLatDeg
}

// fades are the bad half of the path's time.
func (e *evaluation) fades() timepercent.Fades {
	return timepercent.FadesOf{
		DistM: e.loss.distM, FreqHz: e.loss.path.FreqHz, AHeightM: e.sight.AHeightM, BHeightM: e.sight.BHeightM,
		DiffractionDB: e.loss.diffraction.LossDB, LatDeg: latDeg(e.profile),
	}.Fades()
}

// region is where the path lies. Without a cover nothing says where water is: ITU-R P.1812-6 is
// then told that all of it is inland.
func region(p *terrain.Profile) timepercent.Region {
	if p.Standing == nil {
		return timepercent.Inland(latDeg(p), p.LengthM())
	}
	return timepercent.Along(latDeg(p), p.DistM, p.HeightM, func(i int) bool {
		return p.Standing[i].Class == terrain.CoverWater
	})
}

// course is the path in the good half of its time.
func (e *evaluation) course() timepercent.Course {
	m := &e.loss
	e.on.read(0, len(e.profile.DistM)) // water too
	p := timepercent.Path{FreeSpaceDB: m.freeSpace, Region: region(e.profile)}
	m.sea = p.SeaFraction
	p.Over(&e.ground, &m.path, m.diffraction.LossDB)
	theta := p.Horizons.AngleRad(m.distM, m.path.EffectiveRadiusM)
	p.ScatterDB = m.scatterDB + DB(20*math.Log10(m.distM)) + diffraction.ScatterAngleLoss(max(theta, 0))
	return p.Course()
}

// Rises makes out by how much the level of the path that Survey looked at last, whose figures are f,
// rises over them for no more than each share of time, 1 to 50 %: what else is heard then. All are 0
// where the path is not known, there was none, or its cover cannot be read any more; out is as long as percents.
func (e *Evaluator) Rises(f *Brief, percents []float64, out []DB) {
	w := &e.work.evaluation
	if f == nil || f.Verdict == Unknown || w.profile == nil || len(out) != len(percents) {
		clear(out)
		return
	}
	course := w.course()
	if w.on.failed() != nil {
		clear(out)
		return
	}
	half := course.Loss(50, 50, 0)
	for i, percent := range percents {
		out[i] = w.loss.time + half - course.Loss(min(max(percent, leastTimePercent), 50), 50, 0)
	}
}

// Least and most of what is told of a share of time, per cent: ITU-R P.1812 begins at 1, and
// no formula here is good for less than an hour of a year.
const leastTimePercent, mostTimePercent = 1, 99.99

// heldMostly is the share of time in which a median margin of 0 or more stays so, per cent.
func (e *evaluation) heldMostly(median DB) float64 {
	if median >= neverFadesDB {
		return mostTimePercent
	}
	fades := e.fades()
	return min(100*(1-fades.Exceeded(median)), mostTimePercent)
}

// neverFadesDB is deeper than any path fades in the rest of mostTimePercent: a tail as
// Rayleigh's has, 10 dB to each decade of time, and less behind horizons.
const neverFadesDB = 42

// heldSeldom is the share of time in which a median margin below 0 comes to 0 or more, per
// cent; 0 for less than leastTimePercent. It costs as much as the whole path, and is asked of
// a path that is looked at alone.
func (e *evaluation) heldSeldom(median DB) float64 {
	// Nothing gains more than free space and what focusing adds to it at 1 % of time.
	m := &e.loss
	if lost := m.total - m.time - m.ends[0] - m.ends[1] - m.freeSpace; median+lost+mostFocusing(leastTimePercent) < 0 {
		return 0
	}
	course := e.course()
	half := course.Loss(50, 50, 0)
	gain := func(percent float64) DB { return half - course.Loss(percent, 50, 0) }
	if median+gain(leastTimePercent) < 0 {
		return 0
	}
	low, high := float64(leastTimePercent), 50.0
	for range 12 { // to a thousandth of the share
		if mid := math.Sqrt(low * high); median+gain(mid) >= 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// TimePercentText writes a share of time, per cent, without the sign, rounded down: no more
// than 99.9; 0 is "<1".
func TimePercentText(percent float64) string {
	switch {
	case percent < leastTimePercent:
		return "<1"
	case percent >= 99:
		return fmt.Sprintf("%.1f", math.Floor(10*percent)/10)
	}
	return fmt.Sprintf("%.0f", math.Floor(percent))
}

// mostFocusing is how far below free space a loss may be not exceeded for a share of time:
// -E_sp of ITU-R P.1812-6 eq (9) with far horizons, below 0 over 50 %.
func mostFocusing(percent float64) DB { return DB(2.6 * math.Log10(50/percent)) }

// timeTerm is the line of a budget for it.
func (m *median) timeTerm() Term {
	percent := m.conditions.env.TimePercent
	source := "ITU-R P.1812-6 §4, inland"
	switch {
	case m.sea > 0 && percent < 50:
		source = fmt.Sprintf("ITU-R P.1812-6 §4, %s %% over sea", PercentText(m.sea))
	case percent > 50:
		source = "ITU-R P.530-17 §2.3, average year, clear; P.617 behind horizons, held to measurements"
	}
	return Term{fmt.Sprintf("time, not exceeded for %g %%", percent), m.time, source}
}
