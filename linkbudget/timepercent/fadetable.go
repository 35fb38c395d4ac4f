package timepercent

import (
	"math"
	"sync/atomic"

	"github.com/polereach/polereach/linkbudget/radio"
)

// FadeTable is how far the loss not exceeded for one share of time lies above the median, for the
// many paths of an area; straight lines between entries. It may be read from several goroutines.
type FadeTable struct {
	percent float64
	value   []float32 // by multipath, diffraction loss and spread
}

// The axes: log10 of the multipath occurrence factor; the root of the diffraction loss, since a
// little of it tells much; the root of the spread.
const (
	leastOccurrence, mostOccurrence = -12, 2
	mostTabledDB                    = 72
	occurrences, losses, spreads    = 29, 33, 13
)

var lastFadeTable atomic.Pointer[FadeTable]

// NewFadeTable prepares it for 50 to 99.9 % of time; the last is kept, since many sweeps ask for
// the same.
func NewFadeTable(percent float64) *FadeTable {
	if t := lastFadeTable.Load(); t != nil && t.percent == percent {
		return t
	}
	t := &FadeTable{percent: percent, value: make([]float32, 0, occurrences*losses*spreads)}
	defer lastFadeTable.Store(t)
	for i := range occurrences {
		clear := multipathOf(leastOccurrence + (mostOccurrence-leastOccurrence)*float64(i)/(occurrences-1))
		for j := range losses {
			loss, law := float64(j)/(losses-1), Fades{clear: clear}
			law.behind = (&FadesOf{DiffractionDB: radio.DB(mostTabledDB * loss * loss)}).behind()
			for k := range spreads {
				spread := float64(k) / (spreads - 1)
				law.spreadDB = fullSpreadDB * spread * spread
				t.value = append(t.value, float32(law.notExceeded(percent, 18)))
			}
		}
	}
	return t
}

// NotExceeded is that of the [Fades] of f, of 50 m and more, mostly within 0.1 dB, and
// within about 1 dB at 99.9 % where a hair of diffraction decides.
// No table has 0.
func (t *FadeTable) NotExceeded(f FadesOf) radio.DB {
	if t == nil || len(t.value) == 0 {
		return 0
	}
	at := func(x float64, n int) (int, float64) {
		if !(x > 0) {
			x = 0
		}
		x = min(x, 1) * float64(n-1)
		i := min(int(x), n-2)
		return i, x - float64(i)
	}
	i, u := at((f.occurrence()-leastOccurrence)/(mostOccurrence-leastOccurrence), occurrences)
	j, v := at(math.Sqrt(float64(f.DiffractionDB)/mostTabledDB), losses)
	k, w := at(math.Sqrt(f.spreadDB()/fullSpreadDB), spreads)
	line := func(i, j int) float64 {
		e := t.value[(i*losses+j)*spreads+k:]
		return float64(e[0]) + w*float64(e[1]-e[0])
	}
	low, high := line(i, j), line(i+1, j)
	low, high = low+v*(line(i, j+1)-low), high+v*(line(i+1, j+1)-high)
	return radio.DB(low + u*(high-low))
}
