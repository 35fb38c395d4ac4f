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
		writeWrapped(out, "    ", fmt.Sprintf("nothing that people put up would do: masts and antennas at both ends, and "+
			"higher ground "+"within 300 m, give at most %s %%; look for a relay with spots", linkbudget.PercentText(c.Best)))
	case c.Beyond:
		writeWrapped(out, "    ", "nothing is proposed: an end is beyond the band's table as it is; mend that first")
	}
}

// aloneText stands once below advice for the links of a pole or a plan.
const aloneText = "What would do was tried for its one link: before building check the pole's other links with the " +
	"change made."

// writeRelay prints the command that looks for ground between two poles, to copy: around
// the middle, as far as the two poles, but no more than 5 km.
func writeRelay(out io.Writer, a, b *plan.Station) {
	way := terrain.Inverse(a.At, b.At)
	middle := terrain.Destination(a.At, way.AzimuthDeg, way.DistM/2)
	name := func(s string) string {
		return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "$", `\$`, "`", "\\`").Replace(s) + `"`
	}
	writeWrapped(out, "  ", fmt.Sprintf("Ground for a relay, such as between %s and %s:", a.Name, b.Name))
	fmt.Fprintf(out, "    polereach spots --around %.5f,%.5f --search-km %.1f \\\n      --must %s \\\n      --must %s "+
		"PLAN\n", middle.Lon(), middle.Lat(), min(max(way.DistM/2000, 1), 5), name(a.Name), name(b.Name))
}

// unruledText stands beside every piece of advice that no band's table was there for.
const unruledText = "no band chosen, rules not checked"

// advice writes what would do; without a band nothing was held against rules.
func (o *object) advice(list []linkbudget.Advice, banded bool) {
	o.list("advice", len(list), func(i int) {
		a := &list[i]
		o.text("text", a.Text())
		o.someList("changes", len(a.Changes), func(k int) {
			c := &a.Changes[k]
			o.some("station", c.Station) // none: the link
			o.text("key", c.Key)
			o.number("from", c.From, 6)
			o.number("to", c.To, 6)
		})
		if m := a.Move; m != nil {
			o.object("move", func(o *object) {
				o.text("station", m.Station)
				o.stands(m.At)
				o.number("distance_m", m.DistM, 3)
				o.number("azimuth_deg", m.AzimuthDeg, 4)
				o.number("rise_m", m.RiseM, 3)
			})
		}
		if !banded {
			o.text("rules", unruledText)
		}
		o.number("probability", a.Probability, 4)
		o.number("margin_db", float64(a.MarginDB), 3)
		o.number("airtime_ratio", a.AirtimeRatio, 3)
	})
}
