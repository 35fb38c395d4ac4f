package main

import (
	"math"

	. "github.com/mmcloughlin/avo/build"
	. "github.com/mmcloughlin/avo/operand"
	. "github.com/mmcloughlin/avo/reg"
)

// The layout of a Cell, and its states.
const (
	stepsPerDB    = 100
	highestLoss   = math.MaxUint16
	mostMargin    = math.MaxInt16
	chanceSteps   = 1 << 28
	chanceBits    = 3
	judged        = 1
	hidden        = 4
	lowMarginBits = 1<<16 - 1
)

// cells writes the function that makes the answers of the lanes cells.
func cells() {
	TEXT("cellVectors", 0, "func(l, out *byte, vectors int)")
	Doc("cellVectors is for so many vectors of lanes what cell is for a lane.")
	lane = Mem{Base: Load(Param("l"), GP64())}
	out := Mem{Base: Load(Param("out"), GP64())}
	left := Load(Param("vectors"), GP64())
	Label("nextCells")

	loss := load(row("loss"))
	unknown := YMM()
	VCMPPS(Imm(3), loss, loss, unknown) // where it is NaN
	low := steps(loss, 0, highestLoss, false)
	margin := both(steps(load(row("margin")), -mostMargin, mostMargin, true), bits(lowMarginBits))
	VPOR(shiftLeft(margin, 16), low, low)

	chance := lesser(greater(mul(row("probability"), lit(chanceSteps)), zero()), lit(chanceSteps))
	high := shiftLeft(toInt(chance), chanceBits)
	VPOR(bits(judged), high, high)

	low = onlySecond(unknown, low)
	high = choose(unknown, bits(hidden), high)
	a, b, first, second := YMM(), YMM(), YMM(), YMM()
	VPUNPCKLDQ(high, low, a) // lanes 0, 1, 4, 5
	VPUNPCKHDQ(high, low, b) // lanes 2, 3, 6, 7
	VPERM2I128(Imm(0x20), b, a, first)
	VPERM2I128(Imm(0x31), b, a, second)
	VMOVDQU(first, out)
	VMOVDQU(second, out.Offset(32))

	ADDQ(Imm(32), lane.Base)
	ADDQ(Imm(64), out.Base)
	DECQ(left)
	JNZ(LabelRef("nextCells"))
	VZEROUPPER()
	RET()
}

// steps are decibels in whole steps within limits, rounded in double precision:
// halves go up, or away from zero. NaN gives the lower limit.
func steps(x num, least, most float64, signed bool) num {
	four := func(half Op) VecVirtual {
		d, i := YMM(), XMM()
		VCVTPS2PD(half, d)
		VMULPD(double(stepsPerDB), d, d)
		VMAXPD(double(least), d, d)
		VMINPD(double(most), d, d)
		up := load(double(0.5))
		if signed {
			VORPD(both(d, signs()), up, up)
		}
		VADDPD(up, d, d)
		VCVTTPD2DQY(d, i)
		return i
	}
	high, all := XMM(), YMM()
	VEXTRACTF128(Imm(1), x, high)
	lower, upper := four(x.AsX()), four(high)
	VINSERTI128(Imm(1), upper, lower.AsY(), all)
	return all
}

// signs are the bits of the signs of four doubles.
func signs() num {
	d := YMM()
	VPCMPEQD(d, d, d)
	VPSLLQ(Imm(63), d, d)
	return d
}
