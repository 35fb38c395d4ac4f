package siting

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/power"
)

// explain says in words why a spot stands where it does in the list.
func (s *Spot) explain(o Options) {
	s.Reasons = nil
	say := func(format string, args ...any) { s.Reasons = append(s.Reasons, fmt.Sprintf(format, args...)) }
	asked := o.Candidate.HeightM
	of := fmt.Sprintf("reaches %d of %d neighbours", s.Reached, len(s.Links))
	if s.Weakest != nil {
		of += ", the weakest of the paths wanted with " + linkbudget.ChanceText(*s.Weakest, o.wantPercent()) + " %"
	}
	switch {
	case !s.Serves:
		say("does not serve with any mast up to %g m; with %g m it %s", o.MaxHeightM, s.HeightM, of)
	case s.HeightM != asked:
		say("does not serve with the %g m asked for: a mast of %g m %s", asked, s.HeightM, of)
	default:
		say("a mast of %g m %s", s.HeightM, of)
	}
	if s.Serves && s.LowestM < s.HeightM {
		say("what is wanted is reached from %g m up", s.LowestM)
	}
	switch {
	case !s.Serves:
	case o.Rank == BySun && s.Sky != nil:
		say("the hills leave %.0f %% of the sun in %s, the worst month", s.Sky.Percent(), power.MonthName(int(s.Sky.Month)))
	case o.Rank == ByRoad && s.RoadM != nil:
		say("%.0f m from the nearest road", *s.RoadM)
	}
	for _, l := range s.Links {
		switch {
		case l.Must && l.Result.Verdict == linkbudget.Unknown:
			say("%s, which it must reach, could not be judged: terrain is missing on the way", l.Name)
		case l.Must && l.LowestM == 0:
			say("%s, which it must reach, stays at %s %%", l.Name, linkbudget.ChanceText(l.Result.Probability, o.wantPercent()))
		case l.Must && s.Serves && l.LowestM == s.LowestM && s.LowestM > o.lowestM():
			say("%s decides the height", l.Name)
		}
	}
}
