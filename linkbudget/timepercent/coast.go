package timepercent

import "math"

// What of a path is sea, and what coastal land.
const (
	// leastSeaM is how long a run of water at the level of the sea must be along the path to count
	// as sea: no harbour, lagoon or river mouth. ITU-R P.1812-6 §3.2 asks for a body 100 km across,
	// which a path alone does not show; over sea the air carries farther, so that a bay
	// of this length tells rather more of who else is heard. Engineering judgement.
	leastSeaM = 5e3
	// seaLevelM is how far from height 0 terrain models have the sea.
	seaLevelM = 1
	// Land within coastM of the sea and lower than coastHighM is coastal, P.1812-6 table 1; from the
	// path alone the sea that lies along it is all there is.
	coastM, coastHighM = 50e3, 100
)

// Along is the region of a path over the points of a profile, two or more with distances that rise
// from 0; water tells of a point whether water is there. A point stands for half the ways to its
// neighbours. Other points, or a nil water, are a path of no length inland.
func Along(latDeg float64, distM, heightM []float64, water func(i int) bool) Region {
	last := len(distM) - 1
	if last < 1 || len(heightM) != len(distM) || water == nil || !(distM[last] > 0) || math.IsInf(distM[last], 1) {
		return Inland(latDeg, 0)
	}
	// between is where the part of point i begins.
	between := func(i int) float64 {
		switch {
		case i == 0:
			return 0
		case i > last:
			return distM[last]
		}
		return (distM[i-1] + distM[i]) / 2
	}
	var seas [][2]float64
	for i := 0; i <= last; i++ {
		from := i
		for i <= last && math.Abs(heightM[i]) <= seaLevelM && water(i) {
			i++
		}
		if run := [2]float64{between(from), between(i)}; i > from && run[1]-run[0] >= leastSeaM {
			seas = append(seas, run)
		}
	}
	if seas == nil {
		return Inland(latDeg, distM[last])
	}
	r := Region{LatDeg: latDeg, ACoastM: seas[0][0], BCoastM: distM[last] - seas[len(seas)-1][1]}
	shore := 0.0
	for _, s := range seas {
		r.LandM, shore = max(r.LandM, s[0]-shore), s[1]
		r.SeaFraction += (s[1] - s[0]) / distM[last]
	}
	r.LandM = max(r.LandM, r.BCoastM)

	var run float64 // over ground that is inland
	for i, before, next := 0, math.Inf(-1), 0; i <= last; i++ {
		for next < len(seas) && seas[next][1] <= between(i) {
			before, next = seas[next][1], next+1
		}
		far := distM[i]-before > coastM
		if next < len(seas) {
			far = far && seas[next][0]-distM[i] > coastM
		}
		atSea := next < len(seas) && seas[next][0] <= between(i)
		if run += between(i+1) - between(i); atSea || !far && heightM[i] < coastHighM {
			run = 0
		}
		r.InlandM = max(r.InlandM, run)
	}
	return r
}
