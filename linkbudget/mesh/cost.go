package mesh

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// Cost is what a check would take, known before it starts.
type Cost struct {
	Stations int
	// Pairs is how many would be examined, over all shards; Hopeless how many
	// more lie within the range but fall short by 20 dB and more even through free space.
	Pairs, Hopeless int64
	// ProfilePoints is how many heights they need.
	ProfilePoints float64
	// CPUSeconds is about what that takes on one core.
	CPUSeconds float64
	// Compared is how many distances between stations would be looked at to find them, told
	// where these are estimated.
	Compared int64
	// Exact is false where there were too many pairs to count, and the figures
	// are estimated from some of the poles.
	Exact bool
}

// One pair and one point of it, s of one core, in round figures: 8 to 12 us for a pair of
// 166 points, the whole command, and 47 to 58 us for a path of 1,207 points, measured on
// one machine. A guide for people, never for results.
const (
	secondsPerPair  = 4e-6
	secondsPerPoint = 40e-9
)

// CostError says that a check would take more than its options allow.
type CostError struct {
	Cost
	RangeM    float64
	Shards    int
	MaxPairs  int64 // over all shards
	MaxPoints float64
}

// Error says how much it would be, and the ways out.
func (e *CostError) Error() string {
	about := ""
	if !e.Exact {
		about = "about "
	}
	found := fmt.Sprintf("%d stations make %s%s pairs within %g km", e.Stations, about,
		countText(float64(e.Pairs+e.Hopeless)), e.RangeM/1000)
	if e.Hopeless > 0 {
		found += fmt.Sprintf(", %s%s of them worth a look", about, countText(float64(e.Pairs)))
	}
	if e.Compared > maxTests {
		found += fmt.Sprintf(", found by about %s comparisons", countText(float64(e.Compared)))
	}
	return fmt.Sprintf("plan: %s, and %s%s profile points, %s%s of one core; allowed %s pairs to look at, %s to "+
		"compare and %s points: "+"choose a shorter range, split the work into more shards, or allow more",
		found, about, countText(e.ProfilePoints), about, durationText(e.CPUSeconds),
		countText(float64(e.MaxPairs)), countText(maxTests), countText(e.MaxPoints))
}

// countText keeps three digits of a large number.
func countText(n float64) string {
	switch {
	case n < 1e5:
		return fmt.Sprintf("%.0f", n)
	case n < 1e9:
		return fmt.Sprintf("%.3g million", n/1e6)
	}
	return fmt.Sprintf("%.3g thousand million", n/1e9)
}

func durationText(s float64) string {
	switch {
	case s < 100:
		return fmt.Sprintf("%.0f s", s)
	case s < 6000:
		return fmt.Sprintf("%.0f min", s/60)
	}
	return fmt.Sprintf("%.0f h", s/3600)
}

// spacingM is about the distance between the points of a profile in the middle
// of the plan.
func spacingM(p *plan.Plan, e terrain.Extent, opt terrain.ProfileOptions) float64 {
	if opt.SpacingM > 0 {
		return opt.SpacingM
	}
	var latDeg float64
	for i := range p.Stations {
		latDeg += p.Stations[i].At.Lat() / float64(len(p.Stations))
	}
	at := orb.Point{0, min(max(latDeg, -89), 89)}
	return min(terrain.Inverse(at, orb.Point{e.StepLonDeg, at[1]}).DistM,
		terrain.Inverse(at, orb.Point{0, at[1] + e.StepLatDeg}).DistM)
}

// costOf counts the pairs listed.
func costOf(p *plan.Plan, list []candidate, hopeless int64, stepM float64) Cost {
	c := Cost{Stations: len(p.Stations), Pairs: int64(len(list)), Hopeless: hopeless, Exact: true}
	at := make([][3]float64, len(p.Stations))
	for i := range at {
		at[i] = terrain.Cartesian(p.Stations[i].At)
	}
	for _, pair := range list {
		a, b := at[pair.a], at[pair.b]
		x, y, z := a[0]-b[0], a[1]-b[1], a[2]-b[2]
		c.ProfilePoints += points(math.Sqrt(x*x+y*y+z*z), stepM)
	}
	return c.timed()
}

func points(distM, stepM float64) float64 { return math.Ceil(distM/stepM) + 1 }

func (c Cost) timed() Cost {
	c.CPUSeconds = float64(c.Pairs)*secondsPerPair + c.ProfilePoints*secondsPerPoint
	return c
}

// sampledStations is how many poles an estimate looks at.
const sampledStations = 256

// sampledCost estimates from some poles, evenly through the list, how many
// pairs all would make.
func (o Options) sampledCost(p *plan.Plan, stations []linkbudget.Station, stepM float64) Cost {
	n := len(stations)
	count := min(sampledStations, n)
	s := o.newSearch(p, stations)
	var total float64
	for k := range count {
		s.from(int32(k*n/count), 0, func(_ int32, chordM float64) { total += points(chordM, stepM) })
	}
	scale := float64(n) / float64(count) / 2 // each pair was met at one of its ends
	return Cost{
		Stations: n, Pairs: int64(float64(s.found) * scale), Hopeless: int64(float64(s.hopeless) * scale),
		ProfilePoints: total * scale, Compared: int64(float64(s.tests) * scale),
	}.timed()
}
