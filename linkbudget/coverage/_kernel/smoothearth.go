package main

import (
	"fmt"

	. "github.com/mmcloughlin/avo/build"
	. "github.com/mmcloughlin/avo/operand"
)

func smoothEarth() {
	asked := keep(above(row("smooth"), zero()))
	VMOVUPS(zero(), row("excess"))
	VMOVUPS(zero(), row("within"))
	ifAny(asked, func() {
		beyond(asked)
		ifAny(row("within"), tabulated)
		VMOVUPS(both(row("within"), lit(1)), row("within"))
	})
}

// beyond sets within, as a mask, for the lanes asked for that it has no answer to.
func beyond(asked Mem) {
	w, rootA, rootB := mul(row("d"), the("rootCurve")), root(row("hA")), root(row("hB"))
	outside := keep(above(add(rootA, rootB), w))
	a, b := sub(w, rootA), sub(w, rootB)
	ifAny(onlySecond(load(outside), load(asked)), func() {
		a := greater(sub(mul(a, a), row("hB")), zero())
		b := greater(sub(mul(b, b), row("hA")), zero())
		nu := root(div(mul(mul(load(the("perWave")), a), b), row("d")))
		loss := keep(edgeLoss(nu, keep(lengthDB(row("d")))))

		entry := func(t string, x Op, from, last string) num {
			i, u, bad := octavePlace(x, the(from), the(last))
			VORPS(outside, bad, bad)
			VMOVUPS(bad, outside)
			return between(table(t), i, u)
		}
		spherical := keep(entry("dist", row("d"), "distFrom", "distLast"))
		VMOVUPS(add(spherical, entry("height", row("hA"), "heightFrom", "heightLast")), spherical)
		VMOVUPS(add(spherical, entry("height", row("hB"), "heightFrom", "heightLast")), spherical)
		excess := greater(sub(spherical, loss), zero())
		VMOVUPS(both(onlySecond(load(outside), load(asked)), excess), row("excess"))
	})
	VMOVUPS(both(load(outside), asked), row("within"))
}

// tabulated does so with the table, and leaves within set for the lanes outside it.
func tabulated() {
	told := keep(load(row("within")))
	var entries, parts [3]Mem
	for i, x := range []string{"d", "hA", "hB"} {
		perOctave, last := 5.0, the(fmt.Sprintf("excessLast%d", i))
		if x == "d" {
			perOctave = 6
		}
		at := mul(sub(log2(load(row(x))), the(fmt.Sprintf("excessFrom%d", i))), lit(perOctave))
		n := toInt(at)
		parts[i] = keep(sub(at, toFloat(n)))
		beyondIt := aboveInts(n, last)
		VMOVUPS(both(onlySecond(beyondIt, atLeast(at, zero())), told), told)
		entries[i] = keep(lesserInts(greaterInts(n, zero()), last))
	}
	ifAny(told, func() {
		p := load(entries[2])
		p = addInts(p, product(entries[0], the("excessStep0")))
		p = addInts(p, product(entries[1], the("excessStep1")))
		t := table("excess")
		start := keep(p)
		line := func() num {
			a := keep(between(t, load(start), parts[2]))
			b := between(t, addInts(load(start), the("excessStep1")), parts[2])
			return add(mul(sub(b, a), parts[1]), a)
		}
		near := keep(line())
		VMOVUPS(addInts(load(start), the("excessStep0")), start)
		far := line()
		excess := greater(add(mul(sub(far, near), parts[0]), near), zero())
		VMOVUPS(choose(load(told), excess, row("excess")), row("excess"))
		VMOVUPS(onlySecond(load(told), row("within")), row("within"))
	})
}
