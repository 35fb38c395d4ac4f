package main

import (
	"fmt"

	. "github.com/mmcloughlin/avo/build"
	. "github.com/mmcloughlin/avo/operand"
)

// As linkbudget has them.
const (
	leastEdgeNu  = -2.6
	levelGroundM = 0.25
)

func edge() {
	climb := div(row("rise"), row("d"))
	VMOVUPS(climb, row("climb"))
	direct := sub(climb, mul(row("d"), the("curve")))
	VMOVUPS(direct, row("direct"))
	a, b := keep(load(row("farA"))), keep(load(row("farB")))
	xA, restB := keep(load(row("farX"))), keep(load(row("farR")))
	q, at := keep(load(row("farQ"))), keep(sub(row("d"), row("farR")))
	landA, landB, landQ := keep(load(row("farU"))), keep(load(row("farV"))), keep(load(row("farU")))
	apart := func(x, y Op) num { return both(sub(x, y), bits(1<<31-1)) }
	far := greater(apart(row("nearH0"), row("nearH1")), apart(row("nearH1"), row("nearH2")))
	land := keep(lesser(mul(far, lit(1/levelGroundM)), lit(1)))
	for m := range 3 {
		h, r := row(fmt.Sprintf("nearH%d", m)), row(fmt.Sprintf("nearR%d", m))
		twice := add(load(row("d")), row("d"))
		over := add(mul(add(mul(sub(twice, r), the("curve")), row("direct")), r), h)
		x := sub(row("d"), r)
		up := div(over, x)
		steeper := above(up, a)
		VMOVUPS(choose(steeper, up, a), a)
		VMOVUPS(choose(steeper, x, xA), xA)
		VMOVUPS(choose(steeper, load(land), landA), landA)
		up = div(over, r)
		steeper = above(up, b)
		VMOVUPS(choose(steeper, up, b), b)
		VMOVUPS(choose(steeper, load(r), restB), restB)
		VMOVUPS(choose(steeper, load(land), landB), landB)
		near := div(mul(over, over), mul(x, r))
		closer := above(q, near)
		VMOVUPS(choose(closer, near, q), q)
		VMOVUPS(choose(closer, x, at), at)
		VMOVUPS(choose(closer, load(land), landQ), landQ)
	}
	behind := atLeast(a, zero())
	sharpA, sharpB := greater(load(a), zero()), greater(load(b), zero())
	square := mul(the("perWave"), row("d"))
	nu := root(mul(mul(square, sharpA), sharpB))
	sunk := sub(zero(), root(mul(square, q)))
	seen := above(sunk, lit(leastEdgeNu))
	VMOVUPS(choose(behind, nu, choose(seen, sunk, lit(leastEdgeNu))), row("nu"))
	VMOVUPS(choose(behind, load(landA), landQ), row("landA"))
	VMOVUPS(choose(behind, load(landB), landQ), row("landB"))
	VMOVUPS(choose(behind, sharpA, lit(1)), row("a"))
	VMOVUPS(choose(behind, sharpB, lit(1)), row("b"))
	place := choose(behind, load(xA), at)
	rest := choose(behind, load(restB), sub(row("d"), at))
	VMOVUPS(place, row("xA"))
	VMOVUPS(sub(row("d"), place), row("restA"))
	VMOVUPS(sub(row("d"), rest), row("xB"))
	VMOVUPS(rest, row("restB"))
}
