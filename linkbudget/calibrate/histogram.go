package calibrate

import "math"

// binDB is the width of a class of levels: reports come in quarters of a decibel.
const binDB = 0.25

// histogram counts levels in classes of binDB; its memory is that of the range they cover,
// whatever their number.
type histogram struct {
	first int // class of counts[0]
	count []int
	n     int
}

func classOf(level float64) int { return int(math.Floor(level/binDB + 0.5)) }

func (h *histogram) add(level float64, times int) {
	c := classOf(level)
	switch last := h.first + len(h.count); {
	case len(h.count) == 0:
		h.first, h.count = c, make([]int, 1, 16)
	case c < h.first:
		grown := make([]int, last-c, last-c+16)
		copy(grown[h.first-c:], h.count)
		h.first, h.count = c, grown
	case c >= last:
		for range c - last + 1 {
			h.count = append(h.count, 0)
		}
	}
	h.count[c-h.first] += times
	h.n += times
}

// quantile returns the level below which this share lies, straight within a class.
func (h *histogram) quantile(share float64) float64 {
	want, below := share*float64(h.n), 0.0
	for i, c := range h.count {
		if n := float64(c); n > 0 && below+n >= want {
			return binDB * (float64(h.first+i) - 0.5 + (want-below)/n)
		} else {
			below += n
		}
	}
	return binDB * float64(h.first+len(h.count)-1)
}

// medianAndMAD are the median and the median of the deviations from it.
func (h *histogram) medianAndMAD() (median, mad float64) {
	median = h.quantile(0.5)
	var off histogram
	for i, c := range h.count {
		if c > 0 {
			off.add(math.Abs(binDB*float64(h.first+i)-median), c)
		}
	}
	return median, max(off.quantile(0.5), 0)
}

// moments are the mean and the variance, that of a class's width taken off (Sheppard).
func (h *histogram) moments() (mean, variance float64) {
	var sum, squares float64
	for i, c := range h.count {
		v := binDB * float64(h.first+i)
		sum, squares = sum+v*float64(c), squares+v*v*float64(c)
	}
	n := float64(h.n)
	mean = sum / n
	return mean, max(squares/n-mean*mean-binDB*binDB/12, 0)
}
