package sun

import (
	"math"

	"github.com/polereach/polereach/terrain"
)

// sky is a skyline made ready for many looks at it.
type sky struct {
	elevDeg []float64 // of the skyline, one per direction, evenly spaced from north
	free    bool      // no skyline given
}

const freeDirections = 360

// newSky takes the skyline as it is known, or as high as it might be.
func newSky(s terrain.Skyline, worst bool) sky {
	if len(s.Directions) == 0 {
		return sky{elevDeg: make([]float64, freeDirections), free: true}
	}
	k := sky{elevDeg: make([]float64, len(s.Directions))}
	for i, d := range s.Directions {
		k.elevDeg[i] = d.ElevDeg
		if worst {
			k.elevDeg[i] = d.MostDeg
		}
	}
	return k
}

// at returns the elevation of the skyline in a direction, 0 <= azimuthDeg < 360,
// interpolated.
func (k *sky) at(azimuthDeg float64) float64 {
	if k.free {
		return 0
	}
	n := len(k.elevDeg)
	x := azimuthDeg / 360 * float64(n)
	i := int(x)
	t := x - float64(i)
	if i >= n {
		i -= n
	}
	next := i + 1
	if next == n {
		next = 0
	}
	return k.elevDeg[i] + t*(k.elevDeg[next]-k.elevDeg[i])
}

// view returns the part of an evenly bright sky that a plane sees past a skyline, compared with
// what level open ground sees: 0 to 1, (1+cos tilt)/2 under a free horizon. The sky is cut into
// slices by direction, each seen from the higher of the skyline and the plane itself upwards. With
// D the direction counted from the one the plane looks in, b its tilt and h the lower edge of the
// slice,
//
//	F = 2/N Σ { cos b · cos²h / 2 + sin b · cos D · [(π/2-h)/2 - sin 2h / 4] }
//
// (direct integral of the cosine of incidence; for b = 0 it is that of Dozier and Frew, IEEE TGRS
// 28 (1990)). A skyline below level counts as level.
func (k *sky) view(p Panel) float64 {
	sinB, cosB := math.Sincos(p.TiltDeg * deg)
	sum := 0.0
	n := len(k.elevDeg)
	for i, elevDeg := range k.elevDeg {
		cosD := math.Cos((360*float64(i)/float64(n) - p.AzimuthDeg) * deg)
		// The plane's own edge on the sky in this direction bounds what it sees:
		// from below if the plane looks up, from above if it looks down.
		low, high := max(0, elevDeg*deg), math.Pi/2
		if cosB >= 0 {
			low = max(low, math.Atan2(-sinB*cosD, cosB))
		} else {
			high = math.Atan2(sinB*cosD, -cosB)
		}
		if high <= low {
			continue
		}
		sum += cosB*(sq(math.Cos(low))-sq(math.Cos(high)))/2 +
			sinB*cosD*((high-low)/2-(math.Sin(2*low)-math.Sin(2*high))/4)
	}
	return max(0, min(1, 2/float64(n)*sum))
}

func sq(x float64) float64 { return x * x }
