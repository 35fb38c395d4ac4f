package report

import (
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
)

type adviceJSON struct {
	Text         string       `json:"text"`
	Changes      []changeJSON `json:"changes,omitempty"`
	Move         *moveJSON    `json:"move,omitempty"`
	Rules        string       `json:"rules,omitempty"` // absent: within the band's table
	Probability  float64      `json:"probability"`
	MarginDB     float64      `json:"margin_db"`
	AirtimeRatio float64      `json:"airtime_ratio"`
}

// unruledText stands beside every piece of advice that no band's table was there for.
const unruledText = "no band chosen, rules not checked"

type moveJSON struct {
	Station    string  `json:"station"`
	LonDeg     float64 `json:"lon_deg"`
	LatDeg     float64 `json:"lat_deg"`
	DistanceM  float64 `json:"distance_m"`
	AzimuthDeg float64 `json:"azimuth_deg"`
	RiseM      float64 `json:"rise_m"`
}

type changeJSON struct {
	Station string  `json:"station,omitempty"` // absent: the link
	Key     string  `json:"key"`
	From    float64 `json:"from"`
	To      float64 `json:"to"`
}

func (j *linkJSON) counsel(c linkbudget.Counsel, banded bool) {
	for _, a := range c.Advice {
		one := adviceJSON{Text: a.Text(), Probability: fixed(a.Probability, 4), MarginDB: db(a.MarginDB), AirtimeRatio: fixed(a.AirtimeRatio, 3)}
		for _, ch := range a.Changes {
			one.Changes = append(one.Changes, changeJSON{ch.Station, ch.Key, fixed(ch.From, 6), fixed(ch.To, 6)})
		}
		if m := a.Move; m != nil {
			one.Move = &moveJSON{m.Station, placeDeg(m.At.Lon()), placeDeg(m.At.Lat()),
				metres(m.DistM), angleDeg(m.AzimuthDeg), metres(m.RiseM)}
		}
		if !banded {
			one.Rules = unruledText
		}
		j.Advice = append(j.Advice, one)
	}
	if len(c.Advice) == 0 && c.Best > 0 {
		j.AdviceBest = ptr(fixed(c.Best, 4))
	}
}

// newPathJSON carries over a checked path: result, delivery, advice, rules.
func newPathJSON(c *plan.PathCheck, nameA, nameB string) linkJSON {
	j := newLinkJSON(&c.Result)
	j.counsel(c.Counsel, c.RulesA != nil)
	if c.Verdict != linkbudget.Unknown {
		j.Delivery = ptr(fixed(c.Delivery, 4))
	}
	if c.RulesA != nil {
		j.Rules = []rulesJSON{newRulesJSON(nameA, c.RulesA), newRulesJSON(nameB, c.RulesB)}
	}
	return j
}
