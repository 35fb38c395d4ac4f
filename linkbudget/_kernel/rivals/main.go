// Command rivals writes rivals_amd64.s: the search for the rivals of two horizons in
// package linkbudget, four points at once, with AVX2.
//
// It says the same as the Go function rivals, operation by operation, so that both
// mark the same points; a test holds them to that. Whoever changes the one changes the
// other, runs
//
//	cd linkbudget/_kernel && go run ./rivals -out ../rivals_amd64.s
//
// and then the test.
package main

import (
	. "github.com/mmcloughlin/avo/build"
	. "github.com/mmcloughlin/avo/operand"
	. "github.com/mmcloughlin/avo/reg"
)

// The fields of the struct rivalsCall, 8 bytes each.
const (
	upM, curve, lengthM   = 0, 1, 2
	hA, xA, hB, yB        = 3, 4, 5, 6
	dist, height, markers = 7, 8, 9 // addresses, of the first inner point and of its block
)

var call Mem

func field(i int) Mem { return call.Offset(8 * i) }

// all is a field in every lane.
func all(i int) VecVirtual { d := YMM(); VBROADCASTSD(field(i), d); return d }

func pointer(i int) Mem { r := GP64(); MOVQ(field(i), r); return Mem{Base: r} }

func mul(x Op, y VecVirtual) VecVirtual { d := YMM(); VMULPD(x, y, d); return d }
func add(x Op, y VecVirtual) VecVirtual { d := YMM(); VADDPD(x, y, d); return d }
func sub(x, y VecVirtual) VecVirtual    { d := YMM(); VSUBPD(y, x, d); return d }
func load(m Mem) VecVirtual             { d := YMM(); VMOVUPD(m, d); return d }

func main() {
	ConstraintExpr("!purego")
	TEXT("rivalsVectors", 4, "func(call *byte, blocks int)") // NOSPLIT
	Doc("rivalsVectors marks the rivals in so many whole blocks, at least one.")
	call = Mem{Base: Load(Param("call"), GP64())}
	left := Load(Param("blocks"), GP64())
	distAt, heightAt, markersAt := pointer(dist), pointer(height), pointer(markers)
	up, bend, length, zero := all(upM), all(curve), all(lengthM), YMM()
	a, b := horizon{all(hA), all(xA)}, horizon{all(hB), all(yB)}
	VXORPD(zero, zero, zero)

	Label("next")
	var marks [2]GPVirtual
	for half := range marks {
		h, x := load(heightAt.Offset(32*half)), load(distAt.Offset(32*half))
		mask := a.most(h, x, up, bend)
		VCMPPD(Imm(0x1d), zero, mask, mask) // at least
		other := b.most(h, sub(length, x), up, bend)
		VCMPPD(Imm(0x1d), zero, other, other)
		VORPD(other, mask, mask)
		marks[half] = GP32()
		VMOVMSKPD(mask, marks[half])
	}
	SHLL(Imm(4), marks[1])
	ORL(marks[1], marks[0])
	MOVB(marks[0].As8(), markersAt)
	ADDQ(Imm(64), distAt.Base)
	ADDQ(Imm(64), heightAt.Base)
	INCQ(markersAt.Base)
	DECQ(left)
	JNZ(LabelRef("next"))
	VZEROUPPER()
	RET()
	Generate()
}

// horizon is the height and the distance of one, in every lane.
type horizon struct{ h, x VecVirtual }

// most is the left side at its largest. Of the two cases that rivals tells apart, the
// one that holds gives the larger number.
func (z horizon) most(h, x, up, bend VecVirtual) VecVirtual {
	side := sub(mul(z.x, h), mul(z.h, x))
	ahead := mul(add(up, mul(mul(bend, x), z.x)), sub(z.x, x))
	behind := mul(sub(x, z.x), up)
	VMAXPD(behind, ahead, ahead)
	return add(side, ahead)
}
