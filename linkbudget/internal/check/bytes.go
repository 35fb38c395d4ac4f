package check

import (
	"math"

	"github.com/polereach/polereach/terrain/fault"
)

// Bytes are those of a fuzzer, from which the numbers of a station and the like are made.
type Bytes []byte

// Next takes one, 0 where there is none left.
func (b *Bytes) Next() byte {
	if len(*b) == 0 {
		return 0
	}
	first := (*b)[0]
	*b = (*b)[1:]
	return first
}

// Number is one within its limits, both ends among them, and now and then outside or none.
func (b *Bytes) Number(l fault.Limits) float64 {
	most := l.Max
	if most == math.MaxFloat64 {
		most = l.Min + 1e6
	}
	switch n := b.Next(); {
	case n < 251:
		return l.Min + (most-l.Min)*float64(n)/250
	case n == 251:
		return math.Nextafter(l.Min, math.Inf(-1))
	case n == 252:
		return math.Nextafter(l.Max, math.Inf(1))
	case n == 253:
		return 5e-324
	case n == 254:
		return math.NaN()
	}
	return math.Inf(-1)
}

// Numbers changes every second number of v or so: those whose turn byte is odd.
func Numbers[T any](b *Bytes, list []fault.Number[T], v *T) {
	for i := range list {
		if p := list[i].At(v); p != nil && b.Next()%2 == 1 {
			*p = b.Number(list[i].Limits)
		}
	}
}
