package coverage_test

import (
	"math"
	"testing"
)

// bin is the differences in a range of distances or directions.
type bin struct {
	from, to          float64
	n                 int
	low, median, high float64 // 5 %, 50 % and 95 % of the differences with their sign, dB
	most              float64 // 95 % without it
	mean              float64 // dB, with it
}

// bins sorts cells into count equal ranges of a value from 0 to 1.
func bins(all []compared, count int, of func(compared) float64) []bin {
	parts := make([][]compared, count)
	for _, c := range all {
		k := min(max(int(of(c)*float64(count)), 0), count-1)
		parts[k] = append(parts[k], c)
	}
	out := make([]bin, count)
	for k, part := range parts {
		out[k] = bin{from: float64(k) / float64(count), to: float64(k+1) / float64(count), n: len(part)}
		if len(part) > 0 {
			out[k].low, out[k].median, out[k].high = quantile(part, 0.05, compared.off), quantile(part, 0.5, compared.off),
				quantile(part, 0.95, compared.off)
			out[k].most = quantile(part, 0.95, absOff)
			for _, c := range part {
				out[k].mean += c.off() / float64(len(part))
			}
		}
	}
	return out
}

// enough cells in a bin for its 95 %; fewer say nothing.
const enough = 50

// medianLimitDB bounds what a distance or a direction may be favoured by.
const medianLimitDB = 0.1

// checkBins wants no bias: half of the cells of every bin above and half below.
func checkBins(t *testing.T, all []bin, what string) {
	t.Helper()
	asked, worstMedian, worstMean, worstMost := 0, bin{}, bin{}, bin{}
	for _, b := range all {
		if b.n < enough {
			continue
		}
		asked++
		if !(math.Abs(b.median) <= medianLimitDB) {
			t.Errorf("%s %.3f to %.3f: median %+.3f dB over %d cells, want within %g", what, b.from, b.to, b.median, b.n,
				medianLimitDB)
		}
		if math.Abs(b.median) > math.Abs(worstMedian.median) {
			worstMedian = b
		}
		if math.Abs(b.mean) > math.Abs(worstMean.mean) {
			worstMean = b
		}
		if b.most > worstMost.most {
			worstMost = b
		}
	}
	if asked < len(all)*2/3 {
		t.Errorf("%s: %d of %d ranges have %d cells", what, asked, len(all), enough)
	}
	t.Logf("%s: largest median %+.3f dB from %.3f to %.3f; largest mean %+.2f dB from %.3f to %.3f; "+
		"largest 95 %% %.2f dB from %.3f to %.3f", what,
		worstMedian.median, worstMedian.from, worstMedian.to, worstMean.mean, worstMean.from, worstMean.to, worstMost.most,
		worstMost.from, worstMost.to)
}
