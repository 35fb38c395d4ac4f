package calibrate

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// signal is what a log says of a link one way: the table of heard signals, a row each.
type signal struct {
	from, to     int // stations of the plan
	moving       bool
	mover        int // end 0 or 1
	at           orb.Point
	heard, lost  int
	supposed     bool // lost is from what other receivers heard of the sender
	medianDBm    float64
	medianSigma  float64
	widthDB      float64 // of packets about the median
	meanDBm      float64
	varianceDB2  float64
	independent  float64 // share of receptions
	floor        int
	sf           float64
	firstS, endS float64
}

// signals are those of a log, in the order of names, and those never heard although the
// sender was heard elsewhere and the receiver heard others, unless heardOnly.
func (l *Log) signals(p Predictor, heardOnly bool) []signal {
	station := map[string]int{}
	for i := range p.Plan.Stations {
		station[p.Plan.Stations[i].Name] = i
	}
	var list []signal
	for _, key := range l.order {
		t := l.links[key]
		s := signal{from: station[l.names[key.from]], to: station[l.names[key.to]], moving: key.moving, at: t.at,
			heard: t.heard(), lost: t.lostCount(), floor: t.floor, sf: t.sf, firstS: t.firstS, endS: t.lastS,
			independent: t.effective()}
		if _, moves := l.opt.Tracks[l.names[key.to]]; moves {
			s.mover = 1
		}
		s.take(&t.levels)
		list = append(list, s)
	}
	if !heardOnly {
		list = supposeLost(list)
	}
	sort.SliceStable(list, func(i, j int) bool {
		a, b := &list[i], &list[j]
		return slices.Compare([]int{a.from, a.to}, []int{b.from, b.to}) < 0
	})
	return list
}

// take takes the levels over; independent is set.
func (s *signal) take(levels *histogram) {
	if levels.n == 0 {
		return
	}
	var mad float64
	s.medianDBm, mad = levels.medianAndMAD()
	s.meanDBm, s.varianceDB2 = levels.moments()
	n := float64(levels.n)
	// 1.4826 MAD is a normal's standard deviation; few packets lean on the usual one.
	const leans = 5
	s.widthDB = math.Sqrt((n*math.Pow(1.4826*mad, 2) + leans*usualWidthDB*usualWidthDB) / (n + leans))
	s.widthDB = max(s.widthDB, leastWidthDB)
	// The variance of a normal's median is pi/2 times that of its mean; receivers report
	// whole decibels.
	s.medianSigma = math.Sqrt(math.Pi/2*s.widthDB*s.widthDB/(n*s.independent) + 1.0/12)
}

// leastSupposed is how many packets a sender must have been heard with elsewhere before a
// receiver's silence counts.
const leastSupposed = 20

// span is from when to when a node was there.
type span struct {
	first, last float64
	some        bool
}

func (s *span) add(first, last float64) {
	if first == 0 {
		return
	}
	if !s.some || first < s.first {
		s.first = first
	}
	s.last, s.some = max(s.last, last), true
}

// overlap is the share of s within o; 1 where times are not told.
func (s span) overlap(o span) float64 {
	if !s.some || !o.some {
		return 1
	}
	long := s.last - s.first
	if !(long > 0) {
		if s.first >= o.first && s.first <= o.last {
			return 1
		}
		return 0
	}
	return max(min(s.last, o.last)-max(s.first, o.first), 0) / long
}

// supposeLost counts what a sender was heard to send elsewhere against receivers at work
// meanwhile, where links do not tell themselves.
func supposeLost(list []signal) []signal {
	sent := map[int]int{} // by the best of its receivers
	sends, hears := map[int]*span{}, map[int]*span{}
	told := map[[2]int]bool{}
	moves := map[int]bool{}
	note := func(of map[int]*span, node int, s *signal) {
		if of[node] == nil {
			of[node] = &span{}
		}
		of[node].add(s.firstS, s.endS)
	}
	for i := range list {
		s := &list[i]
		told[[2]int{s.from, s.to}] = true
		if s.moving {
			moves[[2]int{s.from, s.to}[s.mover]] = true
		}
		sent[s.from] = max(sent[s.from], s.heard+s.lost)
		if s.heard > 0 {
			note(sends, s.from, s)
			note(hears, s.to, s)
		}
	}
	for i := range list {
		s := &list[i]
		if s.lost > 0 || s.moving || sends[s.from] == nil || hears[s.to] == nil {
			continue
		}
		if n := int(float64(sent[s.from]) * sends[s.from].overlap(*hears[s.to])); n-s.heard > s.heard/10 &&
			n >= leastSupposed {
			s.lost, s.supposed = n-s.heard, true
		}
	}
	senders := make([]int, 0, len(sends))
	for from := range sends {
		senders = append(senders, from)
	}
	slices.Sort(senders)
	for _, from := range senders {
		for to := range hears {
			if from == to || told[[2]int{from, to}] || moves[from] || moves[to] {
				continue
			}
			if n := int(float64(sent[from]) * sends[from].overlap(*hears[to])); n >= leastSupposed {
				list = append(list, signal{from: from, to: to, lost: n, supposed: true, independent: 1, widthDB: usualWidthDB})
			}
		}
	}
	return list
}

// mostLost is how many lost packets count as independent: what keeps one from being heard
// keeps the next one.
const mostLost = 30

// observe is what a signal says against a prediction, whose way is 0 from A to B or 1; half of
// the packets arrive at so much above the sensitivity.
func (s *signal) observe(p *Prediction, way int, aboveDB float64) observation {
	level := p.LevelDBm[way]
	o := observation{width: max(s.widthDB, leastWidthDB), limit: p.SensitivityDBm[way] + aboveDB - level}
	n := float64(s.heard - s.floor)
	lost := float64(s.lost)
	if s.floor > 0 {
		lost += float64(s.floor)
		o.limit = p.NoiseDBm[way] - level
	}
	if n > 0 {
		o.mean, o.weight = s.medianDBm-level, 1/(s.medianSigma*s.medianSigma)
	}
	if !(lost > 0) {
		return o
	}
	o.lost = min(lost*s.independent, mostLost)
	near := 3 * max(math.Sqrt(s.varianceDB2), usualWidthDB)
	if n > 0 && lost > n/10 && o.mean-o.limit < near { // what was heard is the upper part
		mean := s.meanDBm - level
		_, sigma := censoredMoments(n, mean, s.varianceDB2, lost, o.limit)
		o.width = min(sigma, 4*usualWidthDB)
		// As many independent ones of both kinds as their shares say, the mean of those heard.
		o.mean, o.weight = mean, min(n*s.independent, mostLost*n/lost)/(o.width*o.width)
	} else if n > 0 && !(lost > n/10) {
		o.lost = 0 // such a share is lost otherwise
	}
	return o
}

// pathKey is a path: its ends, the lower first, and where the end was that moves.
type pathKey struct {
	a, b int
	at   orb.Point
}

// mostPaths bounds the work: a path takes about a millisecond.
const mostPaths = 50_000

// all finds the prediction of every path of some signals.
func (p Predictor) all(ctx context.Context, list []signal) (map[pathKey]Prediction, error) {
	out := map[pathKey]Prediction{}
	for i := range list {
		s := &list[i]
		key, _ := s.path()
		if _, done := out[key]; done {
			continue
		}
		if len(out) == mostPaths {
			return nil, fault.Input("more than %d paths; take larger cells", mostPaths)
		}
		var moved *orb.Point
		end := s.mover
		if s.moving {
			moved = &s.at
			if s.from > s.to {
				end = 1 - end
			}
		}
		found, err := p.path(ctx, key.a, key.b, moved, end)
		if err != nil {
			return nil, fmt.Errorf("path %q to %q: %w", p.Plan.Stations[s.from].Name, p.Plan.Stations[s.to].Name, err)
		}
		out[key] = found
	}
	return out, nil
}

// path is the key of a signal's path, and the way on it.
func (s *signal) path() (key pathKey, way int) {
	if s.from > s.to {
		return pathKey{s.to, s.from, s.at}, 1
	}
	return pathKey{s.from, s.to, s.at}, 0
}
