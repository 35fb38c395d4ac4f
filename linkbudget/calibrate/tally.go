package calibrate

import (
	"math"

	"github.com/paulmach/orb"
)

// tally is what is kept of a link, one way.
type tally struct {
	key    linkKey
	at     orb.Point // of its first row
	levels histogram
	floor  int // receptions at the floor of the RSSI
	lost   int // as rows or counts say
	sf     float64
	// Numbers of packets.
	lastSeq, seqSent, seqHeard float64
	numbered                   bool
	firstS, lastS              float64 // 0 for no time
	// Sums over neighbours in time, of levels less the first.
	pairs               int
	first, last         float64
	sum, squares, cross float64
}

// longGap is a jump in numbers that is none of lost packets: a new count, a log cut (practice).
const longGap = 1000

func (t *tally) add(r *Row, level float64, floor bool) {
	if !math.IsNaN(r.TimeS) {
		if t.firstS == 0 || r.TimeS < t.firstS {
			t.firstS = r.TimeS
		}
		t.lastS = max(t.lastS, r.TimeS)
	}
	if r.SF > 0 && (t.sf == 0 || r.SF < t.sf) {
		t.sf = r.SF
	}
	times := 1
	if r.Sent > 0 {
		got := r.Received
		if math.IsNaN(got) {
			got = 1
		}
		times = int(got)
		t.lost += int(r.Sent - got)
	} else if r.Received == 0 {
		t.lost++
		return
	}
	if times == 0 {
		return
	}
	if !math.IsNaN(r.Seq) && r.Sent != r.Sent { // NaN: the row is one packet
		switch step := r.Seq - t.lastSeq; {
		case t.numbered && step == 0:
			return // the same packet again
		case t.numbered && step > 0 && step <= longGap:
			t.seqSent += step
		default:
			t.seqSent++
		}
		t.numbered, t.lastSeq = true, r.Seq
		t.seqHeard++
	}
	if floor {
		t.floor += times
		return
	}
	t.levels.add(level, times)
	t.follow(level)
}

// follow keeps the sums of the serial correlation.
func (t *tally) follow(level float64) {
	if t.levels.n == 1 {
		t.first = level
	}
	level -= t.first
	t.sum, t.squares = t.sum+level, t.squares+level*level
	if t.pairs > 0 {
		t.cross += t.last * level
	}
	t.pairs++
	t.last = level
}

// effective is the share of independent receptions, (1-r)/(1+r) with r the correlation of
// neighbours in the log's order (Bayley and Hammersley, 1946, of a first-order process); no
// more than 1.
func (t *tally) effective() float64 {
	n := float64(t.pairs)
	if t.pairs < 10 { // too few to tell
		return 1
	}
	mean := t.sum / n
	variance := t.squares/n - mean*mean
	if !(variance > 1e-9) {
		return 1
	}
	r := (t.cross/(n-1) - mean*mean) / variance
	r = min(max(r, 0), 0.99)
	return (1 - r) / (1 + r)
}

// lostCount is how many packets were sent and not heard, as far as the link itself tells.
func (t *tally) lostCount() int {
	return t.lost + int(max(t.seqSent-t.seqHeard, 0))
}

func (t *tally) heard() int { return t.levels.n + t.floor }
