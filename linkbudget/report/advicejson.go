package report

import (
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
)

type adviceJSON struct {
	Text         string       `json:"text"`
	Changes      []changeJSON `json:"changes"`
	Probability  float64      `json:"probability"`
	MarginDB     float64      `json:"margin_db"`
	AirtimeRatio float64      `json:"airtime_ratio"`
}

type changeJSON struct {
	Station string  `json:"station,omitempty"` // absent: the link
	Key     string  `json:"key"`
	From    float64 `json:"from"`
	To      float64 `json:"to"`
}

func (j *linkJSON) counsel(c linkbudget.Counsel) {
	for _, a := range c.Advice {
		one := adviceJSON{Text: a.Text(), Probability: fixed(a.Probability, 4), MarginDB: db(a.MarginDB), AirtimeRatio: fixed(a.AirtimeRatio, 3)}
		for _, ch := range a.Changes {
			one.Changes = append(one.Changes, changeJSON{ch.Station, ch.Key, fixed(ch.From, 6), fixed(ch.To, 6)})
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
	j.counsel(c.Counsel)
	if c.Verdict != linkbudget.Unknown {
		j.Delivery = ptr(fixed(c.Delivery, 4))
	}
	if c.RulesA != nil {
		j.Rules = []rulesJSON{newRulesJSON(nameA, c.RulesA), newRulesJSON(nameB, c.RulesB)}
	}
	return j
}
