package report

import (
	"math"
	"strconv"
)

// figure is one value of a link in the flat forms: nothing, words, a truth or a
// number. A number is kept as it will be written, digits before and after the
// point in one integer: its text then costs a tenth of that of a float64.
type figure struct {
	kind     figureKind
	decimals int8
	n        int64 // times 10 to the power of decimals
	beyond   float64
	text     string
}

type figureKind int8

const (
	noFigure figureKind = iota
	wordFigure
	truthFigure
	numberFigure
	beyondFigure // a number of more digits than n holds
)

func word(text string) figure { return figure{kind: wordFigure, text: text} }
func whole(n int) figure      { return figure{kind: numberFigure, n: int64(n)} }

func truth(v bool) figure {
	if v {
		return figure{kind: truthFigure, n: 1}
	}
	return figure{kind: truthFigure}
}

var powerOfTen = [...]float64{1, 10, 100, 1e3, 1e4, 1e5, 1e6, 1e7}

// decimal is fixed(v, decimals). Up to 15 digits are those of the nearest
// float64 as well, which is what strconv writes.
func decimal(v float64, decimals int) figure {
	if r := math.Round(v * powerOfTen[decimals]); math.Abs(r) < 1e15 {
		return figure{kind: numberFigure, decimals: int8(decimals), n: int64(r)}
	}
	return figure{kind: beyondFigure, beyond: fixed(v, decimals)}
}

// append writes the figure, words as they are.
func (f figure) append(dst []byte) []byte {
	switch f.kind {
	case wordFigure:
		return append(dst, f.text...)
	case truthFigure:
		return strconv.AppendBool(dst, f.n == 1)
	case numberFigure:
		return appendDecimal(dst, f.n, int(f.decimals))
	case beyondFigure:
		return strconv.AppendFloat(dst, f.beyond, 'f', -1, 64)
	}
	return dst
}

// json is the figure in a JSON object.
func (f figure) json() []byte {
	if f.kind == wordFigure {
		return rawJSON(f.text)
	}
	return f.append(nil)
}

// appendDecimal writes n divided by a power of ten, without trailing zeros.
func appendDecimal(dst []byte, n int64, decimals int) []byte {
	for ; decimals > 0 && n%10 == 0; decimals-- {
		n /= 10
	}
	var digits [24]byte
	i := len(digits)
	left := n
	if n < 0 {
		left = -n
	}
	for k := 0; left > 0 || k <= decimals; k++ {
		if k == decimals && decimals > 0 {
			i--
			digits[i] = '.'
		}
		i--
		digits[i] = byte('0' + left%10)
		left /= 10
	}
	if n < 0 {
		i--
		digits[i] = '-'
	}
	return append(dst, digits[i:]...)
}
