package plan

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"github.com/polereach/polereach/terrain"
)

// nearSpotM, m: nearer to each other two poles may be one that was measured twice. What
// a satellite receiver in the hand may be off; engineering judgement.
const nearSpotM = 5

// nearSpots warns of stations at one spot or within a few metres: allowed, since two
// radios may share a pole, but often a copy that was never moved or a pole that was
// measured twice. Each is told once, against one before it.
func (r *reader) nearSpots() []string {
	var list []string
	apart := newCubes(nearSpotM) // those that are near none before: a few in each, however many are given
	for i := range r.plan.Stations {
		s := &r.plan.Stations[i]
		there := apart.of(s.At)
		near := r.nearIn(apart, there, s)
		if near == nil {
			apart.add(i, there)
			continue
		}
		at := "at the same coordinates as"
		if near.At != s.At {
			at = fmt.Sprintf("%.1f m from", terrain.Inverse(near.At, s.At).DistM)
		}
		list = append(list, fmt.Sprintf("%s%s feature %d (%s)",
			place(r.plan.Source, s.Feature, s.Name), at, near.Feature, quote(near.Name)))
	}
	return list
}

func (r *reader) nearIn(apart *cubes, there corner, s *Station) *Station {
	for j := range apart.around(there) {
		if other := &r.plan.Stations[j]; other.At == s.At || terrain.Inverse(other.At, s.At).DistM <= nearSpotM {
			return other
		}
	}
	return nil
}

// likeNames warns of names that look alike: they differ by blanks or capitals alone, or by
// characters that are not seen and other codes of the same letters (Unicode Standard Annex
// 15, form KC): nobody tells two such poles apart on a list. Letters of two scripts that
// look alike, such as the Latin and the Cyrillic a, count as different. And it warns of
// names with characters that are not seen.
func (r *reader) likeNames() []string {
	var list []string
	first := make(map[string]int, len(r.plan.Stations))
	for i := range r.plan.Stations {
		s := &r.plan.Stations[i]
		if unseen := unseenIn(s.Name); unseen != "" {
			list = append(list, fmt.Sprintf("%sits name holds %s, which is not seen",
				place(r.plan.Source, s.Feature, s.Name), unseen))
		}
		look := bare(strings.Map(seen, norm.NFKC.String(s.Name)))
		if j, taken := first[look]; taken {
			other, by := &r.plan.Stations[j], "blanks or capitals"
			if bare(s.Name) != bare(other.Name) {
				by = "what is not seen"
			}
			list = append(list, fmt.Sprintf("%sits name differs from that of feature %d (%s) by %s alone",
				place(r.plan.Source, s.Feature, s.Name), other.Feature, quote(other.Name), by))
		} else {
			first[look] = i
		}
	}
	return list
}

// bare is a name without blanks and capitals.
func bare(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), "")) }

// seen is -1 for a character that leaves no mark by itself: one of format, a selector of
// a variant, a filler.
func seen(r rune) rune {
	if r >= utf8.RuneSelf && unicode.In(r, unicode.Cf, unicode.Variation_Selector,
		unicode.Other_Default_Ignorable_Code_Point) {
		return -1
	}
	return r
}

// unseenIn spells out the first character that is not seen, "" for none. A joiner or the
// selector of a variant behind a letter beyond ASCII has its work there.
func unseenIn(name string) string {
	before := rune(0)
	for _, c := range name {
		works := c == '\u200c' || c == '\u200d' || unicode.Is(unicode.Variation_Selector, c)
		if seen(c) < 0 && !(works && before >= utf8.RuneSelf && seen(before) >= 0) {
			return fmt.Sprintf("U+%04X", c)
		}
		before = c
	}
	return ""
}
