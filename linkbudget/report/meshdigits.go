package report

import (
	"math"
	"strconv"
)

// belowHalf is the float64 before 0.5. With it and not with 0.5 added, cutting
// the fraction off is rounding, halves away from zero: 0.5 itself would lift
// this very number to 1.
const belowHalf = 0.49999999999999994

var powerOfTen = [...]float64{1, 10, 100, 1e3, 1e4, 1e5, 1e6, 1e7}

// appendFixed writes fixed(v, decimals), decimals from 0 to 7. The digits of a
// whole number cost a tenth of those of a float64, and up to 15 of them are what
// strconv writes for the nearest float64.
func appendFixed(dst []byte, v float64, decimals int) []byte {
	scaled := v * powerOfTen[decimals]
	if !(math.Abs(scaled) < 1e14) {
		return strconv.AppendFloat(dst, fixed(v, decimals), 'f', -1, 64)
	}
	n := int64(scaled + math.Copysign(belowHalf, scaled))
	if n < 0 {
		dst, n = append(dst, '-'), -n
	}
	power := int64(powerOfTen[decimals])
	whole := n / power
	dst = strconv.AppendInt(dst, whole, 10)
	part := uint32(n - whole*power)
	if part == 0 {
		return dst
	}
	dst = append(dst, ".0000000"[:1+decimals]...)
	for i := len(dst) - 1; part > 0; i-- {
		dst[i], part = '0'+byte(part%10), part/10
	}
	for dst[len(dst)-1] == '0' {
		dst = dst[:len(dst)-1]
	}
	return dst
}
