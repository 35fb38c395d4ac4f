//go:build !purego

package coverage

import (
	"context"
	"encoding/binary"
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"golang.org/x/sys/cpu"

	"github.com/polereach/polereach/linkbudget"
)

var laneScene = sync.OnceValues(func() (constants, error) {
	env := linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}}
	area, err := linkbudget.NewArea(linkbudget.DefaultStation("a", 6), linkbudget.DefaultStation("b", 2), env)
	if err != nil {
		return constants{}, err
	}
	s := newConstants(area, 300)
	g, err := newGainTable(area.A.Antenna)
	if err != nil {
		return s, err
	}
	s.gainA, s.gainB = g.even(), g.even()
	x, err := newExcess(context.Background(), area, 200e3, cellsForATable, 1)
	if err != nil {
		return s, err
	}
	x.tell(&s)
	return s, nil
})

// laneConstants are those of a sweep with every table.
func laneConstants(t testing.TB) constants {
	s, err := laneScene()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// FuzzLanes: paths that could be, numbers of which are replaced by any that could be, give the
// same bits in Go and in vectors, from effective heights to cells.
func FuzzLanes(f *testing.F) {
	if !cpu.X86.HasAVX2 {
		f.Skip("this processor has no AVX2: the kernel is not used on it")
	}
	change := func(row, lane byte, x float32) []byte {
		return binary.LittleEndian.AppendUint32([]byte{row, lane}, math.Float32bits(x))
	}
	f.Add(uint64(1), byte(15), []byte{})
	f.Add(uint64(2), byte(3), append(change(1, 0, -1e6), change(2, 2, 1e6)...))
	f.Add(uint64(3), byte(9), append(change(0, 8, 1.5), change(12, 1, float32(math.Copysign(0, -1)))...))
	s := laneConstants(f)
	f.Fuzz(func(t *testing.T, seed uint64, lanesUsed byte, changes []byte) {
		rng := rand.New(rand.NewPCG(seed, 1))
		n := 1 + int(lanesUsed)%16
		var want lanes
		for k := range n {
			randomLane(rng, &want, k)
		}
		within := laneRanges(&want)
		for ; len(changes) >= 6; changes = changes[6:] {
			r, k := within[int(changes[0])%len(within)], int(changes[1])%n
			x := math.Float32frombits(binary.LittleEndian.Uint32(changes[2:]))
			if x >= r.low && x <= r.high && (x == 0 || magnitude(x) > 1e-20) { // differences of heights are larger
				r.row[k] = x
			}
		}
		for k := range n { // horizons and near ground stand between both ends
			d := want.d[k]
			want.farX[k], want.farR[k] = min(want.farX[k], d*0.999), min(want.farR[k], d*0.999)
			for m := range nearSamples {
				want.nearR[m][k] = min(want.nearR[m][k], d/2)
			}
		}
		got := want
		for _, step := range laneSteps {
			s.eachByOne(&want, n, step.one)
			step.kernel(&s, &got, vectorsOf(n))
			for row, w := range rowsOf(&want) {
				for k, x := range rowsOf(&got)[row][:n] {
					if math.Float32bits(x) != math.Float32bits(w[k]) && !(x == 0 && w[k] == 0) {
						t.Fatalf("%s: row %d of lane %d: kernel %v, Go %v", step.name, row, k, x, w[k])
					}
				}
			}
		}
		var cells, cellsWanted [lanesAtOnce]Cell
		want.cellsByOne(&cellsWanted, n)
		cellVectors(&want, &cells, vectorsOf(n))
		for k, c := range cellsWanted[:n] {
			if cells[k] != c || c.State() != Judged || !(want.probability[k] >= 0 && want.probability[k] <= 1) {
				t.Fatalf("lane %d: kernel %v, Go %v of loss %v, chance %v", k, cells[k], c, want.loss[k], want.probability[k])
			}
		}
	})
}

// laneRange is what a row may hold.
type laneRange struct {
	row       *row
	low, high float32
}

// laneRanges are the numbers of a lane that come from outside the arithmetic.
func laneRanges(l *lanes) []laneRange {
	list := []laneRange{{&l.d, 1, 1e6}, {&l.rise, -1e5, 1e5}, {&l.farA, 0, 1e3}, {&l.farB, 0, 1e3}, {&l.farX, 0.1, 1e6},
		{&l.farR, 0.1, 1e6}, {&l.farQ, 1e-12, 1e6}, {&l.farU, 0, 1}, {&l.farV, 0, 1}, {&l.first, -1e6, 1e6},
		{&l.second, -1e6, 1e6}, {&l.gap, 0, 1}, {&l.alpha, 0, 1e3}, {&l.beta, -1e3, 1e3}, {&l.over, -1e4, 1e4},
		{&l.clutter, 0, 100}, {&l.gain, -100, 60}, {&l.steady2, 0, 1e4}}
	for m := range nearSamples {
		list = append(list, laneRange{&l.nearH[m], noGround, 1e4}, laneRange{&l.nearR[m], 0.1, 1e3})
	}
	return list
}

// laneSteps are what a flush does, in Go and in vectors.
var laneSteps = []struct {
	name   string
	one    func(*constants, *lanes, int)
	kernel func(*constants, *lanes, int)
}{
	{"heights", (*constants).effectiveHeights, heightVectors},
	{"edge", (*constants).edge, edgeVectors},
	{"smooth earth", (*constants).smoothEarth, smoothEarthVectors},
	{"edgeOver", (*constants).edgeOver, edgeOverVectors},
	{"verdict", (*constants).verdict, verdictVectors},
}

// FuzzHorizonKernel: any ground of the earth gives the same bits in Go and in vectors.
func FuzzHorizonKernel(f *testing.F) {
	if !cpu.X86.HasAVX2 {
		f.Skip("this processor has no AVX2: the kernel is not used on it")
	}
	f.Add([]byte("\x00\x01\x00\x10\x05\x00\x03\x00"), float32(10))
	f.Add([]byte("0123456789abcdef0123456789abcdef0123456789abcdef"), float32(-300))
	f.Fuzz(func(t *testing.T, data []byte, riseM float32) {
		if !(magnitude(riseM) <= 1e4) {
			return
		}
		n := min(len(data)/4, mostScanned)
		if n == 0 {
			return
		}
		g := bareGround{make([]float32, n+7), make([]float32, n+7)}
		x := float32(0)
		for k := range n {
			x += 0.5 + float32(binary.LittleEndian.Uint16(data[4*k:]))
			g.dist[k], g.overM[k] = x, float32(int16(binary.LittleEndian.Uint16(data[4*k+2:])))/4
		}
		for k := n; k < n+7; k++ { // decides nothing
			g.dist[k], g.overM[k] = x, 1e5
		}
		// As far behind the last point as the first is from the pole: so steep that ground would
		// count for less than none nothing is.
		b := receiver{x + g.dist[0], riseM, riseM / (x + g.dist[0]), 5.9e-8}
		if got, want := g.horizon(n, b), g.horizonByOne(n, b); got != want {
			t.Fatalf("%d points, %+v: kernel %+v, Go %+v", n, b, got, want)
		}
	})
}
