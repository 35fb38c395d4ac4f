package calibrate

import (
	"math"
	"sort"
)

// Summary sums differences up.
type Summary struct {
	Links            int
	BiasDB, SpreadDB float64
	Inside           [3]float64 // the shares inside the stated 50, 80 and 95 %
}

// summarise sums up what links are off by, with the doubts stated for it.
func summarise(off, sigma []float64) (s Summary) {
	s.Links = len(off)
	if s.Links == 0 {
		return s
	}
	n := float64(s.Links)
	var squares float64
	for i, v := range off {
		s.BiasDB, squares = s.BiasDB+v/n, squares+v*v/n
		for k, z := range [3]float64{0.674490, 1.281552, 1.959964} { // of the normal
			if math.Abs(v) <= z*sigma[i] {
				s.Inside[k] += 1 / n
			}
		}
	}
	s.SpreadDB = math.Sqrt(max(squares-s.BiasDB*s.BiasDB, 0))
	return s
}

func summary(links []Link, of func(*Link) (off, sigma float64)) Summary {
	var off, sigma []float64
	for i := range links {
		if l := &links[i]; l.HasLevel {
			o, s := of(l)
			off, sigma = append(off, o), append(sigma, s)
		}
	}
	return summarise(off, sigma)
}

// Kind sums up links of one kind, as stated.
type Kind struct {
	Of, Name string // "situation" or "surroundings", and which
	Summary
}

// kinds sums up by the situation of paths, and by what stands around their ends.
func (c *comparison) kinds(links []Link) []Kind {
	groups := map[[2]string][]Link{}
	for _, l := range links {
		if !l.HasLevel {
			continue
		}
		around := l.Around
		if around[0] > around[1] {
			around[0], around[1] = around[1], around[0]
		}
		for _, key := range [2][2]string{{"situation", l.Situation.String()}, {"surroundings",
			around[0] + " and " + around[1]}} {
			groups[key] = append(groups[key], l)
		}
	}
	var out []Kind
	for key, list := range groups {
		out = append(out, Kind{key[0], key[1], summary(list, func(l *Link) (float64, float64) {
			return l.DifferenceDB, math.Hypot(l.StatedDB, l.Measured.SigmaDB)
		})})
	}
	sort.Slice(out, func(i, j int) bool {
		if out[i].Of != out[j].Of {
			return out[i].Of < out[j].Of
		}
		return out[i].Name < out[j].Name
	})
	return out
}
