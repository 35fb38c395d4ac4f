package main

import (
	"math"

	. "github.com/mmcloughlin/avo/build"
	. "github.com/mmcloughlin/avo/operand"
)

const dBPerOctave = 3.010299956639812

func lengthDB(d Op) num { return add(mul(d, lit(0.02e-3)), lit(10)) }

func edgeLoss(nu num, length Op) num {
	knife, rest, _ := knifeEdge(nu)
	return edgeOf(nu, knife, rest, length)
}

func edgeOf(nu Op, knife, rest num, length Op) num {
	return both(above(nu, lit(-0.78)), add(knife, mul(sub(lit(1), rest), length)))
}

// knifeEdge also returns the root, of which the slope is made where it is wanted.
func knifeEdge(nu num) (knife, rest, w num) {
	v := sub(nu, lit(0.1))
	w = root(add(mul(v, v), lit(1)))
	knife = add(mul(log2(add(w, v)), lit(2*dBPerOctave)), lit(6.9))
	return knife, exp2(mul(knife, lit(-math.Log2E/6))), w
}

func verdict() {
	nu := row("nu")
	behind := keep(above(nu, zero()))
	length := keep(lengthDB(row("d")))
	knife, rest, _ := knifeEdge(load(nu))
	edge := keep(edgeOf(nu, knife, rest, length))
	diffraction := keep(add(edge, row("excess")))

	// The median.
	climb := load(row("climb"))
	slant := mul(mul(load(row("d")), row("d")), add(mul(climb, climb), lit(1)))
	octaves := keep(log2(slant))
	loss := keep(add(add(the("freeDB"), mul(octaves, lit(dBPerOctave))), diffraction))
	least := keep(add(the("scatterDB"), mul(octaves, lit(dBPerOctave)))) // of troposcatter
	near := keep(onlySecond(above(sub(least, loss), lit(20)), load(behind)))
	ifAny(near, func() { ceiling(loss, least, behind) })
	VMOVUPS(add(loss, row("clutter")), row("loss"))

	half := greater(lesser(mul(diffraction, lit(2)), lit(200)), zero())
	n := lesserInts(toInt(half), bits(199))
	u := sub(half, toFloat(n))
	modelKept := keep(between(table("model"), n, u))
	gain := keep(add(row("gain"), gainOf("gainA", load(row("direct")))))
	down := sub(sub(zero(), row("climb")), mul(row("d"), the("curve")))
	all := add(gain, gainOf("gainB", down))
	cross := greater(sub(the("crossDB"), diffraction), the("leastCrossDB"))
	margin := sub(add(sub(the("budgetDB"), row("loss")), all), cross)
	VMOVUPS(margin, row("margin"))

	// The doubt.
	ground := groundDoubt(behind, length)
	variance := add(add(row("steady2"), mul(load(modelKept), modelKept)), mul(ground, ground))
	VMOVUPS(normal(div(row("margin"), root(variance))), row("probability"))
}

// ceiling changes the loss of the lanes behind an obstacle.
func ceiling(loss, least, behind Mem) {
	sag := mul(row("d"), the("curve"))
	bend := keep(add(sag, sag))
	theta := add(bend, arctan(add(row("a"), row("direct"))))
	theta = add(theta, arctan(sub(sub(row("b"), row("direct")), bend)))
	other := add(mul(greater(theta, zero()), lit(573)), least)
	gap := both(sub(other, loss), bits(1<<31-1))
	lower := lesser(other, loss)
	far := above(gap, lit(20))
	lowerKept, near := keep(lower), keep(onlySecond(far, load(behind)))
	VMOVUPS(choose(load(behind), lower, loss), loss)
	ifAny(near, func() {
		corner := log2(add(exp2(mul(gap, lit(-0.2*math.Log2E*math.Ln10))), lit(1)))
		VMOVUPS(choose(load(near), sub(lowerKept, mul(corner, lit(dBPerOctave/2))), loss), loss)
	})
}

func groundDoubt(behind, length Mem) num {
	square, late := keep(mul(the("perWave"), row("d"))), keep(mul(load(length), lit(1.0/6)))
	type edge struct{ per, knife, slope Mem }
	at := func(x, rest, q string, from string) edge {
		per := keep(root(div(load(square), mul(row(x), row(rest)))))
		high := mul(mul(row(q), row(from)), per)
		knife, slope := edgeSlope(choose(load(behind), high, row("nu")), late)
		return edge{per, knife, slope}
	}
	a := at("xA", "restA", "a", "xA")
	b := at("xB", "restB", "b", "restB")
	most := keep(greater(load(a.knife), b.knife))
	moves := func(e edge, x, rest, land string) num {
		m := mul(mul(mul(errorM(row(x), row(rest)), row(land)), e.per), e.slope)
		return mul(m, sub(lit(1), mul(sub(most, e.knife), lit(1.0/edgeBehindDB))))
	}
	first := keep(moves(a, "xA", "restA", "landA"))
	second := moves(b, "xB", "restB", "landB")
	return greater(greater(load(first), second), zero())
}

func errorM(x, rest Op) num {
	f := func(x Op) num {
		t := lesser(mul(x, the("perM")), lit(1))
		return mul(t, sub(lit(2), t))
	}
	return mul(mul(the("mostM"), f(x)), f(rest))
}

func edgeSlope(nu num, late Mem) (knife, slope Mem) {
	nuKept := keep(nu)
	j, rest, w := knifeEdge(nu)
	high := above(load(nuKept), lit(-0.78))
	knife = keep(both(high, j))
	per := keep(div(lit(20/math.Ln10), w))
	rest = choose(high, rest, lit(1))
	steep := keep(mul(per, add(mul(rest, late), lit(1))))
	share := mul(sub(nuKept, lit(leastEdgeNu)), lit(1.0/(fullEdgeNu-leastEdgeNu)))
	share = lesser(greater(share, zero()), lit(1))
	fade := mul(mul(share, share), sub(lit(3), mul(share, lit(2))))
	return knife, keep(mul(steep, fade))
}

func gainOf(name string, tangent num) num {
	at := lesser(greater(mul(add(tangent, lit(1)), lit(200)), zero()), lit(400))
	n := lesserInts(toInt(at), bits(399))
	return between(table(name), n, sub(at, toFloat(n)))
}

func normal(x num) num {
	x = lesser(greater(x, lit(-6)), lit(6)) // NaN becomes -6
	at := mul(add(x, lit(6)), lit(64))
	n := lesserInts(toInt(at), bits(767))
	return between(table("phi"), n, sub(at, toFloat(n)))
}
