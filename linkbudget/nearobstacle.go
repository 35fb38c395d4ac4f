package linkbudget

import (
	"errors"
	"fmt"
	"math"
)

// NearObstacle is a roof edge, a parapet or a tree trunk a few metres from one
// antenna, which no terrain model knows. It is taken as a knife edge that is
// much nearer to this end than to the other.
type NearObstacle struct {
	HeightM float64 // of its edge above the line to the other antenna, below it negative; -100 to 100 m
	DistM   float64 // from the antenna, 0.5 to 500 m
	FreqHz  float64 // MinFreqHz to MaxFreqHz
}

// NearObstacleAt returns the obstacle whose edge is seen this many degrees above
// the line to the other antenna: what a surveyor measures. -80 to 80 degrees
// make sense; HeightM is the distance times the tangent.
func NearObstacleAt(angleDeg, distM, freqHz float64) NearObstacle {
	return NearObstacle{HeightM: distM * math.Tan(angleDeg*math.Pi/180), DistM: distM, FreqHz: freqHz}
}

// Loss returns the loss J(nu), nu = h sqrt(2/(lambda d1)), ITU-R P.526-15 §4.1
// eq (26) with d2 far larger than d1, and eq (31); or an error that lists every
// field out of range.
func (o NearObstacle) Loss() (DB, error) {
	var errs []error
	check := func(what string, x, low, high float64, unit string) {
		if !(x >= low && x <= high) {
			errs = append(errs, fmt.Errorf("near obstacle: %s %v %s, allowed %g to %g", what, x, unit, low, high))
		}
	}
	check("edge above the line", o.HeightM, -100, 100, "m")
	check("distance", o.DistM, 0.5, 500, "m")
	check("frequency", o.FreqHz, MinFreqHz, MaxFreqHz, "Hz")
	if err := errors.Join(errs...); err != nil {
		return 0, err
	}
	edge := Edge{HeightM: o.HeightM, D1M: o.DistM, D2M: math.Inf(1), WavelengthM: WavelengthM(o.FreqHz)}
	return KnifeEdge(edge.Nu()), nil
}
