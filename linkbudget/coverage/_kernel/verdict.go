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
	knife, rest, w := knifeEdge(load(nu))
	edge, restKept, wKept := keep(edgeOf(nu, knife, rest, length)), keep(rest), keep(w)
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
	model := between(table("model"), n, u)
	low := onlySecond(load(behind), above(row("excess"), edge))
	model = choose(low, lesser(model, the("lowDB")), model)
	modelKept := keep(model)
	gain := keep(add(row("gain"), gainOf("gainA", load(row("direct")))))
	down := sub(sub(zero(), row("climb")), mul(row("d"), the("curve")))
	all := add(gain, gainOf("gainB", down))
	cross := greater(sub(the("crossDB"), diffraction), the("leastCrossDB"))
	margin := sub(add(sub(the("budgetDB"), row("loss")), all), cross)
	VMOVUPS(margin, row("margin"))

	// The doubt.
	shift := groundShift(behind)
	ground := groundVariance(behind, shift, edge, length, restKept, wKept)
	variance := add(add(row("steady2"), mul(load(modelKept), modelKept)), ground)
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

// alike leaves out what is 0 for all lanes.
func alike(apart Op) num {
	octaves := mul(apart, the("perM"))
	near, likeness := above(octaves, lit(-24)), zero()
	ifAny(near, func() { VANDPS(near, exp2(octaves), likeness) })
	return likeness
}

// variance is 1 - (xA likeA + xB likeB) 2 + xA² + xB² + xA xB ends 2.
func variance(xA, xB, likeA, likeB, ends Op) num {
	v := sub(lit(1), mul(add(mul(xA, likeA), mul(xB, likeB)), lit(2)))
	v = add(v, mul(load(xA), xA))
	v = add(v, mul(load(xB), xB))
	return add(v, mul(mul(mul(xA, xB), ends), lit(2)))
}

func groundShift(behind Mem) Mem {
	ends := keep(alike(row("d")))
	per := div(lit(1), row("d"))
	pB, pA := keep(mul(row("xA"), per)), keep(mul(row("restA"), per))
	perKept := keep(per)
	likeA, likeB := keep(alike(row("xA"))), keep(alike(row("restA")))
	share := keep(variance(pA, pB, likeA, likeB, ends))
	ifAny(behind, func() {
		apart := alike(both(sub(row("xB"), row("xA")), bits(1<<31-1)))
		rB, rA := keep(mul(row("xB"), perKept)), keep(mul(row("restB"), perKept))
		cross := sub(apart, add(mul(rA, likeA), mul(rB, likeB)))
		cross = add(cross, add(mul(pA, rA), mul(pB, rB)))
		crossed := keep(add(cross, mul(add(mul(pA, rB), mul(pB, rA)), ends)))
		VMOVUPS(alike(row("xB")), likeA)
		VMOVUPS(alike(row("restB")), likeB)
		VMOVUPS(sub(crossed, add(mul(pA, likeA), mul(pB, likeB))), crossed)
		second := variance(rA, rB, likeA, likeB, ends)

		qA, qB := mul(row("a"), row("xA")), mul(row("b"), row("restB"))
		sum := add(qA, qB)
		wA := choose(above(sum, zero()), div(qB, sum), lit(0.5))
		wB := sub(lit(1), wA)
		mean := add(mul(mul(wA, wA), share), mul(mul(wB, wB), second))
		mean = add(mean, mul(mul(mul(wA, wB), crossed), lit(2)))
		VMOVUPS(choose(load(behind), mean, share), share)
	})
	return keep(mul(root(greater(share, zero())), row("doubt")))
}

func groundVariance(behind, shift, edge, length, rest, w Mem) num {
	change := func(nu num) num {
		c := sub(edgeLoss(nu, length), edge)
		return mul(c, c)
	}
	nu := row("nu")
	seen := keep(subInts(zero(), addInts(load(behind), bits(1)))) // all ones where behind is zero
	upper, lower, far := keep(load(nu)), keep(load(nu)), keep(load(nu))
	sum, open := keep(zero()), keep(load(seen)) // lanes whose variance is not yet known
	ifAny(seen, func() {
		sway := mul(root(div(mul(the("perWave"), row("d")), mul(row("xA"), row("restA")))), shift)
		near := mul(sway, lit(1.355626))
		VMOVUPS(mul(sway, lit(2.856970)), far)
		VMOVUPS(add(near, nu), upper)
		VMOVUPS(sub(nu, near), lower)
	})
	ifAny(behind, func() {
		qA := greater(mul(row("a"), row("xA")), lit(0.01))
		qB := greater(mul(row("b"), row("restB")), lit(0.01))
		perHigh := keep(div(lit(1), mul(qA, qB)))
		sunk := div(mul(mul(shift, add(row("a"), row("b"))), the("perWave")), nu)
		part := keep(mul(mul(add(qA, qB), shift), perHigh))
		ratio := root(mul(mul(add(qA, shift), add(qB, shift)), perHigh))
		down := lesser(div(nu, ratio), sub(nu, sunk))
		hidden := load(behind)
		VMOVUPS(choose(hidden, mul(ratio, nu), upper), upper)
		VMOVUPS(choose(hidden, down, lower), lower)

		up := sub(part, mul(mul(load(part), part), lit(0.5)))
		up = mul(add(mul(mul(load(shift), shift), perHigh), up), lit(0.5))
		down = div(sunk, nu)
		down = greater(add(mul(mul(down, down), lit(0.5)), down), up)
		slope := div(mul(nu, lit(20/math.Ln10)), w)
		slope = mul(slope, add(mul(mul(rest, length), lit(1.0/6)), lit(1)))
		little := mul(mul(mul(slope, slope), add(mul(up, up), mul(down, down))), lit(0.5))
		small := above(lit(0.5), part)
		VMOVUPS(both(both(small, load(behind)), little), sum)
		rests := onlySecond(small, load(behind))
		VORPS(seen, rests, rests)
		VMOVUPS(rests, open)
	})
	ifAny(open, func() {
		weight := keep(both(choose(load(behind), lit(0.5), lit(0.222076)), open))
		VMOVUPS(add(mul(change(load(upper)), weight), sum), sum)
		VMOVUPS(add(mul(change(load(lower)), weight), sum), sum)
	})
	ifAny(seen, func() {
		for _, to := range []func(x, y Op) num{add, sub} {
			c := mul(change(to(nu, far)), lit(0.011257))
			VMOVUPS(add(sum, both(seen, c)), sum)
		}
	})
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
