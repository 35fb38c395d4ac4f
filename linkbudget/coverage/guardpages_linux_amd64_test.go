//go:build !purego

package coverage

import (
	"bytes"
	"math"
	"math/rand/v2"
	"runtime/debug"
	"syscall"
	"testing"
	"unsafe"

	"golang.org/x/sys/cpu"
)

// fence is memory between two pages that nobody may touch.
type fence struct{ whole, inside []byte }

func newFence(t testing.TB, bytes int) *fence {
	t.Helper()
	page := syscall.Getpagesize()
	inside := (bytes + page - 1) / page * page
	whole, err := syscall.Mmap(-1, 0, inside+2*page, syscall.PROT_READ|syscall.PROT_WRITE,
		syscall.MAP_ANON|syscall.MAP_PRIVATE)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = syscall.Munmap(whole) })
	f := &fence{whole, whole[page : page+inside]}
	for _, guard := range [][]byte{whole[:page], whole[page+inside:]} {
		if err := syscall.Mprotect(guard, syscall.PROT_NONE); err != nil {
			t.Fatal(err)
		}
	}
	return f
}

// protect says whether what is inside may be written.
func (f *fence) protect(t testing.TB, writable bool) {
	t.Helper()
	how := syscall.PROT_READ
	if writable {
		how |= syscall.PROT_WRITE
	}
	if err := syscall.Mprotect(f.inside, how); err != nil {
		t.Fatal(err)
	}
}

// at is room for n numbers, against the page behind, or against the one before.
func at[T any](f *fence, n int, behind bool) []T {
	size := int(unsafe.Sizeof(*new(T)))
	from := 0
	if behind {
		from = len(f.inside) - n*size
	}
	if n == 0 {
		return nil
	}
	return unsafe.Slice((*T)(unsafe.Pointer(&f.inside[from])), n)
}

// fenced is a copy of numbers in memory of its own that may only be read.
func fenced[T any](t testing.TB, of []T, behind bool) []T {
	t.Helper()
	f := newFence(t, len(of)*int(unsafe.Sizeof(*new(T))))
	there := at[T](f, len(of), behind)
	copy(there, of)
	f.protect(t, false)
	return there
}

// faults tells whether what is called touches what it may not.
func faults(call func()) (fault any) {
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	defer func() { fault = recover() }()
	call()
	return nil
}

// The fence itself stops a kernel: one point fewer than it needs, or a page that is only
// read, is noticed on either side.
func TestFenceStopsKernels(t *testing.T) {
	if !cpu.X86.HasAVX2 {
		t.Skip("this processor has no AVX2: the kernel is not used on it")
	}
	f := newFence(t, 4*64)
	whole, short := at[float32](f, 16, true), at[float32](f, 15, true)
	look := func(g []float32) any {
		return faults(func() { horizonVectors(&g[0], &whole[0], 16, 9, 0, 0, 0) })
	}
	if fault := look(whole); fault != nil {
		t.Fatal(fault)
	}
	if look(short) == nil {
		t.Error("a read behind the last point goes unnoticed")
	}
	before := unsafe.Slice((*float32)(unsafe.Pointer(&f.whole[syscall.Getpagesize()-4])), 16)
	if look(before) == nil {
		t.Error("a read before the first point goes unnoticed")
	}
	f.protect(t, false)
	out := (*[lanesAtOnce]Cell)(unsafe.Pointer(&f.inside[0]))
	if faults(func() { cellVectors(&lanes{}, out, 1) }) == nil {
		t.Error("a write goes unnoticed")
	}
}

// The look at what stands highest reads whole vectors of points and not one more, and
// writes nothing.
func TestHorizonKernelStaysInside(t *testing.T) {
	if !cpu.X86.HasAVX2 {
		t.Skip("this processor has no AVX2: the kernel is not used on it")
	}
	rng := rand.New(rand.NewPCG(1, 8))
	dist, over := newFence(t, 4*224), newFence(t, 4*224)
	for n := 1; n <= 200; n++ {
		for side := range 4 { // against either page, each of the two
			dist.protect(t, true)
			over.protect(t, true)
			room := vectorsOf(n) * len(vector{})
			g := bareGround{at[float32](dist, room, side&1 == 0), at[float32](over, room, side&2 == 0)}
			x := float32(20)
			for k := range room {
				x += 1 + 300*rng.Float32()
				g.dist[k], g.overM[k] = x, float32(rng.IntN(40))*20-300
			}
			dist.protect(t, false)
			over.protect(t, false)
			b := receiver{g.dist[n-1] + 1 + 100*rng.Float32(), 400*rng.Float32() - 300, 0.1 * (rng.Float32() - 0.5), 5.9e-8}
			var got horizon
			if fault := faults(func() { got = g.horizon(n, b) }); fault != nil {
				t.Fatalf("%d points, sides %d: %v", n, side, fault)
			}
			if want := g.horizonByOne(n, b); got != want {
				t.Fatalf("%d points, sides %d: kernel %+v, Go %+v", n, side, got, want)
			}
		}
	}
}

// The laying out of rays writes whole vectors of samples and reads the posts beside them,
// of the first line to the last, and not one more.
func TestLayKernelStaysInside(t *testing.T) {
	if !cpu.X86.HasAVX2 {
		t.Skip("this processor has no AVX2: the kernel is not used on it")
	}
	const width = 3
	rng := rand.New(rand.NewPCG(2, 8))
	rows := [7]*fence{}
	for i := range rows {
		rows[i] = newFence(t, 8*204)
	}
	posts := newFence(t, 4*width*204)
	for n := 1; n <= 200; n++ {
		for side := range 4 {
			behind := side&1 == 0
			vectors := (n + 3) / 4
			room := 4 * vectors
			posts.protect(t, true)
			h := at[float32](posts, width*room, side&2 == 0)
			for i := range h {
				h[i] = float32(rng.IntN(4000)) / 4
			}
			posts.protect(t, false)
			// Across all posts of a line from the first one to the last but one.
			u := run{cross: parabola{0, (width - 1.001) / float64(room), 0}, dist: parabola{100, 30, 0.01},
				low: parabola{-3, 0.25, 0}, high: parabola{2, 0.5, 0}, curve: 5.9e-8, h: h, line: width, across: 1, plain: true}
			if n%2 == 0 { // from the last line back to the first
				u.line, u.post = -width, int32(width*(room-1))
			}
			f64 := func(i int) []float64 { return at[float64](rows[i], room, behind) }
			got := ray{cross: f64(0), dist: f64(1), per: f64(2), h: f64(3), y: f64(4),
				low: at[int32](rows[5], room, behind), high: at[int32](rows[6], room, behind)}
			if fault := faults(func() { got.sample(&u, 0, 0, n) }); fault != nil {
				t.Fatalf("%d samples, sides %d: %v", n, side, fault)
			}
			want := newRay(room)
			want.sampleByOne(&u, 0, 0, n)
			for j := range n {
				for row, pair := range [][2]float64{{want.cross[j], got.cross[j]}, {want.dist[j], got.dist[j]},
					{want.per[j], got.per[j]}, {want.h[j], got.h[j]}, {want.y[j], got.y[j]},
					{float64(want.low[j]), float64(got.low[j])}, {float64(want.high[j]), float64(got.high[j])}} {
					if math.Float64bits(pair[0]) != math.Float64bits(pair[1]) {
						t.Fatalf("%d samples, row %d of sample %d: kernel %v, Go %v", n, row, j, pair[1], pair[0])
					}
				}
			}
		}
	}
}

// The kernels of lanes touch the lanes of their vectors, the tables from end to end, and the
// posts before the cells, and not one more; lanes of other vectors stay as they are.
func TestLaneKernelsStayInside(t *testing.T) {
	if !cpu.X86.HasAVX2 {
		t.Skip("this processor has no AVX2: the kernel is not used on it")
	}
	rng := rand.New(rand.NewPCG(3, 8))
	const size = int(unsafe.Sizeof(lanes{}))
	room, out := newFence(t, size), newFence(t, 8*lanesAtOnce)
	for _, behind := range []bool{true, false} {
		s := laneConstants(t)
		for _, table := range []*[]float32{&s.dist, &s.height, &s.excess, &s.model, &s.phi, &s.gainA, &s.gainB} {
			*table = fenced(t, *table, behind)
		}
		for n := 1; n <= lanesAtOnce; n++ {
			for range 20 {
				l := &at[lanes](room, 1, behind)[0]
				*l = lanes{}
				for k := range lanesAtOnce {
					if k < n || rng.IntN(2) == 0 { // else never used
						randomLane(rng, l, k)
					}
					if k >= n { // as a flush leaves them
						l.post[k] = -1
					}
				}
				g := laneGround(t, rng, l, n, behind)
				was, vectors := *l, vectorsOf(n)
				cells := (*[lanesAtOnce]Cell)(unsafe.Pointer(&at[Cell](out, 8*vectors, behind)[0]))
				if fault := faults(func() {
					nearVectors(&s, l, vectors, &g)
					heightVectors(&s, l, vectors)
					edgeVectors(&s, l, vectors)
					smoothEarthVectors(&s, l, vectors)
					edgeOverVectors(&s, l, vectors)
					verdictVectors(&s, l, vectors)
					cellVectors(l, cells, vectors)
				}); fault != nil {
					t.Fatalf("%d lanes, behind %v: %v", n, behind, fault)
				}
				for row, r := range rowsOf(l) {
					rest := 8 * vectors
					a, b := r[rest:], rowsOf(&was)[row][rest:]
					if len(a) > 0 && !bytes.Equal(unsafe.Slice((*byte)(unsafe.Pointer(&a[0])), 4*len(a)),
						unsafe.Slice((*byte)(unsafe.Pointer(&b[0])), 4*len(b))) {
						t.Fatalf("%d lanes: row %d of the lanes from %d on has changed", n, row, rest)
					}
				}
			}
		}
	}
}

// laneGround gives the first n lanes posts on ground that ends with the outermost post that
// one of them asks for.
func laneGround(t testing.TB, rng *rand.Rand, l *lanes, n int, behind bool) posts {
	t.Helper()
	const width = 40
	across := []int32{1, width}[rng.IntN(2)]
	back := (width + 1 - across) * int32(2*rng.IntN(2)-1)
	var asked [lanesAtOnce][2]int32 // the outermost posts from the lane's own
	for k := range n {
		l.drift[k], l.part[k] = float32((2*rng.Float64()-1)*mostDrift/nearSamples), 30/l.d[k]
		for m := range int32(nearSamples) {
			p := -back*(m+1) + int32(math.Floor(float64(-l.drift[k]*float32(m+1))))*across
			asked[k] = [2]int32{min(asked[k][0], p), max(asked[k][1], p+across)}
		}
	}
	first, last := asked[0][0], asked[0][1]
	for k := range n {
		first, last = min(first, asked[k][0]), max(last, asked[k][1])
	}
	heights := make([]float32, last-first+1)
	for i := range heights {
		heights[i] = float32(rng.IntN(8000)) / 4
	}
	for k := range n { // one end of the ground or the other
		l.post[k] = -asked[k][0]
		if k%2 == 0 {
			l.post[k] = int32(len(heights)) - 1 - asked[k][1]
		}
	}
	return posts{fenced(t, heights, behind), placesOf(across), placesOf(back)}
}
