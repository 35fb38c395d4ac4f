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

// appendFixed writes decimal(v, decimals).
func appendFixed(dst []byte, v float64, decimals int) []byte {
	r := v * powerOfTen[decimals]
	if !(math.Abs(r) < 1e14) {
		return decimal(v, decimals).append(dst)
	}
	return appendDecimal(dst, int64(math.Round(r)), decimals)
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

// appendJSON writes the figure in a JSON object.
func (f figure) appendJSON(dst []byte) []byte {
	if f.kind != wordFigure {
		return f.append(dst)
	}
	for i := range len(f.text) {
		if c := f.text[i]; c < ' ' || c > '~' || c == '"' || c == '\\' {
			return append(dst, rawJSON(f.text)...)
		}
	}
	return append(append(append(dst, '"'), f.text...), '"')
}

// appendDecimal writes n divided by a power of ten, without trailing zeros.
func appendDecimal(dst []byte, n int64, decimals int) []byte {
	if n == 0 {
		return append(dst, '0')
	}
	if n < 0 {
		dst, n = append(dst, '-'), -n
	}
	var buf [20]byte
	digits := strconv.AppendInt(buf[:0], n, 10)
	for ; decimals > 0 && digits[len(digits)-1] == '0'; decimals-- {
		digits = digits[:len(digits)-1]
	}
	before := len(digits) - decimals // digits before the point
	switch {
	case decimals == 0:
		return append(dst, digits...)
	case before > 0:
		return append(append(append(dst, digits[:before]...), '.'), digits[before:]...)
	}
	return append(append(append(dst, '0', '.'), "0000000"[:-before]...), digits...)
}
