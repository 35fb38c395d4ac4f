package main

import (
	"math"
	"slices"
	"strings"

	. "github.com/mmcloughlin/avo/build"
	. "github.com/mmcloughlin/avo/operand"
	. "github.com/mmcloughlin/avo/reg"
)

func place(names string) map[string]int {
	m := map[string]int{}
	for i, name := range strings.Fields(names) {
		m[name] = i
	}
	return m
}

// num is a vector in a register.
type num = VecVirtual

// load brings an operand into a register of its own.
func load(x Op) num {
	d := YMM()
	VMOVUPS(x, d)
	return d
}

func reg(x Op) num {
	if r, ok := x.(num); ok {
		return r
	}
	return load(x)
}

func add(x, y Op) num        { d := YMM(); VADDPS(y, reg(x), d); return d }
func sub(x, y Op) num        { d := YMM(); VSUBPS(y, reg(x), d); return d }
func mul(x, y Op) num        { d := YMM(); VMULPS(y, reg(x), d); return d }
func div(x, y Op) num        { d := YMM(); VDIVPS(y, reg(x), d); return d }
func root(x Op) num          { d := YMM(); VSQRTPS(x, d); return d }
func lesser(x, y Op) num     { d := YMM(); VMINPS(y, reg(x), d); return d }
func greater(x, y Op) num    { d := YMM(); VMAXPS(y, reg(x), d); return d }
func both(x, y Op) num       { d := YMM(); VANDPS(y, reg(x), d); return d }
func onlySecond(x, y Op) num { d := YMM(); VANDNPS(y, reg(x), d); return d } // not x, and y

// Comparisons give all ones or all zeros; NaN gives zeros.
func above(x, y Op) num   { d := YMM(); VCMPPS(Imm(0x1e), y, reg(x), d); return d }
func atLeast(x, y Op) num { d := YMM(); VCMPPS(Imm(0x1d), y, reg(x), d); return d }

// choose is x where the mask is set, else y.
func choose(mask num, x, y Op) num { d := YMM(); VBLENDVPS(mask, x, reg(y), d); return d }

func addInts(x, y Op) num             { d := YMM(); VPADDD(y, reg(x), d); return d }
func subInts(x, y Op) num             { d := YMM(); VPSUBD(y, reg(x), d); return d }
func product(x, y Op) num             { d := YMM(); VPMULLD(y, reg(x), d); return d } // of integers
func lesserInts(x, y Op) num          { d := YMM(); VPMINSD(y, reg(x), d); return d }
func greaterInts(x, y Op) num         { d := YMM(); VPMAXSD(y, reg(x), d); return d }
func aboveInts(x, y Op) num           { d := YMM(); VPCMPGTD(y, reg(x), d); return d }
func shiftLeft(x num, n uint64) num   { d := YMM(); VPSLLD(Imm(n), x, d); return d }
func shiftRight(x num, n uint64) num  { d := YMM(); VPSRLD(Imm(n), x, d); return d }
func shiftSigned(x num, n uint64) num { d := YMM(); VPSRAD(Imm(n), x, d); return d }
func toFloat(x Op) num                { d := YMM(); VCVTDQ2PS(x, d); return d }
func toInt(x Op) num                  { d := YMM(); VCVTTPS2DQ(x, d); return d }       // towards 0
func nearestInt(x Op) num             { d := YMM(); VROUNDPS(Imm(8), x, d); return d } // as a float
func zero() num                       { d := YMM(); VXORPS(d, d, d); return d }

// pool is the numbers, or vectors of them, that stand in the formulas.
type pool[T comparable] struct {
	name string
	used []T
}

func (p *pool[T]) at(v T) Mem {
	i := slices.Index(p.used, v)
	if i < 0 {
		i, p.used = len(p.used), append(p.used, v)
	}
	return Mem{Symbol: Symbol{Name: p.name, Static: true}, Base: StaticBase, Disp: i * vectorBytes}
}

var (
	literals    = pool[uint32]{name: "literals"}
	fourDoubles = pool[[4]float64]{name: "doubles"}
)

func bits(b uint32) Mem              { return literals.at(b) }
func lit(x float64) Mem              { return bits(math.Float32bits(float32(x))) }
func doubles(a, b, c, d float64) Mem { return fourDoubles.at([4]float64{a, b, c, d}) }
func double(x float64) Mem           { return doubles(x, x, x, x) }

const readOnly = 8 | 16 // RODATA, NOPTR

func writePools() {
	GLOBL("literals", readOnly)
	for i, b := range literals.used {
		for k := range 8 {
			DATA(i*vectorBytes+4*k, U32(b))
		}
	}
	GLOBL("doubles", readOnly)
	for i, v := range fourDoubles.used {
		for k, x := range v {
			DATA(i*vectorBytes+8*k, U64(math.Float64bits(x)))
		}
	}
}

// between is the straight line from an entry of a table to the next. Both come at
// once, as 8 bytes, for four lanes and for the other four: a gather costs by its
// elements.
func between(t Register, i num, u Op) num {
	pairs := func(index Op) num {
		d, mask := zero(), YMM()
		VPCMPEQD(mask, mask, mask)
		VGATHERDPD(mask, Mem{Base: t, Index: index.(Register), Scale: 4}, d)
		return d
	}
	high := XMM()
	VEXTRACTI128(Imm(1), i, high)
	a, b := pairs(i.AsX()), pairs(high)
	every := func(which uint64) num {
		d := YMM()
		VSHUFPS(Imm(which), b, a, d)
		VPERMPD(Imm(0xd8), d, d)
		return d
	}
	from := every(0x88)
	return add(from, mul(sub(every(0xdd), from), u))
}

func log2(x num) num {
	e := shiftSigned(subInts(x, bits(0x3f3504f3)), 23)
	m := subInts(x, shiftLeft(e, 23))
	t := div(sub(m, lit(1)), add(m, lit(1)))
	t2 := mul(t, t)
	p := mul(t2, lit(2*math.Log2E/7))
	p = mul(t2, add(p, lit(2*math.Log2E/5)))
	p = mul(t2, add(p, lit(2*math.Log2E/3)))
	return add(toFloat(e), mul(t, add(p, lit(2*math.Log2E))))
}

func exp2(x num) num {
	x = lesser(greater(x, lit(-126)), lit(126))
	n := nearestInt(x)
	z := mul(sub(x, n), lit(math.Ln2))
	p := mul(z, lit(1.0/720))
	for _, k := range []float64{120, 24, 6, 2, 1} {
		p = mul(z, add(p, lit(1/k)))
	}
	return mul(add(p, lit(1)), shiftLeft(addInts(toInt(n), bits(127)), 23))
}

func arctan(x num) num {
	x = lesser(greater(x, lit(-1)), lit(1))
	x2 := mul(x, x)
	p := mul(x2, lit(0.0208351))
	p = mul(x2, sub(p, lit(0.0851330)))
	p = mul(x2, add(p, lit(0.1801410)))
	p = mul(x2, sub(p, lit(0.3302995)))
	return mul(x, add(p, lit(0.9998660)))
}

// octavePlace also says, by a mask, where the number is outside the table.
func octavePlace(x Op, from, last Mem) (i, u, outside num) {
	const rest = 23 - 6
	b := load(x)
	i = subInts(shiftRight(b, rest), from)
	outside = YMM()
	VORPS(aboveInts(zero(), i), aboveInts(i, last), outside)
	u = mul(toFloat(both(b, bits(1<<rest-1))), lit(1.0/(1<<rest)))
	return lesserInts(greaterInts(i, zero()), last), u, outside
}
