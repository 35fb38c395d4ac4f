package main

import (
	"fmt"

	. "github.com/mmcloughlin/avo/build"
)

func effectiveHeights() {
	foot := sub(add(row("rise"), the("footM")), row("lift"))
	grown := mul(row("gap"), foot)
	first := add(grown, row("first"))
	second := add(mul(sub(lit(3), row("gap")), grown), row("second"))
	start, end := sub(add(first, first), second), sub(second, first)
	alpha, beta, over := load(row("alpha")), load(row("beta")), load(row("over"))
	slope := div(row("rise"), row("d"))
	for m := range 3 {
		r := load(row(fmt.Sprintf("nearR%d", m)))
		up := add(mul(slope, r), row(fmt.Sprintf("nearH%d", m)))
		over = greater(over, up)
		alpha = greater(alpha, div(up, sub(row("d"), r)))
		beta = greater(beta, div(up, r))
	}
	sum := add(alpha, beta)
	stands := both(both(above(alpha, zero()), above(over, zero())), above(sum, zero()))
	over = both(stands, div(over, sum))
	start = sub(start, mul(over, alpha))
	end = sub(end, mul(over, beta))
	hA := sub(the("poleM"), lesser(start, zero()))
	hB := sub(add(foot, add(row("lift"), the("rxM"))), lesser(end, foot))
	VMOVUPS(hA, row("hA"))
	VMOVUPS(hB, row("hB"))
	need := add(mul(mul(row("d"), row("d")), the("clearCurve")), mul(root(row("d")), the("clearRoot")))
	free := above(mul(hA, hB), mul(need, need))
	VMOVUPS(onlySecond(free, lit(1)), row("smooth"))
}
