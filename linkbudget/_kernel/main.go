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
	"fmt"
	"math"

	. "github.com/mmcloughlin/avo/build"
	. "github.com/mmcloughlin/avo/operand"
	. "github.com/mmcloughlin/avo/reg"
)

// The fields of the struct gatherCall, 8 bytes each.
const (
	rayA, slope, curve, lengthM    = 0, 1, 2, 3
	dist, ground, height, highest  = 4, 5, 6, 7 // addresses, of the first inner point
	perX, perRootX                 = 8, 9
	perY, perRootY                 = 10, 11 // of the fourth inner point: they run backwards
	sum, moment, top               = 12, 13, 14
	most, index                    = 15, 20 // five each
	leadA, leadB, leadClose        = 0, 1, 2
	leadBareA, leadBareB, leadings = 3, 4, 5
)

// What stands on the stack, a vector each, at a multiple of 32 bytes: the first fields
// in every lane, and for each half of a block the numbers of its points and sums.
const (
	numbers, sums, moments = lengthM + 1, lengthM + 3, lengthM + 5
	onStack                = lengthM + 7
)

var call, stack Mem

func field(i int) Mem { return call.Offset(8 * i) }

// local is a vector on the stack.
func local(i int) Mem { return stack.Offset(32 * i) }

// spread fills in what stands on the stack.
func spread() {
	r := GP64()
	LEAQ(AllocLocal(32*(onStack+1)).Offset(31), r)
	ANDQ(I32(-32), r)
	stack = Mem{Base: r}
	d := YMM()
	for i := range lengthM + 1 {
		VBROADCASTSD(field(i), d)
		VMOVAPD(d, local(i))
	}
	for half := range 2 {
		first := float64(4*half + 1)
		VMOVUPD(quad(fmt.Sprintf("points%d", half), first, first+1, first+2, first+3), d)
		VMOVAPD(d, local(numbers+half))
	}
	VXORPD(d, d, d)
	for i := sums; i < onStack; i++ {
		VMOVAPD(d, local(i))
	}
}

func pointer(i int) Mem {
	r := GP64()
	MOVQ(field(i), r)
	return Mem{Base: r}
}

func mul(x Op, y VecVirtual) VecVirtual { d := YMM(); VMULPD(x, y, d); return d }
func add(x Op, y VecVirtual) VecVirtual { d := YMM(); VADDPD(x, y, d); return d }
func sub(x Op, y VecVirtual) VecVirtual { d := YMM(); VSUBPD(x, y, d); return d } // y - x
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

	spread()
	below, eight := quad("below", math.Inf(-1), math.Inf(-1), math.Inf(-1), math.Inf(-1)), quad("eight", 8, 8, 8, 8)
	var leaders [leadings]leader
	for i := range leaders {
		leaders[i] = leader{best: load(below), at: YMM()}
		VXORPD(leaders[i].at, leaders[i].at, leaders[i].at)
	}
	high := load(below)

	Label("next")
	for half := range 2 {
		at := 32 * half
		x := load(distAt.Offset(at))
		h := sub(mul(local(slope), x), sub(local(rayA), load(groundAt.Offset(at))))
		VMOVUPD(h, heightAt.Offset(at))
		piece := mul(h, sub(distAt.Offset(at-8), load(distAt.Offset(at+8))))
		VMOVAPD(add(local(sums+half), piece), local(sums+half))
		three := add(distAt.Offset(at+8), add(distAt.Offset(at-8), x))
		VMOVAPD(add(local(moments+half), mul(piece, three)), local(moments+half))

		nearA := load(perXAt.Offset(at))
		number := local(numbers + half)
		leaders[leadBareA].meets(mul(h, nearA), number)
		leaders[leadBareB].meets(mul(h, backwards(perYAt.Offset(-at))), number)
		q := add(h, mul(local(curve), mul(x, sub(x, load(local(lengthM))))))
		leaders[leadA].meets(mul(q, nearA), number)
		leaders[leadB].meets(mul(q, backwards(perYAt.Offset(-at))), number)
		leaders[leadClose].meets(mul(q, mul(perRootXAt.Offset(at), backwards(perRootYAt.Offset(-at)))), number)
		VMOVAPD(add(eight, load(number)), number)
	}
	top4 := load(heightAt)
	VMAXPD(heightAt.Offset(32), top4, top4)
	VMAXPD(top4, high, high)
	VMOVSD(largest(top4), highestAt)

	for _, p := range []Mem{distAt, groundAt, heightAt, perXAt, perRootXAt} {
		ADDQ(Imm(64), p.Base)
	}
	SUBQ(Imm(64), perYAt.Base)
	SUBQ(Imm(64), perRootYAt.Base)
	ADDQ(Imm(8), highestAt.Base)
	DECQ(left)
	JNZ(LabelRef("next"))

	VMOVSD(largest(high), field(top))
	for i, l := range leaders {
		best := YMM()
		VBROADCASTSD(largest(l.best), best)
		VMOVSD(best.AsX(), field(most+i))
		// Of several points with the largest value, the first.
		VCMPPD(Imm(0), best, l.best, best)
		at := load(quad("never", math.Inf(1), math.Inf(1), math.Inf(1), math.Inf(1)))
		VBLENDVPD(best, l.at, at, at)
		VMOVSD(reduced(at, VMINPD), field(index+i))
	}
	for _, s := range [][2]int{{sums, sum}, {moments, moment}} {
		VMOVSD(reduced(add(local(s[0]+1), load(local(s[0]))), VADDPD), field(s[1]))
	}
	VZEROUPPER()
	RET()
	Generate()
}

func quad(name string, x ...float64) Mem {
	if m, ok := quads[name]; ok {
		return m
	}
	m := GLOBL(name, 8|16) // RODATA, NOPTR
	for i, x := range x {
		DATA(8*i, U64(math.Float64bits(x)))
	}
	quads[name] = m
	return m
}

var quads = map[string]Mem{}

// leader keeps the largest value of each lane and the number of its point, the first
// of several.
type leader struct{ best, at VecVirtual }

func (l leader) meets(value VecVirtual, number Mem) {
	mask := YMM()
	VCMPPD(Imm(0x1e), l.best, value, mask)
	VMAXPD(l.best, value, l.best)
	VBLENDVPD(mask, number, l.at, l.at)
}

// reduced brings four lanes together in the first.
func reduced(x VecVirtual, with func(...Op)) VecVirtual {
	half, swapped := XMM(), XMM()
	VEXTRACTF128(Imm(1), x, half)
	with(half, x.AsX(), half)
	VPERMILPD(Imm(1), half, swapped)
	with(swapped, half, half)
	return half
}

func largest(x VecVirtual) VecVirtual { return reduced(x, VMAXPD) }
