package main

import . "github.com/mmcloughlin/avo/build"

func effectiveHeights() {
	foot := add(row("rise"), the("footM"))
	grown := mul(row("gap"), foot)
	first := add(grown, row("first"))
	second := add(mul(sub(lit(3), row("gap")), grown), row("second"))
	start, end := sub(add(first, first), second), sub(second, first)
	sum := add(row("alpha"), row("beta"))
	stands := both(both(above(row("alpha"), zero()), above(row("over"), zero())), above(sum, zero()))
	over := both(stands, div(row("over"), sum))
	start = sub(start, mul(over, row("alpha")))
	end = sub(end, mul(over, row("beta")))
	hA := sub(the("poleM"), lesser(start, zero()))
	hB := sub(add(foot, the("rxM")), lesser(end, foot))
	VMOVUPS(hA, row("hA"))
	VMOVUPS(hB, row("hB"))
	need := add(mul(mul(row("d"), row("d")), the("clearCurve")), mul(root(row("d")), the("clearRoot")))
	free := above(mul(hA, hB), mul(need, need))
	VMOVUPS(onlySecond(free, lit(1)), row("smooth"))
}
