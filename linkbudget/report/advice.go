package report

import (
	"fmt"
	"io"
	"strings"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// needsRelay tells that nothing people put up makes a link reach.
func needsRelay(v linkbudget.Verdict, c linkbudget.Counsel) bool {
	return (v == linkbudget.Marginal || v == linkbudget.Short) && len(c.Advice) == 0 && !c.Beyond
}

// writeCounsel prints what would make a link reach, or that nothing tried does. Without a
// band nothing was held against rules.
func writeCounsel(out io.Writer, v linkbudget.Verdict, c linkbudget.Counsel, banded bool) {
	for _, a := range c.Advice {
		text := a.Text()
		if !banded {
			text += "; " + unruledText
		}
		writeWrapped(out, "    would do: ", text)
	}
	switch {
	case needsRelay(v, c):
		writeWrapped(out, "    ", fmt.Sprintf("nothing that people put up would do: masts and antennas at both ends, and higher ground "+
			"within 300 m, give at most %s %%; look for a relay with spots", linkbudget.PercentText(c.Best)))
	case c.Beyond:
		writeWrapped(out, "    ", "nothing is proposed: an end is beyond the band's table as it is; mend that first")
	}
}

// aloneText stands once below advice for the links of a pole or a plan.
const aloneText = "What would do was tried for its one link: before building check the pole's other links with the change made."

// writeRelay prints the command that looks for ground between two poles, to copy: around the middle, as far as the two poles, but no more than 5 km.
func writeRelay(out io.Writer, a, b *plan.Station) {
	way := terrain.Inverse(a.At, b.At)
	middle := terrain.Destination(a.At, way.AzimuthDeg, way.DistM/2)
	name := func(s string) string {
		return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "$", `\$`, "`", "\\`").Replace(s) + `"`
	}
	writeWrapped(out, "  ", fmt.Sprintf("Ground for a relay, such as between %s and %s:", a.Name, b.Name))
	fmt.Fprintf(out, "    polereach spots --around %.5f,%.5f --radius-km %.1f \\\n      --must %s \\\n      --must %s PLAN\n",
		middle.Lon(), middle.Lat(), min(max(way.DistM/2000, 1), 5), name(a.Name), name(b.Name))
}

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

func newAdviceJSON(c *linkbudget.Counsel, banded bool) (list []adviceJSON) {
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
		list = append(list, one)
	}
	return list
}
