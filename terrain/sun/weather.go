package sun

import (
	"errors"
	"math"
	"time"

	"github.com/polereach/polereach/terrain/fault"
)

// longestAirGap is how many hours the temperature may be missing in a row.
const longestAirGap = 6

// complete fills in what is missing where that is safe, and reports the rest.
func (w *Weather) complete() error {
	var errs []error
	for _, g := range []gaps{w.completeRadiation(), w.completeAir()} {
		if g.count > 0 {
			h := w.Hours[g.first]
			errs = append(errs, fault.Input("sun: weather file: %s is missing in %d hours and cannot be filled in, first on "+
				"%v %d, hour %d", g.of, g.count, h.Month, h.DayOfMonth, h.Hour))
		}
	}
	return errors.Join(errs...)
}

// gaps counts the hours in which something is missing for good.
type gaps struct {
	of           string
	count, first int
}

func (g *gaps) add(hour, hours int) {
	if g.count == 0 {
		g.first = hour
	}
	g.count += hours
}

// completeRadiation fills in radiation, and counts what it cannot.
func (w *Weather) completeRadiation() gaps {
	bad := gaps{of: "the radiation"}
	var sun track
	for i := range w.Hours {
		h := &w.Hours[i]
		missing := 0
		for _, v := range []float64{h.GlobalWM2, h.BeamWM2, h.DiffuseWM2} {
			if math.IsNaN(v) {
				missing++
			}
		}
		if missing == 0 {
			continue
		}
		sinElev := w.meanSinElev(&sun, i)
		switch {
		case sinElev == 0:
			h.GlobalWM2, h.BeamWM2, h.DiffuseWM2 = 0, 0, 0
		case missing == 1 && math.IsNaN(h.GlobalWM2):
			h.GlobalWM2 = h.DiffuseWM2 + h.BeamWM2*sinElev
		case missing == 1 && math.IsNaN(h.DiffuseWM2):
			h.DiffuseWM2 = max(0, h.GlobalWM2-h.BeamWM2*sinElev)
		case !math.IsNaN(h.GlobalWM2): // the beam, or beam and diffuse
			if math.IsNaN(h.DiffuseWM2) {
				n := float64(i/24 + 1)
				kt := h.GlobalWM2 / (SolarConstantWM2 * distanceFactor(n) * sinElev)
				h.DiffuseWM2 = h.GlobalWM2 * diffuseOfHour(kt)
			}
			// At a grazing sun the quotient means nothing; no beam exceeds 1100.
			h.BeamWM2 = min(1100, max(0, h.GlobalWM2-h.DiffuseWM2)/max(sinElev, lowestSinElev))
		default:
			bad.add(i, 1)
			continue
		}
		w.Filled += missing
	}
	return bad
}

// completeAir fills in short gaps of temperature along a straight line, and
// counts what it cannot.
func (w *Weather) completeAir() gaps {
	bad := gaps{of: "the temperature"}
	for i := 0; i < len(w.Hours); {
		if !math.IsNaN(w.Hours[i].AirK) {
			i++
			continue
		}
		end := i
		for end < len(w.Hours) && math.IsNaN(w.Hours[end].AirK) {
			end++
		}
		if i == 0 || end == len(w.Hours) || end-i > longestAirGap {
			bad.add(i, end-i)
		} else {
			from, to := w.Hours[i-1].AirK, w.Hours[end].AirK
			for k := i; k < end; k++ {
				w.Hours[k].AirK = from + (to-from)*float64(k-i+1)/float64(end-i+1)
			}
			w.Filled += end - i
		}
		i = end
	}
	return bad
}

// airToMiddle takes the temperatures, each that of a moment so many hours (within
// ±13) after the middle of its row, to that middle. The year comes round.
func (w *Weather) airToMiddle(lateH float64) {
	n := len(w.Hours)
	moments := make([]float64, n)
	for i := range moments {
		moments[i] = w.Hours[i].AirK
	}
	whole := math.Floor(-lateH)
	part := -lateH - whole
	for i := range w.Hours {
		from := (i + int(whole) + n) % n
		w.Hours[i].AirK = moments[from] + part*(moments[(from+1)%n]-moments[from])
	}
}

// moment returns a time within hour i, given as the part of the hour gone. The
// year is one and the same for all rows: files join months of many.
func (w *Weather) moment(i int, part float64) time.Time {
	sinceNewYear := float64(i) + part - w.ZoneH
	return time.Date(referenceYear, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(sinceNewYear * float64(time.Hour)))
}

// stepsPerHour is how often the sun is looked at in an hour of a file: every 4
// minutes.
const stepsPerHour = 15

// meanSinElev returns the mean of the sine of the sun's elevation over hour i,
// 0 while it is down.
func (w *Weather) meanSinElev(sun *track, i int) float64 {
	sum := 0.0
	for s := range stepsPerHour {
		p := sun.at(julianDay(w.moment(i, (float64(s)+0.5)/stepsPerHour)), w.At)
		sum += max(0, math.Sin(p.TrueElevDeg*deg))
	}
	return sum / stepsPerHour
}

// checkShift holds the hours against the sun: global radiation less diffuse must be the beam times
// the sine of the sun's elevation. If that fits clearly better with the clock put by half an hour
// or more, the file's times are off. For the sum of a year, the residue is a few per cent of the
// radiation where the times are right, and grows by about a tenth with each hour.
func (w *Weather) checkShift() error {
	as, total := w.residue(0)
	if !(as > 0.05*total) {
		return nil
	}
	best, bestShiftH := as, 0.0
	for s := -23; s <= 24; s++ {
		if off, _ := w.residue(float64(s) / 2); off < best {
			best, bestShiftH = off, float64(s)/2
		}
	}
	if bestShiftH == 0 || best > as/2 {
		return nil // noisy, not shifted
	}
	return fault.Input("sun: weather file: the times do not fit the sun at %g°, %g° in time zone %g h: global, beam "+
		"and diffuse radiation disagree by %.0f %%, and by %.0f %% with the clock put %+g h; if that is right, read it "+
		"with a shift of %+g h", w.At[0], w.At[1], w.ZoneH, 100*as/total, 100*best/total, bestShiftH, bestShiftH)
}

// residue is how much global, beam and diffuse radiation disagree with the clock
// put by so many hours, and the global radiation: sums over every fifth day, W/m².
func (w *Weather) residue(shiftH float64) (off, total float64) {
	var sun track
	for day := 2; day < len(w.Hours)/24; day += 5 {
		for hour := range 24 {
			h := &w.Hours[day*24+hour]
			if h.GlobalWM2 == 0 && h.BeamWM2 == 0 || math.IsNaN(h.GlobalWM2+h.BeamWM2+h.DiffuseWM2) {
				continue
			}
			p := sun.at(julianDay(w.moment(day*24+hour, 0.5+shiftH)), w.At)
			off += math.Abs(h.GlobalWM2 - h.DiffuseWM2 - h.BeamWM2*max(0, math.Sin(p.TrueElevDeg*deg)))
			total += h.GlobalWM2
		}
	}
	return off, total
}
