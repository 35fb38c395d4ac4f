package main

import (
	"fmt"

	. "github.com/mmcloughlin/avo/build"
	. "github.com/mmcloughlin/avo/operand"
	. "github.com/mmcloughlin/avo/reg"
)

// The fields of posts.
func acrossOf() Mem { return extra.Offset(sliceBytes) }
func backOf() Mem   { return extra.Offset(sliceBytes + vectorBytes) }

func near() {
	h := GP64()
	MOVQ(extra, h)
	d := root(add(mul(row("d"), row("d")), row("beside")))
	VMOVUPS(add(sub(d, row("d")), row("farR")), row("farR"))
	VMOVUPS(d, row("d"))
	part := keep(mul(d, row("part")))
	post := keep(load(row("post")))
	known := keep(aboveInts(post, bits(0xffffffff)))
	for m := range 3 {
		lines := lit(float64(m + 1))
		to := sub(zero(), mul(row("drift"), lines))
		left := floor(to)
		share := sub(to, left)
		VMOVUPS(subInts(load(post), backOf()), post)
		p := addInts(product(toInt(left), acrossOf()), post)
		a := gather(h, p, known)
		b := gather(h, addInts(p, acrossOf()), known)
		a = add(mul(sub(b, a), share), a)
		over, way := row(fmt.Sprintf("nearH%d", m)), row(fmt.Sprintf("nearR%d", m))
		VMOVUPS(choose(load(known), sub(sub(a, the("antennaM")), row("rise")), over), over)
		VMOVUPS(choose(load(known), mul(part, lines), way), way)
	}
}

// gather brings the numbers at the indices of the lanes that the mask has, 0 for the others.
func gather(t Register, i num, mask Op) num {
	d, m := zero(), load(mask)
	VGATHERDPS(m, Mem{Base: t, Index: i, Scale: 4}, d)
	return d
}

func floor(x Op) num { d := YMM(); VROUNDPS(Imm(9), x, d); return d }
