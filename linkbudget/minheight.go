package linkbudget

import (
	"fmt"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Ends names which antennas a search may raise.
type Ends uint8

// The antenna of A, of B, or both to the same height.
const (
	EndA Ends = 1 << iota
	EndB
	BothEnds = EndA | EndB
)

// of returns those that are named.
func (e Ends) of(a, b *Station) []*Station {
	return [...][]*Station{nil, {a}, {b}, {a, b}}[e&BothEnds]
}

// HeightSearch bounds [MinHeight].
type HeightSearch struct {
	// Ends may be raised; a zero value means BothEnds.
	Ends Ends
	// MaxM is the greatest height tried, m; 0 means 30, at most MaxAntennaHeightM.
	MaxM float64
}

// MastHeightsM are the antenna heights that people put up, m, up to a greatest: every
// metre to 10 m, then in the steps in which masts are sold; common practice. The
// greatest is one of them, [MaxAntennaHeightM] at most.
func MastHeightsM(mostM float64) (heights []float64) {
	mostM = min(mostM, MaxAntennaHeightM)
	for h := 1.0; h < mostM; {
		heights = append(heights, h)
		switch {
		case h < 10:
			h++
		case h < 12:
			h = 12
		case h < 15:
			h = 15
		case h < 30:
			h += 5
		default:
			h += 10
		}
	}
	return append(heights, mostM)
}

// DefaultMaxHeightM is the greatest pole tried unless the caller says otherwise.
const DefaultMaxHeightM = 30

// HeightFound is the answer of [MinHeight].
type HeightFound struct {
	// Found is false where no height up to the limit reaches; the rest is then
	// that of the height with the best probability.
	Found bool
	// AHeightM and BHeightM are the antennas above ground, m.
	AHeightM, BHeightM float64
	Result             Result
}

// MinHeight returns the lowest of [MastHeightsM] above the present height with which
// the path reaches. Every step is evaluated in full, as loss does not fall steadily with
// height. A path over unknown ground is never found.
func MinHeight(p terrain.Profile, a, b Station, env Environment, search HeightSearch) (HeightFound, error) {
	if search.Ends == 0 {
		search.Ends = BothEnds
	}
	if search.MaxM == 0 {
		search.MaxM = DefaultMaxHeightM
	}
	if !(search.MaxM > 0 && search.MaxM <= MaxAntennaHeightM) {
		return HeightFound{}, fault.Found("greatest height to try", search.MaxM, fmt.Sprintf("above 0 to %d m",
			MaxAntennaHeightM))
	}
	r, err := Evaluate(p, a, b, env)
	best := HeightFound{AHeightM: a.HeightM, BHeightM: b.HeightM, Result: r, Found: r.Verdict == Reaches}
	if err != nil || best.Found || r.Verdict == Unknown {
		return best, err
	}
	for _, h := range MastHeightsM(search.MaxM) {
		nextA, nextB := a, b
		for _, s := range search.Ends.of(&nextA, &nextB) {
			s.HeightM = max(s.HeightM, h)
		}
		if nextA.HeightM == a.HeightM && nextB.HeightM == b.HeightM {
			continue
		}
		if r, err = Evaluate(p, nextA, nextB, env); err != nil {
			return HeightFound{}, err
		}
		if found := r.Verdict == Reaches; found || r.Probability > best.Result.Probability {
			best = HeightFound{Found: found, AHeightM: nextA.HeightM, BHeightM: nextB.HeightM, Result: r}
			if found {
				break
			}
		}
	}
	return best, nil
}
