package plan

import (
	"fmt"
	"strings"
)

// nameless is a Point without a name of its own, with the name that it takes on.
type nameless struct {
	station int    // in Stations
	name    string // "" where nothing but its number in the file can name it
	from    string // what says so, such as fid
	number  int    // of the Point, from 1
}

// otherNames are the keys by which programs name a feature, in lower case, the more telling first;
// behind them comes the id of the feature.
var otherNames = []string{"name", "label", "title", "fid", "id", "@id", "objectid", "gid"}

// labels is how many of these are made by a person.
const labels = 3

// otherName looks for a name under the keys of others.
func otherName(props []member, of []string) (name, key string) {
	best := len(of)
	for _, m := range props {
		if m.name == "name" {
			continue
		}
		for i, k := range of[:best] {
			if strings.EqualFold(m.name, k) && !isBlank(m.value) {
				if text := nameText(m.value); text != "" {
					name, key, best = text, m.name, i
				}
			}
		}
	}
	return name, key
}

// christen gives each Point without a name the one that it takes on. What would stand twice is
// numbered, all of them, so that no link can mean one and get the other.
func (r *reader) christen() {
	if len(r.nameless) == 0 {
		return
	}
	taken, wanted := make(map[string]bool, len(r.plan.Stations)), map[string]int{}
	for i := range r.plan.Stations {
		taken[r.plan.Stations[i].Name] = true
	}
	for i := range r.nameless {
		n := &r.nameless[i]
		if n.name == "" {
			n.name = fmt.Sprintf("Pole %d", n.number)
		}
		wanted[n.name]++
	}
	last := map[string]int{}
	for _, n := range r.nameless {
		s := &r.plan.Stations[n.station]
		r.feature, r.name = s.Feature, n.name
		s.Name = n.name
		if taken[n.name] || wanted[n.name] > 1 {
			stem := n.name
			if runes := []rune(stem); len(runes) > nameLimit-10 {
				stem = string(runes[:nameLimit-10])
			}
			for k := last[n.name] + 1; ; k++ {
				s.Name = fmt.Sprintf("%s (%d)", stem, k)
				if last[n.name] = k; !taken[s.Name] && wanted[s.Name] == 0 {
					break
				}
			}
			r.took(madeUnique, "as %s", quote(s.Name))
		}
		taken[s.Name] = true
		if n.from == "" {
			r.took(numbered, "")
		} else {
			r.took(namedAs, "by %s", clip(n.from))
		}
	}
	r.feature, r.name = -1, ""
}
