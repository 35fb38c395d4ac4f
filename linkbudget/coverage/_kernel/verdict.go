package main

import (
	"math"

	. "github.com/mmcloughlin/avo/build"
	. "github.com/mmcloughlin/avo/operand"
)

const dBPerOctave = 3.010299956639812

func lengthDB(d Op) num { return add(mul(d, lit(0.02e-3)), lit(10)) }

func edgeLoss(nu num, length Op) num {
	v := sub(nu, lit(0.1))
	j := add(mul(log2(add(root(add(mul(v, v), lit(1))), v)), lit(2*dBPerOctave)), lit(6.9))
	rest := sub(lit(1), exp2(mul(j, lit(-math.Log2E/6))))
	return both(above(nu, lit(-0.78)), add(j, mul(rest, length)))
}

func smoothEarth() {
	outside := keep(zero())
	entry := func(t, from string, x Op, n string) num {
		i, u, bad := octavePlace(x, the(from), the(n))
		VORPS(outside, bad, bad)
		VMOVUPS(bad, outside)
		return between(table(t), i, u)
	}
	spherical := entry("dist", "distFrom", row("d"), "distLast")
	spherical = add(spherical, entry("height", "heightFrom", row("hA"), "heightLast"))
	spherical = add(spherical, entry("height", "heightFrom", row("hB"), "heightLast"))
	sphericalKept := keep(spherical)

	rootA, rootB, w := root(row("hA")), root(row("hB")), mul(row("d"), the("rootCurve"))
	told := onlySecond(load(outside), atLeast(w, add(rootA, rootB)))
	asked := above(row("smooth"), zero())
	within := both(onlySecond(told, asked), lit(1))
	VMOVUPS(within, row("within"))
	toldKept := keep(both(told, asked))

	a, b := sub(w, rootA), sub(w, rootB)
	a = greater(sub(mul(a, a), row("hB")), zero())
	b = greater(sub(mul(b, b), row("hA")), zero())
	nu := root(div(mul(mul(load(the("perWave")), a), b), row("d")))
	edge := edgeLoss(nu, keep(lengthDB(row("d"))))
	VMOVUPS(both(greater(sub(sphericalKept, edge), zero()), toldKept), row("excess"))
}

func verdict() {
	nu := row("nu")
	behind := keep(above(nu, zero()))
	length := keep(lengthDB(row("d")))
	edge := keep(edgeLoss(load(nu), length))
	diffraction := keep(add(edge, row("excess")))

	// The median.
	octaves := keep(log2(load(row("d"))))
	climb := keep(div(row("rise"), row("d")))
	loss := add(add(the("freeDB"), mul(octaves, lit(2*dBPerOctave))), diffraction)
	slant := log2(add(mul(load(climb), climb), lit(1)))
	loss = add(loss, mul(slant, lit(dBPerOctave)))
	lossKept := keep(loss)
	loss = choose(load(behind), ceiling(lossKept, octaves), lossKept)
	loss = add(loss, row("clutter"))
	VMOVUPS(loss, row("loss"))

	half := greater(lesser(mul(diffraction, lit(2)), lit(200)), zero())
	n := lesserInts(toInt(half), bits(199))
	u := sub(half, toFloat(n))
	model := between(table("model"), n, u)
	low := onlySecond(load(behind), above(row("excess"), edge))
	model = choose(low, lesser(model, the("lowDB")), model)
	modelKept := keep(model)
	cross := between(table("cross"), n, u)
	crossKept := keep(cross)
	gain := keep(add(row("gain"), gainOf("gainA", load(row("direct")))))
	down := sub(sub(zero(), climb), mul(row("d"), the("curve")))
	margin := sub(add(sub(the("budgetDB"), row("loss")), add(gain, gainOf("gainB", down))), crossKept)
	VMOVUPS(margin, row("margin"))

	// The doubt.
	shift := keep(groundShift(behind))
	ground := groundVariance(behind, shift, edge, length)
	variance := add(add(row("steady2"), mul(load(modelKept), modelKept)), ground)
	VMOVUPS(normal(div(row("margin"), root(variance))), row("probability"))
}

func ceiling(loss, octaves Mem) num {
	sag := mul(row("d"), the("curve"))
	bend := keep(add(sag, sag))
	theta := add(bend, arctan(add(row("a"), row("direct"))))
	theta = add(theta, arctan(sub(sub(row("b"), row("direct")), bend)))
	other := add(the("scatterDB"), mul(octaves, lit(2*dBPerOctave)))
	other = add(other, mul(greater(theta, zero()), lit(573)))
	gap := both(sub(other, loss), bits(1<<31-1))
	corner := log2(add(exp2(mul(gap, lit(-0.2*math.Log2E*math.Ln10))), lit(1)))
	return sub(lesser(other, loss), mul(corner, lit(dBPerOctave/2)))
}

func alike(apart Op) num { return exp2(mul(apart, the("perM"))) }

// variance is 1 - (xA likeA + xB likeB) 2 + xA² + xB² + xA xB ends 2.
func variance(xA, xB, likeA, likeB, ends Op) num {
	v := sub(lit(1), mul(add(mul(xA, likeA), mul(xB, likeB)), lit(2)))
	v = add(v, mul(load(xA), xA))
	v = add(v, mul(load(xB), xB))
	return add(v, mul(mul(mul(xA, xB), ends), lit(2)))
}

func groundShift(behind Mem) num {
	ends := keep(alike(row("d")))
	pB, pA := keep(div(row("xA"), row("d"))), keep(div(row("restA"), row("d")))
	likeA, likeB := keep(alike(row("xA"))), keep(alike(row("restA")))
	first := keep(variance(pA, pB, likeA, likeB, ends))

	apart := alike(both(sub(row("xB"), row("xA")), bits(1<<31-1)))
	rB, rA := keep(div(row("xB"), row("d"))), keep(div(row("restB"), row("d")))
	cross := sub(apart, add(mul(rA, likeA), mul(rB, likeB)))
	cross = add(cross, add(mul(pA, rA), mul(pB, rB)))
	cross = add(cross, mul(add(mul(pA, rB), mul(pB, rA)), ends))
	crossed := keep(cross)
	VMOVUPS(alike(row("xB")), likeA)
	VMOVUPS(alike(row("restB")), likeB)
	VMOVUPS(sub(crossed, add(mul(pA, likeA), mul(pB, likeB))), crossed)
	second := variance(rA, rB, likeA, likeB, ends)

	qA, qB := mul(row("a"), row("xA")), mul(row("b"), row("restB"))
	sum := add(qA, qB)
	wA := choose(above(sum, zero()), div(qB, sum), lit(0.5))
	wB := sub(lit(1), wA)
	share := add(mul(mul(wA, wA), first), mul(mul(wB, wB), second))
	share = add(share, mul(mul(mul(wA, wB), crossed), lit(2)))
	share = choose(load(behind), share, first)
	return mul(root(greater(share, zero())), row("doubt"))
}

func groundVariance(behind, shift, edge, length Mem) num {
	change := func(nu num) num {
		c := sub(edgeLoss(nu, length), edge)
		return mul(c, c)
	}
	nu := row("nu")
	qA := greater(mul(row("a"), row("xA")), lit(0.01))
	qB := greater(mul(row("b"), row("restB")), lit(0.01))
	ratio := root(div(mul(add(qA, shift), add(qB, shift)), mul(qA, qB)))
	depth := mul(mul(row("d"), row("a")), row("b"))
	sunk := mul(mul(shift, add(row("a"), row("b"))), root(div(the("perWave"), depth)))
	down := lesser(div(nu, ratio), sub(nu, sunk))
	up := mul(ratio, nu)

	sway := mul(root(div(mul(the("perWave"), row("d")), mul(row("xA"), row("restA")))), shift)
	swayKept := keep(sway)
	near := mul(sway, lit(1.355626))
	hidden := load(behind)
	weight := keep(choose(hidden, lit(0.5), lit(0.222076)))
	lower := keep(choose(hidden, down, sub(nu, near)))
	sum := keep(mul(change(choose(hidden, up, add(near, nu))), weight))
	VMOVUPS(add(sum, mul(change(load(lower)), weight)), sum)

	far := keep(mul(swayKept, lit(2.856970)))
	for _, to := range []func(x, y Op) num{add, sub} {
		c := mul(change(to(nu, far)), lit(0.011257))
		VMOVUPS(add(sum, onlySecond(load(behind), c)), sum)
	}
	return load(sum)
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
