// Command kernel writes gather_amd64.s: the gathering of a relief in package
// linkbudget, four points at once, with AVX2.
//
// It says the same as the Go code of gather, operation by operation, so that both
// give the same bits, but for the sums, which it takes in four parts; a test holds
// them to that. Whoever changes the one changes the other, runs
//
//	cd linkbudget/_kernel && go run . -out ../gather_amd64.s
//
// and then the test.
package main

import (
	"math"

	. "github.com/mmcloughlin/avo/build"
	. "github.com/mmcloughlin/avo/operand"
	. "github.com/mmcloughlin/avo/reg"
)

// The fields of the struct gatherCall, 8 bytes each; four of them make a vector.
const (
	rayA, slope, curve, lengthM    = 0, 1, 2, 3
	dist, ground, height, highest  = 4, 5, 6, 7 // addresses, of the first inner point
	perX, perRootX                 = 8, 9
	perY, perRootY                 = 10, 11 // of the fourth inner point: they run backwards
	number, sum, moment            = 12, 16, 20
	most, index                    = 24, 44 // five vectors each
	leadA, leadB, leadClose        = 0, 1, 2
	leadBareA, leadBareB, leadings = 3, 4, 5
)

var call Mem

func field(i int) Mem { return call.Offset(8 * i) }

func all(i int) VecVirtual {
	d := YMM()
	VBROADCASTSD(field(i), d)
	return d
}

func pointer(i int) Mem {
	r := GP64()
	MOVQ(field(i), r)
	return Mem{Base: r}
}

func mul(x Op, y VecVirtual) VecVirtual { d := YMM(); VMULPD(x, y, d); return d }
func add(x Op, y VecVirtual) VecVirtual { d := YMM(); VADDPD(x, y, d); return d }
func sub(x, y VecVirtual) VecVirtual    { d := YMM(); VSUBPD(y, x, d); return d }
func load(m Mem) VecVirtual             { d := YMM(); VMOVUPD(m, d); return d }

// backwards loads four numbers whose last is wanted first.
func backwards(m Mem) VecVirtual {
	d := YMM()
	VPERMPD(Imm(0x1b), m, d)
	return d
}

func main() {
	ConstraintExpr("!purego")
	TEXT("gatherVectors", 4, "func(call *byte, blocks int)") // NOSPLIT
	Doc("gatherVectors gathers so many whole blocks, at least one.")
	call = Mem{Base: Load(Param("call"), GP64())}
	left := Load(Param("blocks"), GP64())
	distAt, groundAt, heightAt, highestAt := pointer(dist), pointer(ground), pointer(height), pointer(highest)
	perXAt, perRootXAt, perYAt, perRootYAt := pointer(perX), pointer(perRootX), pointer(perY), pointer(perRootY)

	Label("next")
	var top [2]VecVirtual
	for part := range 2 {
		at := 32 * part
		x, prev, next := load(distAt.Offset(at)), load(distAt.Offset(at-8)), load(distAt.Offset(at+8))
		h := sub(sub(load(groundAt.Offset(at)), all(rayA)), mul(all(slope), x))
		VMOVUPD(h, heightAt.Offset(at))
		top[part] = h
		piece := mul(h, sub(next, prev))
		VMOVUPD(add(field(sum), piece), field(sum))
		VMOVUPD(add(field(moment), mul(piece, add(next, add(prev, x)))), field(moment))

		nearA, nearB := load(perXAt.Offset(at)), backwards(perYAt.Offset(-at))
		lead(leadBareA, mul(h, nearA))
		lead(leadBareB, mul(h, nearB))
		q := add(h, mul(all(curve), mul(x, sub(all(lengthM), x))))
		lead(leadA, mul(q, nearA))
		lead(leadB, mul(q, nearB))
		lead(leadClose, mul(q, mul(load(perRootXAt.Offset(at)), backwards(perRootYAt.Offset(-at)))))
		VMOVUPD(add(literal, load(field(number))), field(number))
	}
	high, half, swapped := YMM(), XMM(), XMM()
	VMAXPD(top[1], top[0], high)
	VEXTRACTF128(Imm(1), high, half)
	VMAXPD(half, high.AsX(), half)
	VPERMILPD(Imm(1), half, swapped)
	VMAXSD(swapped, half, half)
	VMOVSD(half, highestAt)

	for _, p := range []Mem{distAt, groundAt, heightAt, perXAt, perRootXAt} {
		ADDQ(Imm(64), p.Base)
	}
	SUBQ(Imm(64), perYAt.Base)
	SUBQ(Imm(64), perRootYAt.Base)
	ADDQ(Imm(8), highestAt.Base)
	DECQ(left)
	JNZ(LabelRef("next"))
	VZEROUPPER()
	RET()

	GLOBL("four", 8|16) // RODATA, NOPTR
	for i := range 4 {
		DATA(8*i, U64(math.Float64bits(4)))
	}
	Generate()
}

var literal = Mem{Symbol: Symbol{Name: "four", Static: true}, Base: StaticBase}

// lead keeps the largest value of each lane and the number of its point, the first
// of several.
func lead(which int, value VecVirtual) {
	m, n := field(most+4*which), field(index+4*which)
	mask, best := YMM(), load(m)
	VCMPPD(Imm(0x1e), best, value, mask)
	VBLENDVPD(mask, value, best, best)
	VMOVUPD(best, m)
	at := load(n)
	VBLENDVPD(mask, field(number), at, at)
	VMOVUPD(at, n)
}
