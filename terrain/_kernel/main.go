// Command kernel writes walk_amd64.s: the walk of a profile over one grid in package
// terrain, four points at once, with AVX2.
//
// It says the same as the Go code of walk, operation by operation, so that both give
// the same bits; a test holds them to that. Whoever changes the one changes the
// other, runs
//
//	cd terrain/_kernel && go run . -out ../walk_amd64.s
//
// and then the test.
package main

import (
	"math"

	. "github.com/mmcloughlin/avo/build"
	. "github.com/mmcloughlin/avo/operand"
	. "github.com/mmcloughlin/avo/reg"
)

// The fields of the struct walkCall, 8 bytes each.
const (
	lon, lat       = 0, 4 // from the constant term up
	stepM, perM    = 8, 9
	west, north    = 10, 11
	perLon, perLat = 12, 13
	first, sum     = 14, 18 // number of the first point in each lane; sum of the heights in each
	posts, below   = 22, 23 // addresses of the first post and of the one south of it
	dist, height   = 24, 25 // addresses
	points         = 26
	cols           = 27
	lastCol        = 28 // with one after it
	lastRow        = 29
)

var call Mem

func field(i int) Mem { return call.Offset(8 * i) }

// spread is where every field up to perLat stands in every lane.
var spread Mem

func all(i int) Mem { return spread.Offset(32 * i) }

// spreadFields fills spread in, on the stack at a multiple of 32 bytes: no load of it
// then crosses the border between lines of the cache. The ring comes after it.
func spreadFields() {
	r := GP64()
	const size = 32 * (perLat + 1 + lastRow + 1 - cols)
	LEAQ(AllocLocal(size+slots*slotSize+64).Offset(31), r)
	ANDQ(I32(-32), r)
	spread, ring = Mem{Base: r}, Mem{Base: r, Disp: size}
	waiting = ring.Offset(slots * slotSize)
	for i := range perLat + 1 {
		d := YMM()
		VBROADCASTSD(field(i), d)
		VMOVAPD(d, all(i))
	}
	for i := cols; i <= lastRow; i++ {
		d := XMM()
		VPBROADCASTD(field(i), d)
		VMOVDQA(d, ints(i))
	}
}

// The posts of a point are asked for some steps before they are looked at: by the time
// they are, they have come from memory. In between, a slot of the ring keeps where four
// points lie: the way from the last lines of posts, and the numbers of posts.
const (
	ahead    = 12
	slots    = 16 // a power of 2, above ahead
	slotSize = 128
	slotU    = 0
	slotV    = 32
	slotPost = 64
)

var ring, waiting Mem // waiting counts the vectors that are placed and not looked at

// slot is the one that a register counts.
func slot(at GPVirtual) Mem { return ring.Idx(at, 1) }

// nextSlot moves it on.
func nextSlot(at GPVirtual) {
	ADDQ(Imm(slotSize), at)
	ANDQ(I32(slots*slotSize-1), at)
}

// ints is a whole number in every lane.
func ints(i int) Mem { return all(perLat + 1 + i - cols) }

func main() {
	ConstraintExpr("!purego")
	TEXT("walkVectors", 0, "func(call *byte, vectors int)")
	Doc("walkVectors does walk for so many times four points, at least one.")
	call = Mem{Base: Load(Param("call"), GP64())}
	left := Load(Param("vectors"), GP64())
	w := newWalker()
	begun := GP64() // vectors placed and not looked at
	MOVQ(U32(ahead), begun)
	CMPQ(left, begun)
	CMOVQLT(left, begun)
	SUBQ(begun, left)
	count := GP64()
	MOVQ(begun, count)
	MOVQ(begun, waiting)

	Label("begin")
	w.place()
	DECQ(count)
	JNZ(LabelRef("begin"))
	TESTQ(left, left)
	JZ(LabelRef("end"))

	Label("both")
	w.place()
	w.look()
	DECQ(left)
	JNZ(LabelRef("both"))

	Label("end")
	w.look()
	DECQ(waiting)
	JNZ(LabelRef("end"))
	VMOVUPD(w.total, field(sum))
	VZEROUPPER()
	RET()
	Generate()
}

// walker is what stays in registers.
type walker struct {
	distAt, heightAt, pointsAt Mem
	upper, lower               Mem
	placed, looked             GPVirtual // slots
	number, total              VecVirtual
	four, one, zero            VecVirtual
}

func newWalker() walker {
	pointer := func(i int) Mem {
		r := GP64()
		MOVQ(field(i), r)
		return Mem{Base: r}
	}
	w := walker{
		pointer(dist), pointer(height), pointer(points), pointer(posts), pointer(below),
		GP64(), GP64(), YMM(), YMM(), YMM(), YMM(), XMM(),
	}
	XORQ(w.placed, w.placed)
	XORQ(w.looked, w.looked)
	VMOVUPD(field(first), w.number)
	VMOVUPD(field(sum), w.total)
	spreadFields()
	VMOVUPD(quad("four", 4), w.four)
	VMOVUPD(quad("one", 1), w.one)
	VPXOR(w.zero, w.zero, w.zero)
	return w
}

// place finds the next four points and asks for their posts.
func (w *walker) place() {
	d := YMM()
	VMULPD(all(stepM), w.number, d)
	VMOVUPD(d, w.distAt)
	VADDPD(w.four, w.number, w.number)
	VMULPD(all(perM), d, d)
	lonDeg, latDeg := cubic(lon, d), cubic(lat, d)
	store(lonDeg, latDeg, w.pointsAt)

	u, v := YMM(), YMM()
	VSUBPD(all(west), lonDeg, u)
	VMULPD(all(perLon), u, u)
	VMOVUPD(all(north), v)
	VSUBPD(latDeg, v, v)
	VMULPD(all(perLat), v, v)
	col, row := w.split(u, lastCol), w.split(v, lastRow)
	VPMULLD(ints(cols), row, row)
	VPADDD(col, row, row)
	at := slot(w.placed)
	VMOVAPD(u, at.Offset(slotU))
	VMOVAPD(v, at.Offset(slotV))
	VMOVDQA(row, at.Offset(slotPost))
	for _, nw := range outOf(row) {
		PREFETCHT0(w.upper.Idx(nw, 4))
		PREFETCHT0(w.lower.Idx(nw, 4))
	}
	nextSlot(w.placed)
	ADDQ(Imm(32), w.distAt.Base)
	ADDQ(Imm(64), w.pointsAt.Base)
}

// look finds the heights of the four points placed longest ago.
func (w *walker) look() {
	at := slot(w.looked)
	nw := numbers(at)
	u, v := YMM(), YMM()
	VMOVAPD(at.Offset(slotU), u)
	VMOVAPD(at.Offset(slotV), v)
	z, rest, restU := YMM(), YMM(), YMM()
	VSUBPD(v, w.one, rest)
	VSUBPD(u, w.one, restU)
	VMULPD(across(w.upper, nw, u, restU), rest, rest)
	VMULPD(across(w.lower, nw, u, restU), v, z)
	VADDPD(z, rest, z)
	VMOVUPD(z, w.heightAt)
	VADDPD(z, w.total, w.total)
	nextSlot(w.looked)
	ADDQ(Imm(32), w.heightAt.Base)
}

func quad(name string, x float64) Mem {
	m := GLOBL(name, 8|16) // RODATA, NOPTR
	for i := range 4 {
		DATA(8*i, U64(math.Float64bits(x)))
	}
	return m
}

func cubic(at int, t VecVirtual) VecVirtual {
	x := YMM()
	VMULPD(all(at+3), t, x)
	for k := 2; k >= 0; k-- {
		VADDPD(all(at+k), x, x)
		if k > 0 {
			VMULPD(t, x, x)
		}
	}
	return x
}

// split leaves the way from the last line of posts in x, and returns that line, in
// any case one of the grid.
func (w *walker) split(x VecVirtual, last int) VecVirtual {
	n, whole := XMM(), YMM()
	VCVTTPD2DQY(x, n)
	VPMAXSD(w.zero, n, n)
	VPMINSD(ints(last), n, n)
	VCVTDQ2PD(n, whole)
	VSUBPD(whole, x, x)
	return n
}

// outOf takes four whole numbers out of their lanes.
func outOf(lanes VecVirtual) (n [4]GPVirtual) {
	for i := range n {
		n[i] = GP64()
	}
	VMOVQ(lanes, n[1])
	VPEXTRQ(Imm(1), lanes, n[3])
	for i := 0; i < 4; i += 2 {
		MOVL(n[i+1].As32(), n[i].As32())
		SHRQ(Imm(32), n[i+1])
	}
	return n
}

// numbers are those of the posts in a slot.
func numbers(slot Mem) (n [4]GPVirtual) {
	for i := range n {
		n[i] = GP64()
		MOVL(slot.Offset(slotPost+4*i), n[i].As32())
	}
	return n
}

// across interpolates between the posts of these numbers and their eastern
// neighbours, u of the way from one to the other, rest of it left. Four loads of a pair each are quicker than an instruction that gathers:
// it is taken apart into more of them.
func across(h Mem, nw [4]GPVirtual, u, rest VecVirtual) VecVirtual {
	first, second := XMM(), XMM()
	for i, two := range []VecVirtual{first, second} {
		VMOVSD(h.Idx(nw[2*i], 4), two)
		VMOVHPD(h.Idx(nw[2*i+1], 4), two, two)
	}
	a, b := XMM(), XMM()
	VSHUFPS(Imm(0x88), second, first, a)
	VSHUFPS(Imm(0xdd), second, first, b)
	x, y := YMM(), YMM()
	VCVTPS2PD(a, x)
	VCVTPS2PD(b, y)
	VMULPD(x, rest, x)
	VMULPD(y, u, y)
	VADDPD(y, x, x)
	return x
}

// store writes longitude and latitude of the points one after the other.
func store(lonDeg, latDeg VecVirtual, to Mem) {
	even, odd, out := YMM(), YMM(), YMM()
	VUNPCKLPD(latDeg, lonDeg, even)
	VUNPCKHPD(latDeg, lonDeg, odd)
	VPERM2F128(Imm(0x20), odd, even, out)
	VMOVUPD(out, to)
	VPERM2F128(Imm(0x31), odd, even, out)
	VMOVUPD(out, to.Offset(32))
}
