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

func edgeOver() {
	length := keep(lengthDB(row("d")))
	nu := row("nu")
	knife, rest, _ := knifeEdge(load(nu))
	VMOVUPS(edgeOf(nu, knife, rest, length), row("other"))
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
	more := greater(lesser(sub(row("other"), edge), row("most")), zero())
	other := keep(add(more, loss))
	least := keep(add(the("scatterDB"), mul(octaves, lit(dBPerOctave)))) // of troposcatter
	near := keep(onlySecond(above(sub(least, other), lit(20)), load(behind)))
	ifAny(near, func() {
		added := keep(scatterBy(least))
		ceiling(loss, added, behind)
		ceiling(other, added, behind)
	})
	half := keep(mul(sub(load(other), loss), lit(0.5)))
	VMOVUPS(add(add(load(half), row("clutter")), loss), row("loss"))

	double := greater(lesser(mul(load(diffraction), lit(2)), lit(200)), zero())
	n := lesserInts(toInt(double), bits(199))
	u := sub(double, toFloat(n))
	modelKept := keep(between(table("model"), n, u))
	gain := keep(add(row("gain"), gainOf("gainA", load(row("direct")))))
	down := sub(sub(zero(), row("climb")), mul(row("d"), the("curve")))
	all := add(gain, gainOf("gainB", down))
	cross := greater(sub(the("crossDB"), diffraction), the("leastCrossDB"))
	margin := sub(add(sub(the("budgetDB"), row("loss")), all), cross)
	VMOVUPS(margin, row("margin"))

	// The doubt.
	ground := groundDoubt(behind, length)
	variance := keep(add(add(row("steady2"), mul(load(modelKept), modelKept)), mul(ground, ground)))
	with := keep(div(row("margin"), root(add(mul(load(half), half), load(variance)))))
	bare := div(add(row("margin"), half), root(load(variance)))
	VMOVUPS(normal(lesser(bare, with)), row("probability"))
}

// scatterBy is the loss by troposcatter of the lanes behind an obstacle.
func scatterBy(least Mem) num {
	sag := mul(row("d"), the("curve"))
	bend := keep(add(sag, sag))
	theta := add(bend, arctan(add(row("a"), row("direct"))))
	theta = add(theta, arctan(sub(sub(row("b"), row("direct")), bend)))
	return add(mul(greater(theta, zero()), lit(573)), least)
}

// ceiling changes the loss of the lanes behind an obstacle.
func ceiling(loss, scatter, behind Mem) {
	other := load(scatter)
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
	square := keep(mul(the("perWave"), row("d")))
	per := func(x, rest string) Mem { return keep(root(div(load(square), mul(row(x), row(rest))))) }
	perA, perB := per("xA", "restA"), per("xB", "restB")
	high := func(slope, from string, per Mem) Mem {
		return keep(choose(load(behind), mul(mul(row(slope), row(from)), per), row("nu")))
	}
	nuA, nuB := high("a", "xA", perA), high("b", "restB", perB)
	top := keep(greater(greater(load(nuA), nuB), zero()))
	moves := func(x, rest, land string, per, nu Mem) num {
		m := mul(mul(errorM(row(x), row(rest)), row(land)), per)
		return mul(m, sub(nu, lit(leastEdgeNu)))
	}
	first := keep(moves("xA", "restA", "landA", perA, nuA))
	most := keep(greater(load(first), moves("xB", "restB", "landB", perB, nuB)))
	_, rest, w := knifeEdge(load(top))
	slope := mul(div(lit(20/math.Ln10), w), add(mul(mul(rest, length), lit(1.0/6)), lit(1)))
	return mul(div(load(most), sub(top, lit(leastEdgeNu))), slope)
}

func errorM(x, rest Op) num {
	f := func(x Op) num {
		t := lesser(mul(x, the("perM")), lit(1))
		return mul(t, sub(lit(2), t))
	}
	return mul(mul(the("mostM"), f(x)), f(rest))
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
