package report

import (
	"encoding/binary"
	"math"
	"slices"
	"strconv"
)

// Three digits at a time, as the lower bytes of a number in the order of the
// text, with a count in its highest: that way a table takes the place of most
// divisions and of branches that a processor cannot foresee.
var (
	// heads are 0 to 999 without zeros in front, and their digits.
	heads [1000]uint32
	// tails are 000 to 999, and the digits that remain without the zeros at the
	// end, and the point before them: 0, 2, 3 or 4.
	tails [1000]uint32
	// fractions are 000 to 999 as what follows the point, which stands before them,
	// without the zeros at the end, and a comma. Of 000 there is the comma alone.
	fractions [1000]uint64
)

func init() {
	for n := range uint32(1000) {
		text, zeros := '0'+n/100|('0'+n/10%10)<<8|('0'+n%10)<<16, uint32(0)
		for ; zeros < 2 && text>>(8*zeros)&0xff == '0'; zeros++ {
		}
		heads[n] = text>>(8*zeros) | (3-zeros)<<24
		switch {
		case n%10 != 0:
			tails[n] = text | 4<<24
		case n%100 != 0:
			tails[n] = text | 3<<24
		case n != 0:
			tails[n] = text | 2<<24
		default:
			tails[n] = text
		}
		length := max(uint64(tails[n]>>24), 1) // with the comma in the place of the point, or one more
		if n == 0 {
			fractions[n] = ',' | 1<<56
		} else {
			digits := uint64('.') | uint64(text)<<8
			fractions[n] = digits&(1<<(8*length)-1) | ','<<(8*length) | (length+1)<<56
		}
	}
}

// belowHalf is the float64 before 0.5. With it and not with 0.5 added, cutting
// the fraction off is rounding, halves away from zero: 0.5 itself would lift
// this very number to 1.
const belowHalf = 0.49999999999999994

var powerOfTen = [...]float64{1, 10, 100, 1e3, 1e4, 1e5, 1e6, 1e7}

// appendFixed writes fixed(v, decimals), decimals from 0 to 7. The digits of a
// whole number cost a tenth of those of a float64, and up to 15 of them are what
// strconv writes for the nearest float64.
func appendFixed(dst []byte, v float64, decimals int) []byte {
	if n, ok := scaledUp(v, decimals); ok {
		return appendDecimal(dst, n, decimals)
	}
	return strconv.AppendFloat(dst, fixed(v, decimals), 'f', -1, 64)
}

// scaledUp is v times a power of ten, rounded; false where that is not exact.
func scaledUp(v float64, decimals int) (n int64, ok bool) {
	scaled := v * powerOfTen[decimals]
	return int64(scaled + math.Copysign(belowHalf, scaled)), math.Abs(scaled) < 1e14
}

// numberRoom is more than any int64 takes with a sign, a point and what is
// written beyond the end.
const numberRoom = 32

// appendDecimal writes n divided by a power of ten, without trailing zeros.
func appendDecimal(dst []byte, n int64, decimals int) []byte {
	if cap(dst)-len(dst) < numberRoom {
		dst = slices.Grow(dst, numberRoom)
	}
	length := len(dst)
	return dst[:length+putDecimal((*[numberRoom]byte)(dst[length:length+numberRoom]), n, decimals)]
}

// putDecimal is appendDecimal at the beginning of b; it returns how many bytes.
//
// The frequent powers are constants, by which a processor divides faster. It is
// one function because calls would take as long as the rest.
func putDecimal(b *[numberRoom]byte, n int64, decimals int) int {
	if n == 0 {
		b[0] = '0'
		return 1
	}
	sign := n >> 63 // 0 or -1
	b[0] = '-'
	i := -sign
	var whole, high, low, last uint64 // before the point, then three, three and one digit
	switch n := uint64((n ^ sign) - sign); decimals {
	case 0:
		whole = n
	case 3:
		whole, high = n/1e3, n%1e3
	case 4:
		whole, high, last = n/1e4, n/10%1e3, n%10
	case 7:
		whole, high, low, last = n/1e7, n/1e4%1e3, n/10%1e3, n%10
	default:
		power := uint64(powerOfTen[decimals])
		part := n % power * uint64(powerOfTen[7-decimals])
		whole, high, low, last = n/power, part/1e4, part/10%1e3, part%10
	}
	switch {
	case whole < 1e3:
		head := heads[whole]
		binary.LittleEndian.PutUint32(b[i:], head)
		i += int64(head >> 24)
	case whole < 1e6:
		head := heads[whole/1e3]
		binary.LittleEndian.PutUint32(b[i:], head)
		i += int64(head >> 24)
		binary.LittleEndian.PutUint32(b[i:], tails[whole%1e3])
		i += 3
	default:
		i = int64(len(strconv.AppendUint(b[:i], whole, 10)))
	}
	b[i] = '.'
	tail := tails[high]
	binary.LittleEndian.PutUint32(b[i+1:], tail)
	if decimals > 4 && low|last != 0 {
		tail = tails[low]
		binary.LittleEndian.PutUint32(b[i+4:], tail)
		i += 3
	}
	b[i+4] = '0' + byte(last) // beyond the end if it is 0: to write it costs less than to ask
	length := int64(tail >> 24)
	if last != 0 {
		length = 5
	}
	return int(i + length)
}

// mostQuick is what a number times its power of ten stays below in putThousandths and
// putTenThousandths: all then fits into 32 bits.
const mostQuick = 999_999_999

// putThousandths writes v with three decimals, without trailing zeros, and a comma at the
// beginning of b, and returns how many bytes; 0 where v is not below a million. Nothing
// but the number of bytes depends on anything looked up, so that several follow each
// other closely.
func putThousandths(b *[numberRoom]byte, v float64) int {
	scaled := math.Abs(v) * 1e3
	if !(scaled < mostQuick) {
		return 0
	}
	size := uint32(int64(scaled + belowHalf))
	i := putWhole(b, signOf(v, size), size/1e3)
	tail := fractions[size%1e3]
	binary.LittleEndian.PutUint64(b[i&15:], tail)
	return int(i) + int(tail>>56)
}

// putTenThousandths is putThousandths with four decimals, up to a hundred thousand.
func putTenThousandths(b *[numberRoom]byte, v float64) int {
	scaled := math.Abs(v) * 1e4
	if !(scaled < mostQuick) {
		return 0
	}
	size := uint32(int64(scaled + belowHalf))
	i := putWhole(b, signOf(v, size), size/1e4)
	tail := fractions[size/10%1e3]
	if last := size % 10; last != 0 {
		tail = '.' | uint64(tails[size/10%1e3]&0xffffff)<<8 | uint64('0'+last)<<32 | ','<<40 | 6<<56
	}
	binary.LittleEndian.PutUint64(b[i&15:], tail)
	return int(i) + int(tail>>56)
}

// signOf is 1 for a number below 0, else 0; nothing is below 0 that is written as 0.
func signOf(v float64, size uint32) uint64 {
	return math.Float64bits(v) >> 63 & (-uint64(size) >> 63)
}

// putWhole writes a number below a million at the beginning of b, behind so many signs,
// none or one, and returns how many bytes.
func putWhole(b *[numberRoom]byte, signs uint64, whole uint32) uint64 {
	b[0] = '-'
	i := signs & 1 // that it is below 2, the compiler sees; likewise below
	if whole >= 1e3 {
		head := heads[whole/1e3%1e3]
		binary.LittleEndian.PutUint32(b[i:], head)
		i += uint64(head >> 24)
		binary.LittleEndian.PutUint32(b[i&7:], tails[whole%1e3])
		return i + 3
	}
	head := heads[whole]
	binary.LittleEndian.PutUint32(b[i:], head)
	return i + uint64(head>>24)
}
