// Command kernel writes vectors_amd64.s, with AVX2: near, effectiveHeights, edge,
// smoothEarth, verdict and cell of package coverage for eight lanes at once, and
// sampleByOne for four samples, horizonByOne for eight points of a hull.
//
// It says the same as the Go code beside it, operation by operation, so that both
// give the same bits; a test holds them to that. Whoever changes the one changes the
// other, runs
//
//	cd linkbudget/coverage/_kernel && go run . -out ../vectors_amd64.s
//
// and then the test. Fused multiply-add is left out for the same reason.
package main

import (
	"fmt"

	. "github.com/mmcloughlin/avo/build"
	. "github.com/mmcloughlin/avo/operand"
	. "github.com/mmcloughlin/avo/reg"
)

func main() {
	ConstraintExpr("!purego")
	kernel("nearVectors", near, "ground")
	kernel("heightVectors", effectiveHeights)
	kernel("edgeVectors", edge)
	kernel("smoothEarthVectors", smoothEarth)
	kernel("edgeOverVectors", edgeOver)
	kernel("verdictVectors", verdict)
	sample()
	cells()
	horizon()
	writeCounting()
	writePools()
	Generate()
}

// kernel writes a function that does body for one vector of lanes after the other.
// The last vector may be of lanes that nobody asked for.
func kernel(name string, body func(), more ...string) {
	signature := "func(s, l *byte, vectors int"
	for _, m := range more {
		signature += ", " + m + " *byte"
	}
	TEXT(name, 0, signature+")")
	Doc(name + " is for so many vectors of lanes what the Go function is for a lane.")
	constants = Mem{Base: Load(Param("s"), GP64())}
	lane = Mem{Base: Load(Param("l"), GP64())}
	for _, m := range more {
		extra = Mem{Base: Load(Param(m), GP64())}
	}
	left := Load(Param("vectors"), GP64())
	slots = AllocLocal(32 * mostSlots)
	Label("next")
	usedSlots = 0
	body()
	ADDQ(Imm(32), lane.Base)
	DECQ(left)
	JNZ(LabelRef("next"))
	VZEROUPPER()
	RET()
}

// The rows of lanes and the fields of constants, in the order of the structs.
var (
	constants, lane Mem
	extra           Mem // what one kernel has besides
	rows            = place("d rise lift beside farA farB farX farR farQ farU farV post drift part " +
		"nearH0 nearH1 nearH2 nearR0 nearR1 nearR2 first second gap alpha beta over hA hB smooth clutter gain steady2 " +
		"other most " +
		"climb direct nu a b xA restA xB restB landA landB excess within loss margin probability")
	vectors = place("perWave curve rootCurve freeDB budgetDB scatterDB perM antennaM poleM rxM footM " +
		"clearCurve clearRoot mostM crossDB leastCrossDB excessFrom0 excessFrom1 excessFrom2 " +
		"distFrom distLast heightFrom heightLast excessLast0 excessLast1 excessLast2 excessStep0 excessStep1")
	tables = place("dist height excess model phi gainA gainB")
)

const (
	rowBytes    = 64 * 4
	vectorBytes = 8 * 4
	sliceBytes  = 3 * 8
)

func row(name string) Mem { return lane.Offset(rows[name] * rowBytes) }
func the(name string) Mem { return constants.Offset(vectors[name] * vectorBytes) }

// table loads the address of a table.
func table(name string) Register {
	p := GP64()
	MOVQ(constants.Offset(len(vectors)*vectorBytes+tables[name]*sliceBytes), p)
	return p
}

// ifAny does body unless the mask is clear for all lanes. What body brings goes by
// way of the stack.
func ifAny(mask Op, body func()) {
	ends++
	end := fmt.Sprintf("end%d", ends)
	m := GP32()
	VMOVMSKPS(reg(mask), m)
	TESTL(m, m)
	JZ(LabelRef(end))
	body()
	Label(end)
}

var ends int

// Numbers that are needed again much later wait on the stack: there are but 16
// registers.
const mostSlots = 48

var (
	slots     Mem
	usedSlots int
)

func keep(x Op) Mem {
	if usedSlots == mostSlots {
		panic("too few slots")
	}
	m := slots.Offset(32 * usedSlots)
	usedSlots++
	VMOVUPS(x, m)
	return m
}
