package siting

import (
	"fmt"
	"slices"

	"github.com/polereach/polereach/linkbudget"
)

// explain says in words why a spot stands where it does in the list.
func (s *Spot) explain(o Options) {
	s.Reasons = nil
	say := func(format string, args ...any) { s.Reasons = append(s.Reasons, fmt.Sprintf(format, args...)) }
	if s.Serves {
		say("a mast of %g m reaches %d of %d neighbours", s.HeightM, s.Reached, len(s.Links))
	} else {
		say("does not serve with any mast up to %g m; with %g m it reaches %d of %d", o.MaxHeightM, s.HeightM, s.Reached, len(s.Links))
	}
	for _, l := range s.Links {
		switch {
		case l.Must && l.Result.Verdict == linkbudget.Unknown:
			say("%s, which it must reach, could not be judged: terrain is missing on the way", l.Name)
		case l.Must && l.LowestM == 0:
			say("%s, which it must reach, stays at %.0f %%", l.Name, l.Result.Probability*100)
		case l.Must && s.Serves && l.LowestM == s.HeightM && s.HeightM > lowestMastM:
			say("%s decides the height", l.Name)
		}
	}
}

// choose fills the trade between mast and neighbours: for every number of
// neighbours the spot that reaches as many with the lowest mast. A line that
// another beats with more neighbours for no more mast is left out.
func (a *Answer) choose() {
	a.Choices = nil
	most := 0
	for _, s := range a.Spots {
		most = max(most, len(s.Links))
	}
	for n := most; n >= 1; n-- {
		best := Choice{Reached: n, Spot: -1}
		for i, s := range a.Spots {
			var heights []float64
			for _, l := range s.Links {
				if l.LowestM > 0 {
					heights = append(heights, l.LowestM)
				}
			}
			if len(heights) < n {
				continue
			}
			slices.Sort(heights)
			if h := heights[n-1]; best.Spot < 0 || h < best.HeightM {
				best.Spot, best.HeightM = i, h
			}
		}
		if best.Spot < 0 || len(a.Choices) > 0 && a.Choices[len(a.Choices)-1].HeightM <= best.HeightM {
			continue
		}
		a.Choices = append(a.Choices, best)
	}
	slices.Reverse(a.Choices)
}
