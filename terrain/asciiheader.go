package terrain

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// asciiHeader is the head of an ESRI ASCII grid, checked.
type asciiHeader struct {
	lattice Lattice
	noDataM float64 // the void mark, may be NaN
}

// The keys of the header and what they mean. The format counts cells, the
// corner is that of the south-western cell, the first row is the northern one.
// Source: Esri, "Esri ASCII raster format" (ArcGIS documentation). dx and dy,
// for cells that are not square, are a wide-spread addition to it.
const asciiKeys = "ncols, nrows, xllcorner or xllcenter, yllcorner or yllcenter, cellsize or dx and dy, nodata_value"

// defaultNoDataM is the void mark of a file that names none (Esri, same page).
const defaultNoDataM = -9999

// maxHeaderFaults ends the reading of a file that is something else entirely.
const maxHeaderFaults = 8

// asciiKinds tells what the value of each key is.
var asciiKinds = map[string]byte{
	"ncols": 'n', "nrows": 'n', // a count
	"xllcorner": 'x', "xllcenter": 'x', "yllcorner": 'x', "yllcenter": 'x', // a finite number
	"cellsize": '+', "dx": '+', "dy": '+', // above 0
	"nodata_value": '?', // any number
}

// asciiHeaderReader collects keys, values and faults.
type asciiHeaderReader struct {
	s      *asciiScanner
	values map[string]float64
	places map[string]string // where each key stands
	errs   []error
}

// readASCIIHeader reads the head of a file of the given size and leaves the
// scanner before the first height. It reports all faults of the head at once,
// among them a promise of more heights than the file has bytes for.
func readASCIIHeader(s *asciiScanner, fileBytes int64) (asciiHeader, error) {
	h := asciiHeaderReader{s: s, values: map[string]float64{}, places: map[string]string{}}
	for s.skip() && startsKey(s.peek()) {
		if h.pair(); len(h.errs) >= maxHeaderFaults {
			return asciiHeader{}, fmt.Errorf("not the head of an ESRI ASCII grid: %w", errors.Join(h.errs...))
		}
	}
	if s.err != nil && s.err != io.EOF {
		return asciiHeader{}, s.err
	}
	out := h.header()
	h.promise(out.lattice, fileBytes-s.offset())
	return out, errors.Join(h.errs...)
}

// startsKey tells a key from the first height, which may be NaN or Inf.
func startsKey(word []byte) bool {
	c := word[0] | 0x20
	if c < 'a' || c > 'z' {
		return false
	}
	_, isNumber := asciiNumber(string(word))
	return !isNumber
}

func (h *asciiHeaderReader) fault(format string, args ...any) {
	h.errs = append(h.errs, fmt.Errorf(format, args...))
}

// pair reads one key and its value.
func (h *asciiHeaderReader) pair() {
	s := h.s
	word, place := s.peek(), s.place()
	key := strings.ToLower(string(word))
	kind, known := asciiKinds[key]
	if !known {
		h.fault("%s: unknown key %s, known are %s", place, quoteWord(word), asciiKeys)
	} else if first, twice := h.places[key]; twice {
		h.fault("%s: %s is given again, first at %s", place, key, first)
	}
	s.pos += len(word)
	if !s.skip() {
		h.fault("%s: %s has no value, the file ends", place, quoteWord([]byte(key)))
		return
	}
	word = s.peek()
	if asciiKinds[strings.ToLower(string(word))] != 0 {
		h.fault("%s: %s has no value", place, quoteWord([]byte(key)))
		return
	}
	valuePlace := s.place()
	s.pos += len(word)
	if !known {
		return
	}
	h.places[key] = place
	v, ok := asciiNumber(string(word))
	allowed := ""
	switch {
	case kind == 'n':
		n, err := strconv.ParseInt(string(word), 10, 64)
		if v = float64(n); err != nil || n < 1 || n > 1<<53 {
			allowed = "a whole number of 1 or more"
		}
	case kind == '?':
		if !ok {
			allowed = "a number or NaN"
		}
	case !ok || !finite(v):
		allowed = "a finite number"
	case kind == '+' && !(v > 0):
		allowed = "above 0"
	}
	if allowed != "" {
		h.fault("%s: %s is %s, must be %s", valuePlace, key, quoteWord(word), allowed)
		return
	}
	h.values[key] = v
}

// header turns the values into posts and finds what is missing or said twice.
func (h *asciiHeaderReader) header() asciiHeader {
	cols, rows := h.one("ncols"), h.one("nrows")
	dx, dy := 0.0, 0.0
	_, hasDX := h.places["dx"]
	_, hasDY := h.places["dy"]
	if hasDX || hasDY {
		dx, dy = h.one("dx"), h.one("dy")
		if place, has := h.places["cellsize"]; has {
			h.fault("%s: cellsize is given beside dx or dy", place)
		}
	} else {
		dx = h.one("cellsize")
		dy = dx
	}
	west := h.lowerLeft("xllcorner", "xllcenter", dx)
	south := h.lowerLeft("yllcorner", "yllcenter", dy)
	noDataM, has := h.values["nodata_value"]
	if !has {
		noDataM = defaultNoDataM
	}
	return asciiHeader{Lattice{WestDeg: west, NorthDeg: south + (rows-1)*dy, StepLonDeg: dx, StepLatDeg: dy,
		Cols: clampInt(cols), Rows: clampInt(rows)}, noDataM}
}

// one returns the value of a key that must be there; a value that was refused
// has been reported already.
func (h *asciiHeaderReader) one(key string) float64 {
	if _, has := h.places[key]; !has {
		h.fault("%s is missing", key)
	}
	return h.values[key]
}

// lowerLeft returns the coordinate of the south-western post on one axis.
func (h *asciiHeaderReader) lowerLeft(corner, centre string, cell float64) float64 {
	_, hasCorner := h.places[corner]
	place, hasCentre := h.places[centre]
	switch {
	case hasCorner && hasCentre:
		h.fault("%s: %s is given beside %s", place, centre, corner)
	case hasCorner:
		return h.values[corner] + cell/2
	case hasCentre:
		return h.values[centre]
	default:
		h.fault("%s or %s is missing", corner, centre)
	}
	return 0
}

// promise compares the number of heights with the bytes that are left: each
// needs a digit, and a blank to part it from the next.
func (h *asciiHeaderReader) promise(l Lattice, bytesLeft int64) {
	cols, rows := float64(l.Cols), float64(l.Rows)
	if cols < 1 || rows < 1 {
		return // reported
	}
	if most := (bytesLeft + 1) / 2; cols*rows > float64(most) {
		h.fault("%d columns by %d rows promise %.0f heights, but the %d bytes after the header hold at most %d",
			l.Cols, l.Rows, cols*rows, bytesLeft, most)
	}
}

// clampInt converts a count so that one too large stays large.
func clampInt(v float64) int {
	if v >= math.MaxInt {
		return math.MaxInt
	}
	return int(v)
}
