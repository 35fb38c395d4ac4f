package main

import (
	. "github.com/mmcloughlin/avo/build"
	. "github.com/mmcloughlin/avo/operand"
	. "github.com/mmcloughlin/avo/reg"
)

// noGround is that of the Go code.
const noGround = -1e6

// horizon is horizonByOne, eight points at a time, the farthest first. In the last vector
// there may be points that are none: they get the pole's distance and no ground.
func horizon() {
	TEXT("horizonVectors", 0,
		"func(dist, over *float32, n int, d, rise, slope, curve float32) (flat, at, bare, highest float32)")
	Doc("horizonVectors is horizonByOne for eight points at once. It reads up to seven behind the last.")
	dist, over := Mem{Base: Load(Param("dist"), GP64())}, Mem{Base: Load(Param("over"), GP64())}
	n := Load(Param("n"), GP64())
	given := func(name string) num {
		d := YMM()
		m, err := Param(name).Resolve()
		if err != nil {
			panic(err)
		}
		VBROADCASTSS(m.Addr, d)
		return d
	}
	d, rise, slope, curve := given("d"), given("rise"), given("slope"), given("curve")
	flat, at, bare, highest := YMM(), YMM(), YMM(), YMM()

	back := func(x, h Op) (back, flat, above num) {
		q := div(sub(h, rise), sub(d, x))
		return q, add(q, mul(curve, x)), sub(h, mul(slope, x))
	}

	// The last vector begins at a multiple of eight.
	last, rest := GP64(), GP64()
	LEAQ(Mem{Base: n, Disp: -1}, last)
	MOVQ(last, rest)
	ANDQ(Imm(7), rest)
	ANDQ(I8(-8), last)
	mask := XMM()
	VMOVQ(rest, mask)
	wide := YMM()
	VPBROADCASTD(mask, wide)
	there := YMM()
	VPCMPGTD(counting(), wide, there) // rest > number is wanted or equal
	equal := YMM()
	VPCMPEQD(counting(), wide, equal)
	VPOR(equal, there, there)
	x, h := YMM(), YMM()
	VANDPS(Mem{Base: dist.Base, Index: last, Scale: 4}, there, x)
	VMOVUPS(lit(noGround), h)
	VBLENDVPS(there, Mem{Base: over.Base, Index: last, Scale: 4}, h, h)
	b, f, a := back(x, h)
	VMOVAPS(f, flat)
	VMOVAPS(x, at)
	VMOVAPS(b, bare)
	VMOVAPS(a, highest)

	TESTQ(last, last)
	JZ(LabelRef("found"))
	Label("farther")
	SUBQ(Imm(8), last)
	VMOVUPS(Mem{Base: dist.Base, Index: last, Scale: 4}, x)
	VMOVUPS(Mem{Base: over.Base, Index: last, Scale: 4}, h)
	b, f, a = back(x, h)
	better := above(f, flat)
	VBLENDVPS(better, x, at, at)
	VMAXPS(f, flat, flat)
	VMAXPS(b, bare, bare)
	VMAXPS(a, highest, highest)
	TESTQ(last, last)
	JNZ(LabelRef("farther"))

	Label("found")
	best := most(flat)
	whose := YMM()
	VCMPPS(Imm(0), best, flat, whose)
	VANDPS(whose, at, at) // distances are above 0
	results := []num{best, most(at), most(bare), most(highest)}
	for i, name := range []string{"flat", "at", "bare", "highest"} {
		Store(results[i].AsX(), Return(name))
	}
	VZEROUPPER()
	RET()
}

// most is the largest of a vector, in all of its places.
func most(v num) num {
	d, e := YMM(), YMM()
	VPERM2F128(Imm(1), v, v, d)
	VMAXPS(v, d, d)
	VSHUFPS(Imm(0x4e), d, d, e)
	VMAXPS(d, e, d)
	VSHUFPS(Imm(0xb1), d, d, e)
	VMAXPS(d, e, d)
	return d
}

// counting is 0 to 7, as integers.
func counting() Mem {
	return Mem{Symbol: Symbol{Name: "counting", Static: true}, Base: StaticBase}
}

func writeCounting() {
	GLOBL("counting", readOnly)
	for i := range 8 {
		DATA(4*i, U32(i))
	}
}
