package mesh

import "github.com/polereach/polereach/linkbudget"

// judge sums the links up to the verdict of the pole.
func (s *Site) judge() {
	unknown, marginal := 0, 0
	worst := linkbudget.Reaches
	for _, l := range s.Links {
		switch l.Verdict {
		case linkbudget.Reaches:
			s.Reached++
		case linkbudget.Marginal:
			marginal++
		case linkbudget.Unknown:
			unknown++
		}
		if l.Required {
			s.RequiredCount++
			if l.Verdict == linkbudget.Reaches {
				s.RequiredReached++
			}
			if rank(l.Verdict) > rank(worst) {
				worst = l.Verdict
			}
		}
	}
	switch {
	case !s.GroundFlag.Known(): // nothing can be told from here
		s.Verdict = linkbudget.Unknown
	case s.RequiredCount > 0:
		s.Verdict = worst
	case s.Reached >= s.AtLeast:
		s.Verdict = linkbudget.Reaches
	case s.Reached+unknown >= s.AtLeast:
		s.Verdict = linkbudget.Unknown
	case s.Reached+marginal >= s.AtLeast:
		s.Verdict = linkbudget.Marginal
	default:
		s.Verdict = linkbudget.Short
	}
}

// rank orders verdicts from best to worst: what is known not to hold outweighs
// what could not be judged.
func rank(v linkbudget.Verdict) int {
	switch v {
	case linkbudget.Unknown:
		return 1
	case linkbudget.Marginal:
		return 2
	case linkbudget.Short:
		return 3
	}
	return 0
}

// HasUnknown reports whether any examined link could not be judged.
func (s *Site) HasUnknown() bool {
	for _, l := range s.Links {
		if l.Verdict == linkbudget.Unknown {
			return true
		}
	}
	return false
}

// BeyondRules names the stations that the band's table does not allow as they
// are set up: the pole first, be it on a single link with a channel or modem of
// its own, then the neighbours in the order of the links.
func (s *Site) BeyondRules() []string {
	var names []string
	pole := s.Rules != nil && s.Rules.Exceeds()
	for _, l := range s.Links {
		pole = pole || l.RulesA != nil && l.RulesA.Exceeds()
		if l.RulesB != nil && l.RulesB.Exceeds() && l.Neighbour != nil {
			names = append(names, l.Neighbour.Name)
		}
	}
	if pole {
		names = append([]string{s.Pole.Name}, names...)
	}
	return names
}
