package coverage

import "math"

// What a lane reckons with. Every operation is one that a vector has, in the
// order in which the kernel does it: both give the same bits.

const dBPerOctave = 3.010299956639812 // 10 log10 2

func root(x float32) float32 { return float32(math.Sqrt(float64(x))) }

func magnitude(x float32) float32 { return math.Float32frombits(math.Float32bits(x) &^ (1 << 31)) }

// log2 of a normal number above 0, to 2e-7 or 1e-7 of itself. With x = 2^e m and m between
// the roots of 1/2 and of 2, ln m = 2 artanh t with t = (m-1)/(m+1); the series ends
// where its next term is below 2e-8.
func log2(x float32) float32 {
	const rootHalf = 0x3f3504f3
	e := (int32(math.Float32bits(x)) - rootHalf) >> 23
	m := math.Float32frombits(math.Float32bits(x) - uint32(e<<23))
	t := (m - 1) / (m + 1)
	t2 := t * t
	p := t2 * (2 * math.Log2E / 7)
	p = t2 * (p + 2*math.Log2E/5)
	p = t2 * (p + 2*math.Log2E/3)
	return float32(e) + t*(p+2*math.Log2E)
}

// exp2 is 2^x, to 2e-7 of itself; below 2^-126 and above 2^126 it is these.
func exp2(x float32) float32 {
	x = min(max(x, -126), 126)
	n := float32(math.RoundToEven(float64(x)))
	z := (x - n) * math.Ln2
	p := z * (1.0 / 720)
	p = z * (p + 1.0/120)
	p = z * (p + 1.0/24)
	p = z * (p + 1.0/6)
	p = z * (p + 1.0/2)
	p = z * (p + 1)
	return (p + 1) * math.Float32frombits(uint32(int32(n)+127)<<23)
}

// arctan of a slope; steeper than 1 counts as 1, as no troposcatter is to be had
// there. The polynomial is Abramowitz & Stegun 4.4.47, found within 1.2e-5.
func arctan(x float32) float32 {
	x = min(max(x, -1), 1)
	x2 := x * x
	p := x2 * 0.0208351
	p = x2 * (p - 0.0851330)
	p = x2 * (p + 0.1801410)
	p = x2 * (p - 0.3302995)
	return x * (p + 0.9998660)
}

// between is the straight line from one entry of a table to the next; i must be
// inside it.
func between(t []float32, i int32, u float32) float32 {
	return t[i] + u*(t[i+1]-t[i])
}

// octavePlace splits a number above 0 into an entry of a curveTable, up to last, and the way
// to the next, by its bits; ok is false outside the table.
func octavePlace(x float32, from, last int32) (i int32, u float32, ok bool) {
	bits := math.Float32bits(x)
	i = int32(bits>>(23-curveBits)) - from
	ok = i >= 0 && i <= last
	u = float32(int32(bits&(1<<(23-curveBits)-1))) * (1.0 / (1 << (23 - curveBits)))
	return min(max(i, 0), last), u, ok
}

// axisPlace splits a number above 0 into an entry of an axis in octaves, which
// starts at from, and the way to the next.
func axisPlace(x, perOctave, from float32, last int32) (i int32, u float32, ok bool) {
	at := (log2(x) - from) * perOctave
	i = int32(at)
	return min(max(i, 0), last), at - float32(i), at >= 0 && i <= last
}
