package terrain

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// maxWord is the longest word an ASCII grid may hold. A float64 written out in
// full has fewer than 350 characters.
const maxWord = 400

// asciiScanner splits a file into words between blanks and line ends and knows
// where each one stands. It holds one buffer, whatever the size of the file.
type asciiScanner struct {
	r   io.Reader
	buf []byte
	// buf[pos:end] is read but not consumed; buf[0] is byte number base.
	pos, end int
	base     int64
	// line counts from 1; lineAt is the byte number of its first character.
	line   int
	lineAt int64
	err    error // what stopped the reading, io.EOF at the end
}

// newASCIIScanner returns a scanner with a buffer of the given size, which must
// exceed maxWord.
func newASCIIScanner(r io.Reader, bufBytes int) *asciiScanner {
	s := &asciiScanner{r: r, buf: make([]byte, bufBytes), line: 1}
	s.fill()
	if bytes.HasPrefix(s.buf[:s.end], []byte("\xef\xbb\xbf")) { // byte order mark of some editors
		s.pos, s.lineAt = 3, 3
	}
	return s
}

// fill drops what is consumed and reads on until the buffer is full or the
// file ends.
func (s *asciiScanner) fill() {
	copy(s.buf, s.buf[s.pos:s.end])
	s.base += int64(s.pos)
	s.end -= s.pos
	s.pos = 0
	if s.err != nil {
		return
	}
	n, err := io.ReadFull(s.r, s.buf[s.end:])
	s.end += n
	if errors.Is(err, io.ErrUnexpectedEOF) {
		err = io.EOF
	}
	s.err = err
}

// blank reports whether c separates words.
func blank(c byte) bool { return c == ' ' || c-'\t' < 5 } // \t \n \v \f \r

// skip moves to the next word and reports whether there is one.
func (s *asciiScanner) skip() bool {
	for {
		for ; s.pos < s.end; s.pos++ {
			c := s.buf[s.pos]
			if !blank(c) {
				return true
			}
			if c == '\n' {
				s.line++
				s.lineAt = s.base + int64(s.pos) + 1
			}
		}
		if s.err != nil {
			return false
		}
		s.fill()
	}
}

// place tells where in the file the next word stands. Call it after skip.
func (s *asciiScanner) place() string {
	return fmt.Sprintf("line %d, column %d", s.line, s.offset()-s.lineAt+1)
}

// offset is the byte number of the next word. Call it after skip.
func (s *asciiScanner) offset() int64 { return s.base + int64(s.pos) }

// peek returns the next word without consuming it, cut off after maxWord
// characters. Call it after skip; it is good until the next call of skip.
func (s *asciiScanner) peek() []byte {
	if s.end-s.pos <= maxWord && s.err == nil {
		s.fill()
	}
	rest := s.buf[s.pos:min(s.end, s.pos+maxWord)]
	for i, c := range rest {
		if blank(c) {
			return rest[:i]
		}
	}
	return rest
}

// number consumes the next word, which skip has found, as a number. The common
// spellings, digits with a sign and a point, are read in this one pass.
func (s *asciiScanner) number() (float64, error) {
	p, buf := s.pos, s.buf[:s.end]
	negative := buf[p] == '-'
	if negative || buf[p] == '+' {
		p++
	}
	first := p
	var digits uint64
	for ; p < len(buf) && buf[p]-'0' < 10; p++ {
		digits = digits*10 + uint64(buf[p]-'0')
	}
	count, decimals := p-first, 0
	if p < len(buf) && buf[p] == '.' {
		p++
		first = p
		for ; p < len(buf) && buf[p]-'0' < 10; p++ {
			digits = digits*10 + uint64(buf[p]-'0')
		}
		decimals = p - first
		count += decimals
	}
	// Up to 15 digits fit a float64 exactly, and so do the powers of ten: one
	// division rounds once, so the result is the nearest float64.
	if count == 0 || count > 15 || p == len(buf) || !blank(buf[p]) {
		return s.slowNumber()
	}
	v := float64(digits)
	if decimals > 0 {
		v /= powersOfTen[decimals]
	}
	if negative {
		v = -v
	}
	s.pos = p
	return v, nil
}

// powersOfTen serves the decimals of number.
var powersOfTen = [16]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// slowNumber consumes the next word in any spelling asciiNumber takes.
func (s *asciiScanner) slowNumber() (float64, error) {
	word := s.peek()
	v, ok := asciiNumber(string(word))
	if !ok {
		return 0, fmt.Errorf("%s: %s is not a number", s.place(), quoteWord(word))
	}
	s.pos += len(word)
	return v, nil
}

// asciiNumber reads a decimal number with or without exponent, NaN or Inf in
// any case. What is too large for a float64 becomes infinite.
func asciiNumber(word string) (float64, bool) {
	if len(word) >= maxWord {
		return 0, false
	}
	unsigned := word
	if word != "" && (word[0] == '-' || word[0] == '+') {
		unsigned = word[1:]
	}
	switch strings.ToLower(unsigned) {
	case "nan": // some C libraries print -nan
		return math.NaN(), true
	case "inf", "infinity":
		return math.Inf(1 - 2*strings.Count(word[:1], "-")), true
	}
	if strings.Trim(word, "0123456789+-.eE") != "" { // no hexadecimal, no underscores
		return 0, false
	}
	v, err := strconv.ParseFloat(word, 64)
	return v, err == nil || errors.Is(err, strconv.ErrRange)
}

// quoteWord quotes a word of the file for a message, shortened.
func quoteWord(word []byte) string {
	const most = 40
	if len(word) > most {
		return strconv.Quote(string(word[:most])) + "..."
	}
	return strconv.Quote(string(word))
}
