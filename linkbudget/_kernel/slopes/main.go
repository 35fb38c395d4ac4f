// Command slopes writes slopes_amd64.s: the steepest rays to the ground of a relief in
// package linkbudget, four points at once, with AVX2.
//
// It says the same as the Go code of findSlopes, operation by operation, so that both
// give the same bits; a test holds them to that. Whoever changes the one changes the
// other, runs
//
//	cd linkbudget/_kernel && go run ./slopes -out ../slopes_amd64.s
//
// and then the test.
package main

import (
	"math"

	. "github.com/mmcloughlin/avo/build"
	. "github.com/mmcloughlin/avo/operand"
	. "github.com/mmcloughlin/avo/reg"
)

// The fields of the struct slopesCall: vectors of 32 bytes, then 8 bytes each.
const (
	upM, curve, otherCurve, lengthM = 0, 32, 64, 96
	dist, height, perX              = 128, 136, 144 // addresses, of the first inner point
	perY                            = 152           // of the fourth: it runs backwards
	back                            = 160           // from behind the last whole four to the last four, bytes
	slopes                          = 168           // views of two numbers each
)

// The views, in the order of their slopes.
const (
	up, down, other, bareUp, bareDown, views = 0, 1, 2, 3, 4, 5
)

var call Mem

func field(at int) Mem { return call.Offset(at) }

func pointer(at int) Mem { r := GP64(); MOVQ(field(at), r); return Mem{Base: r} }

func mul(x Op, y VecVirtual) VecVirtual { d := YMM(); VMULPD(x, y, d); return d }
func add(x Op, y VecVirtual) VecVirtual { d := YMM(); VADDPD(x, y, d); return d }
func sub(x Op, y VecVirtual) VecVirtual { d := YMM(); VSUBPD(x, y, d); return d } // y - x
func load(m Mem) VecVirtual             { d := YMM(); VMOVUPD(m, d); return d }

// steepest are the largest slopes of a view, of each lane.
type steepest struct{ a, b VecVirtual }

// meets looks at four heights over the ray.
func (s steepest) meets(q, nearA, nearB VecVirtual) {
	VMAXPD(mul(q, nearA), s.a, s.a)
	VMAXPD(mul(q, nearB), s.b, s.b)
}

// keep writes the largest of all lanes down, that of A first.
func (s steepest) keep(at int) {
	high, half := YMM(), XMM()
	VUNPCKHPD(s.b, s.a, high)
	VUNPCKLPD(s.b, s.a, s.a)
	VMAXPD(high, s.a, s.a)
	VEXTRACTF128(Imm(1), s.a, half)
	VMAXPD(half, s.a.AsX(), half)
	VMOVUPD(half, field(at))
}

func main() {
	ConstraintExpr("!purego")
	TEXT("slopesVectors", 4, "func(call *byte, fours int)") // NOSPLIT
	Doc("slopesVectors looks at so many whole fours, at least one, and at the last four points.")
	call = Mem{Base: Load(Param("call"), GP64())}
	left := Load(Param("fours"), GP64())
	distAt, heightAt, perXAt, perYAt := pointer(dist), pointer(height), pointer(perX), pointer(perY)
	below := GLOBL("below", 8|16) // RODATA, NOPTR
	for i := range 4 {
		DATA(8*i, U64(math.Float64bits(math.Inf(-1))))
	}
	var most [views]steepest
	for i := range most {
		most[i] = steepest{load(below), load(below)}
	}

	Label("next")
	x, h := load(distAt), load(heightAt)
	xy := mul(x, sub(x, load(field(lengthM))))
	nearA, nearB := load(perXAt), YMM()
	VPERMPD(Imm(0x1b), perYAt, nearB)
	most[bareUp].meets(add(field(upM), h), nearA, nearB)
	most[bareDown].meets(sub(field(upM), h), nearA, nearB)
	most[other].meets(add(h, mul(field(otherCurve), xy)), nearA, nearB)
	q := add(h, mul(field(curve), xy))
	most[up].meets(add(field(upM), q), nearA, nearB)
	most[down].meets(sub(field(upM), q), nearA, nearB)
	for _, p := range []Mem{distAt, heightAt, perXAt} {
		ADDQ(Imm(32), p.Base)
	}
	SUBQ(Imm(32), perYAt.Base)
	DECQ(left)
	JNZ(LabelRef("next"))

	// Once more for what is left: some points then are looked at twice.
	rest := GP64()
	MOVQ(field(back), rest)
	TESTQ(rest, rest)
	JZ(LabelRef("done"))
	for _, p := range []Mem{distAt, heightAt, perXAt} {
		SUBQ(rest, p.Base)
	}
	ADDQ(rest, perYAt.Base)
	XORQ(rest, rest)
	MOVQ(rest, field(back))
	INCQ(left)
	JMP(LabelRef("next"))

	Label("done")
	for i, s := range most {
		s.keep(slopes + 16*i)
	}
	VZEROUPPER()
	RET()
	Generate()
}
