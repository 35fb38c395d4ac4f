package main

import (
	. "github.com/mmcloughlin/avo/build"
	. "github.com/mmcloughlin/avo/operand"
	. "github.com/mmcloughlin/avo/reg"
)

// The fields of run, in bytes.
const (
	crossOfRun, distOfRun, lowOfRun, highOfRun = 0, 24, 48, 72
	curveOfRun, hOfRun                         = 96, 104
	postOfRun, lineOfRun, acrossOfRun          = 128, 132, 136
)

// sample is sampleByOne, four samples at a time: the last vector may reach past the end.
func sample() {
	TEXT("sampleVectors", 0,
		"func(u *byte, k, vectors int, cross, dist, per, h, y *float64, low, high *int32) (unknown int)")
	Doc("sampleVectors is sampleByOne for so many vectors of four samples.")
	run := Mem{Base: Load(Param("u"), GP64())}
	left := Load(Param("vectors"), GP64())
	arrays := []string{"cross", "dist", "per", "h", "y", "low", "high"}
	out := map[string]Mem{}
	for _, name := range arrays {
		out[name] = Mem{Base: Load(Param(name), GP64())}
	}
	k, unknown := YMM(), YMM()
	first := XMM()
	VCVTSI2SDQ(Load(Param("k"), GP64()), first, first)
	VBROADCASTSD(first, k)
	VADDPD(doubles(0, 1, 2, 3), k, k)
	VXORPD(unknown, unknown, unknown)
	heights := GP64()
	MOVQ(run.Offset(hOfRun), heights)

	Label("run")
	parabola := func(field int) num {
		v, w := YMM(), YMM()
		VBROADCASTSD(run.Offset(field+16), v)
		VMULPD(k, v, v)
		VBROADCASTSD(run.Offset(field+8), w)
		VADDPD(w, v, v)
		VMULPD(k, v, v)
		VBROADCASTSD(run.Offset(field), w)
		VADDPD(w, v, v)
		return v
	}
	cross, dist := parabola(crossOfRun), parabola(distOfRun)
	VMOVUPD(cross, out["cross"])
	VMOVUPD(dist, out["dist"])
	per := YMM()
	VMOVUPD(double(1), per)
	VDIVPD(dist, per, per)
	VMOVUPD(per, out["per"])
	VMOVDQU(after(parabola(lowOfRun)), out["low"])
	VMOVDQU(after(parabola(highOfRun)), out["high"])

	j, lines, p, constant := XMM(), XMM(), XMM(), XMM()
	VCVTTPD2DQY(cross, j)
	VCVTTPD2DQY(k, lines)
	VPBROADCASTD(run.Offset(lineOfRun), constant)
	VPMULLD(constant, lines, lines)
	VPBROADCASTD(run.Offset(postOfRun), p)
	VPADDD(lines, p, p)
	VPBROADCASTD(run.Offset(acrossOfRun), constant)
	next := XMM()
	VPMULLD(constant, j, next)
	VPADDD(next, p, p)
	VPADDD(constant, p, next)
	a, b := gatherDoubles(heights, p), gatherDoubles(heights, next)
	part := YMM()
	VCVTDQ2PD(j, part)
	VSUBPD(part, cross, part)
	VSUBPD(a, b, b)
	VMULPD(part, b, b)
	VADDPD(a, b, b)
	VMOVUPD(b, out["h"])
	void := YMM()
	VCMPPD(Imm(3), b, b, void) // unordered
	VORPD(void, unknown, unknown)
	drop := YMM()
	VBROADCASTSD(run.Offset(curveOfRun), drop)
	VMULPD(dist, drop, drop)
	VMULPD(dist, drop, drop)
	VSUBPD(drop, b, b)
	VMOVUPD(b, out["y"])

	VADDPD(double(4), k, k)
	for _, name := range arrays {
		step := uint64(32)
		if name == "low" || name == "high" {
			step = 16
		}
		ADDQ(Imm(step), out[name].Base)
	}
	DECQ(left)
	JNZ(LabelRef("run"))
	wide := GP64()
	VMOVMSKPD(unknown, wide.As32()) // clears the upper half
	Store(wide, ReturnIndex(0))
	VZEROUPPER()
	RET()
}

// after is the first whole number from each on.
func after(x num) VecVirtual {
	n := XMM()
	VCVTTPD2DQY(x, n)
	less := YMM()
	VCVTDQ2PD(n, less)
	VCMPPD(Imm(0x11), x, less, less)
	high := XMM()
	VEXTRACTF128(Imm(1), less, high)
	VSHUFPS(Imm(0x88), high, less.AsX(), high)
	VPSUBD(high, n, n)
	return n
}

func gatherDoubles(t, i Register) num {
	d, m := XMM(), XMM()
	VPCMPEQD(m, m, m)
	VXORPS(d, d, d)
	VGATHERDPS(m, Mem{Base: t, Index: i, Scale: 4}, d)
	wide := YMM()
	VCVTPS2PD(d, wide)
	return wide
}
