package coverage

import (
	"math"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
)

// lanes are cells that wait to be judged, one row for each number of theirs. From
// here on all of them go through the same arithmetic, without a branch, so that a
// processor can do eight side by side. Single precision is plenty: 1e-7 of a path
// is far below the last digit of a decibel.
//
// A is the pole, B the receiver. Distances and heights are in m, losses in dB.
// The kernel counts on the order of the rows (see _kernel).
type lanes struct {
	d, rise    row                // distance; height of B's antenna over A's
	lift       row                // of that over the antenna of the sweep's receiver, by what stands around it
	beside     row                // what to add to the square of d, which is that of a place on the ray; near does
	farA, farB row                // slopes over the direct ray of the horizons that the ray knows; none below 0
	farX, farR row                // where they stand: A's from A, B's from B
	farQ       row                // else the least (line - y)²/(d (D-d)) of a point, and in farX and farR that point
	farU, farV row                // how far A's horizon, or that point, and B's are ground and not level water, 0 to 1
	post       [lanesAtOnce]int32 // number of the post under B, for near; -1 where nearH and nearR are known already
	drift      row                // posts across the axis by which the path strays from it on the last line before B
	part       row                // its way from one line to the next, as a part of d
	nearH      [nearSamples]row   // ground just before B, over B's antenna, without the earth's curve
	nearR      [nearSamples]row   // its distances from B
	first      row                // sums of the ground over the distance and its square, see fit
	second     row
	gap        row // part of the distance from the last sample in them
	// slope from A of what of the far ground stands highest over the bare straight line; 0 where nothing does
	alpha   row
	beta    row // from B
	over    row // over that line, m
	hA, hB  row // effective heights over the smooth earth
	smooth  row // 1 where the smooth earth may cost something, else 0
	clutter row // loss at the ends
	gain    row // of both antennas, as far as the tables do not have it
	steady2 row // square of the doubt that no ground changes
	// The loss of another edge, and what that may cost at most over the lane's own: the lane's loss is half way
	// to it, by a doubt of as much. An edge below the lane's own costs nothing.
	other, most row

	// The edge, see constants.edge.
	climb     row // slope of the straight line from A to B
	direct    row // the same, flattened: the tangent of its elevation at A
	nu        row // not above 0 in line of sight
	a, b      row // slopes of both horizons over the direct ray; 1 in line of sight
	xA, restA row // where A's horizon stands: from A, from B
	xB, restB row // B's horizon likewise; in line of sight the same
	landA     row // how far A's horizon is ground and not level water, 0 to 1
	landB     row // B's

	excess, within            row // see smoothEarth
	loss, margin, probability row // the answers
}

// row is one number of all lanes.
type row [lanesAtOnce]float32

const lanesAtOnce = 64

// constants are what is the same for all cells of a sweep. The kernel counts on the
// order of the fields.
type constants struct {
	perWave, curve, rootCurve vector // 2/λ; 1/(2 ae), and its square root
	freeDB, budgetDB          vector // free space over 1 m; what a path may lose
	scatterDB                 vector // troposcatter over 1 m at no angle
	perM                      vector // of the ground's errors, see linkbudget.TerrainError.Form
	antennaM                  vector // the pole's antenna above the datum
	poleM, rxM, footM         vector // A over its ground; B over its; what to add to rise for B's ground over A's
	clearCurve, clearRoot     vector // 1/(8 ae), and what goes with the root of d, of PlainlyClearM2
	mostM                     vector // of the ground's errors, too
	crossDB, leastCrossDB     vector // what crossed antennas lose in sight, and at least; else 0

	excessFrom [3]vector // the table of excess: log2 of the first entry by distance, hA and hB

	distFrom, distLast     places // first entry of the tables over the horizon; the last with one after it
	heightFrom, heightLast places
	excessLast             [3]places // the last entry with one after it; -1 without a table
	excessStep             [2]places // from entry to entry by distance, and by hA

	dist, height []float32 // the tables over the horizon
	excess       []float32 // the table of excess
	model        []float32 // doubt of the method, see diffractionEntries
	phi          []float32 // the normal distribution
	gainA, gainB []float32 // of the antennas over the tangent of the elevation, see gainTable
}

// vector and places are one number as often as the kernel has lanes at once.
type (
	vector [8]float32
	places [8]int32
)

func vectorOf(x float64) (v vector) {
	for i := range v {
		v[i] = float32(x)
	}
	return v
}

func placesOf(x int32) (v places) {
	for i := range v {
		v[i] = x
	}
	return v
}

// eachByOne goes through the first n lanes, where there are no vectors.
func (s *constants) eachByOne(l *lanes, n int, one func(s *constants, l *lanes, i int)) {
	for i := range n {
		one(s, l, i)
	}
}

func (s *constants) nearByOne(l *lanes, g *posts, n int) {
	for i := range n {
		s.near(l, g, i)
	}
}

func (l *lanes) cellsByOne(out *[lanesAtOnce]Cell, n int) {
	for i := range n {
		out[i] = l.cell(i)
	}
}

// newConstants works out what is the same for all cells of an area, for the pole's antenna at
// antennaM above the datum.
func newConstants(area linkbudget.Area, antennaM float64) constants {
	env, wavelengthM := area.Env, radio.WavelengthM(area.Env.FreqHz)
	curve := 1 / (2 * radio.EffectiveRadiusM(env.K))
	z := newOverHorizon(area)
	mostM, perM := env.Terrain.Form()
	s := constants{
		perWave: vectorOf(2 / wavelengthM),
		curve:   vectorOf(curve), rootCurve: vectorOf(math.Sqrt(curve)),
		freeDB:   vectorOf(float64(radio.FreeSpace(1, env.FreqHz))),
		budgetDB: vectorOf(float64(area.BudgetDB)),
		perM:     vectorOf(perM),
		mostM:    vectorOf(mostM * area.Spread()),
		antennaM: vectorOf(antennaM),
		poleM:    vectorOf(area.HeightAM), rxM: vectorOf(area.HeightBM), footM: vectorOf(area.HeightAM - area.HeightBM),
		clearCurve: vectorOf(curve / 4),
		clearRoot:  vectorOf(math.Sqrt(diffraction.PlainlyClearM2(1, math.Inf(1), wavelengthM))),
		distFrom:   placesOf(z.dist.from), distLast: placesOf(int32(len(z.dist.value) - 2)), dist: z.dist.value,
		heightFrom: placesOf(z.heights.from), heightLast: placesOf(int32(len(z.heights.value) - 2)), height: z.heights.value,
		phi: phiTable,
	}
	// P.1812-6 eq 44 at 50 % of time over 1 km at no angle: its own function, so
	// that the constants stand in one place.
	s.scatterDB = vectorOf(float64(diffraction.Troposcatter{
		DistM: 1000, FreqHz: env.FreqHz, EffectiveRadiusM: math.Inf(1),
		SurfaceRefractivity: env.SurfaceRefractivity, TimePercent: 50,
	}.Loss()) - 20*math.Log10(1000))
	if area.A.Polarisation != area.B.Polarisation {
		s.crossDB, s.leastCrossDB = vectorOf(float64(antenna.CrossPolarLossClear)),
			vectorOf(float64(antenna.CrossPolarLossObstructed))
	}
	for i := range diffractionEntries + 1 {
		loss := linkbudget.DB(i) / 2
		s.model = append(s.model, float32(area.Spread())*float32(linkbudget.ModelDoubtDB(loss)))
	}
	return s
}

// diffractionEntries are the steps of half a decibel of the tables over the
// diffraction loss; both are straight between places decibels, and level beyond 100.
const diffractionEntries = 200

// The table of the normal distribution function, from -6 to 6; beyond it is 0 or 1.
const (
	phiMost    = 6
	phiPerUnit = 64
	phiEntries = 2 * phiMost * phiPerUnit
)

var phiTable = func() []float32 {
	t := make([]float32, phiEntries+1)
	for i := range t {
		t[i] = float32(radio.Phi(float64(i)/phiPerUnit - phiMost))
	}
	t[0], t[phiEntries] = 0, 1
	return t
}()

// What a lane reckons with. Every operation is one that a vector has, in the
// order in which the kernel does it: both give the same bits.

const dBPerOctave = 3.010299956639812 // 10 log10 2

func root(x float32) float32 { return float32(math.Sqrt(float64(x))) }

func magnitude(x float32) float32 { return math.Float32frombits(math.Float32bits(x) &^ (1 << 31)) }

// log2 of a normal number above 0, to 2e-7 or 1e-7 of itself. With x = 2^e m and m between
// the roots of 1/2 and of 2, ln m = 2 artanh t with t = (m-1)/(m+1); the series ends
// where its next term is below 2e-8.
func log2(x float32) float32 {
	const rootHalf = 0x3f3504f3
	e := (int32(math.Float32bits(x)) - rootHalf) >> 23
	m := math.Float32frombits(math.Float32bits(x) - uint32(e<<23))
	t := (m - 1) / (m + 1)
	t2 := t * t
	p := t2 * (2 * math.Log2E / 7)
	p = t2 * (p + 2*math.Log2E/5)
	p = t2 * (p + 2*math.Log2E/3)
	return float32(e) + t*(p+2*math.Log2E)
}

// exp2 is 2^x, to 2e-7 of itself; below 2^-126 and above 2^126 it is these.
func exp2(x float32) float32 {
	x = min(max(x, -126), 126)
	n := float32(math.RoundToEven(float64(x)))
	z := (x - n) * math.Ln2
	p := z * (1.0 / 720)
	p = z * (p + 1.0/120)
	p = z * (p + 1.0/24)
	p = z * (p + 1.0/6)
	p = z * (p + 1.0/2)
	p = z * (p + 1)
	return (p + 1) * math.Float32frombits(uint32(int32(n)+127)<<23)
}

// arctan of a slope; steeper than 1 counts as 1, as no troposcatter is to be had
// there. The polynomial is Abramowitz & Stegun 4.4.47, found within 1.2e-5.
func arctan(x float32) float32 {
	x = min(max(x, -1), 1)
	x2 := x * x
	p := x2 * 0.0208351
	p = x2 * (p - 0.0851330)
	p = x2 * (p + 0.1801410)
	p = x2 * (p - 0.3302995)
	return x * (p + 0.9998660)
}

// between is the straight line from one entry of a table to the next; i must be
// inside it.
func between(t []float32, i int32, u float32) float32 {
	return t[i] + u*(t[i+1]-t[i])
}

// octavePlace splits a number above 0 into an entry of a curveTable, up to last, and the way
// to the next, by its bits; ok is false outside the table.
func octavePlace(x float32, from, last int32) (i int32, u float32, ok bool) {
	bits := math.Float32bits(x)
	i = int32(bits>>(23-curveBits)) - from
	ok = i >= 0 && i <= last
	u = float32(int32(bits&(1<<(23-curveBits)-1))) * (1.0 / (1 << (23 - curveBits)))
	return min(max(i, 0), last), u, ok
}

// axisPlace splits a number above 0 into an entry of an axis in octaves, which
// starts at from, and the way to the next.
func axisPlace(x, perOctave, from float32, last int32) (i int32, u float32, ok bool) {
	at := (log2(x) - from) * perOctave
	i = int32(at)
	return min(max(i, 0), last), at - float32(i), at >= 0 && i <= last
}
