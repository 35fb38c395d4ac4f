package radio

import "math"

// SurfaceRefractivity is N0, the refractivity of the air at the sea level in an average year at
// a latitude, degrees, N-units: 320 to 374. The maps of ITU-R P.453 may not be redistributed; in
// their place stand the reference atmospheres of ITU-R P.835-6 annex 1 §2 to 4 (below 22°, 22° to
// 45°, beyond; of the last two the mean of summer and winter), N by P.453-14 eq (6), each at the
// middle of its belt and straight between. Coasts of warm seas have 10 to 20 more, deserts less.
func SurfaceRefractivity(latDeg float64) float64 {
	knots := [...]struct{ lat, n float64 }{{11, 374.1}, {33.5, 331.0}, {67.5, 319.8}}
	lat := max(math.Abs(latDeg), knots[0].lat)
	for i := 1; i < len(knots); i++ {
		if lo, hi := knots[i-1], knots[i]; lat < hi.lat {
			return lo.n + (hi.n-lo.n)*(lat-lo.lat)/(hi.lat-lo.lat)
		}
	}
	return knots[len(knots)-1].n
}
