package sun

import (
	"fmt"
	"time"
)

// sectors is how many directions Blocked tells apart.
const sectors = 36

// Sector is the part of the horizon from FromDeg clockwise to ToDeg, degrees.
type Sector struct {
	FromDeg, ToDeg float64
	// LostWhM2 is the beam the skyline keeps from the panel there on the mean day
	// of the month, Wh/m².
	LostWhM2 float64
}

// Blocked returns which directions take how much of the sun from a panel on the
// mean day of a month: the skyline in sectors of 10° from north, those that take
// anything. Together they are the loss of beam; the loss of sky light has no one
// direction.
func Blocked(site Site, panel Panel, climate Climate, month time.Month) ([]Sector, error) {
	r, err := newRun(site, panel, climate)
	if err != nil {
		return nil, err
	}
	if month < time.January || month > time.December {
		return nil, fmt.Errorf("sun: month %d, must be 1 to 12", month)
	}
	return r.blocked(int(month) - 1), nil
}

func (r *run) blocked(month int) []Sector {
	var lost [sectors]float64
	kt := r.clearness(month)
	days := daysFor(r.latDeg, month)
	for _, n := range days {
		a := newArc(r.method, r.latDeg, n, &r.sky, r.panel)
		w := weather{globalWhM2: kt * a.outsideWhM2, diffuseShare: diffuseOfMonth(kt, a.sunsetDeg)}
		for i := range a.steps {
			if s := &a.steps[i]; !s.clear {
				lost[int(s.azimuth/360*sectors)%sectors] += w.at(s).beam * s.beamRatio * r.climate.factor(kt) / float64(len(days))
			}
		}
	}
	var out []Sector
	for i, wh := range lost {
		if wh > 0 {
			out = append(out, Sector{FromDeg: float64(i) * 360 / sectors, ToDeg: float64(i+1) * 360 / sectors, LostWhM2: wh})
		}
	}
	return out
}
