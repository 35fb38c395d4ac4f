package terrain

import (
	"math"

	"github.com/paulmach/orb"
)

// Skyline is how high the ground stands all round a place, as [Horizon] finds it.
// Several goroutines may read it at once.
type Skyline struct {
	// At is the place, degrees, longitude first; EyeM the height of the eye,
	// metres above the vertical datum of the DEM.
	At   orb.Point
	EyeM float64
	// StepDeg is the angle between directions: entry i of Directions looks
	// i·StepDeg clockwise from north. It divides 360 evenly.
	StepDeg    float64
	Directions []SkylineDirection
	// HighestM is the height no ground round about is taken to exceed, metres
	// above the datum: where the search stops and what unknown ground may hide.
	HighestM float64
}

// SkylineDirection is the skyline in one direction.
type SkylineDirection struct {
	// ElevDeg is the apparent elevation of the skyline over the level of the
	// eye, degrees, as far as the ground is known; an obstacle of the user
	// counts. It is below 0 where the ground falls away.
	ElevDeg float64
	// MostDeg is what the skyline could be at most if the unknown ground were
	// HighestM high. It is ElevDeg where nothing unknown could rise above it.
	MostDeg float64
	// DistM is the distance to the ground that makes the skyline, metres; 0 for
	// an obstacle of the user.
	DistM float64
	// Flag is Ground where nothing unknown could rise above ElevDeg, else what
	// hides there: Void or Outside.
	Flag Flag
	// Obstacle says that an obstacle of the user, not the ground, makes it.
	Obstacle bool
}

// ElevDeg returns the elevation of the skyline in any direction, degrees,
// interpolated between the two directions around it.
func (s Skyline) ElevDeg(azimuthDeg float64) float64 {
	return s.between(azimuthDeg, func(d *SkylineDirection) float64 { return d.ElevDeg })
}

// MostDeg is ElevDeg for the skyline as high as unknown ground could make it.
func (s Skyline) MostDeg(azimuthDeg float64) float64 {
	return s.between(azimuthDeg, func(d *SkylineDirection) float64 { return d.MostDeg })
}

func (s Skyline) between(azimuthDeg float64, of func(*SkylineDirection) float64) float64 {
	n := len(s.Directions)
	if n == 0 || !finite(azimuthDeg) {
		return 0
	}
	x := azimuth360(azimuthDeg) / 360 * float64(n)
	i := int(math.Floor(x))
	t := x - float64(i)
	i %= n
	a, b := of(&s.Directions[i]), of(&s.Directions[(i+1)%n])
	return a + t*(b-a)
}
