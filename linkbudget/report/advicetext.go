package report

import (
	"fmt"
	"io"
	"strings"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// clearanceText is a clearance in first Fresnel radii beside the word of its class.
func clearanceText(fraction float64) string {
	return linkbudget.Rounded(fraction, 2, 0, linkbudget.ClearFraction)
}

// needsRelay tells that nothing people put up makes a link reach.
func needsRelay(v linkbudget.Verdict, c linkbudget.Counsel) bool {
	return (v == linkbudget.Marginal || v == linkbudget.Short) && len(c.Advice) == 0 && c.Best > 0
}

// writeCounsel prints what would make a link reach, or that nothing that was tried does
// and what else there is; beyond says that an end is beyond the band's table.
func writeCounsel(out io.Writer, v linkbudget.Verdict, c linkbudget.Counsel, beyond bool, otherwise string) {
	for _, a := range c.Advice {
		writeWrapped(out, "    would do: ", a.Text())
	}
	switch {
	case needsRelay(v, c):
		writeWrapped(out, "    ", fmt.Sprintf("nothing tried would do: antennas, masts and places nearby give at most %s %%; %s",
			linkbudget.PercentText(c.Best), otherwise))
	case beyond && len(c.Advice) == 0 && (v == linkbudget.Marginal || v == linkbudget.Short):
		writeWrapped(out, "    ", "no advice while an end is beyond the band's table: bring it within first")
	}
}

// relayText is the command that looks for ground between two poles: around the middle,
// as far as a quarter of the way, but no more than 5 km.
func relayText(a, b *plan.Station) string {
	way := terrain.Inverse(a.At, b.At)
	middle := terrain.Destination(a.At, way.AzimuthDeg, way.DistM/2)
	name := func(s string) string {
		return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "$", `\$`, "`", "\\`").Replace(s) + `"`
	}
	return fmt.Sprintf("Ground for a relay, such as between %s and %s: polereach spots --must %s --must %s --around %.5f,%.5f --radius-km %.1f PLAN",
		a.Name, b.Name, name(a.Name), name(b.Name), middle.Lon(), middle.Lat(), min(max(way.DistM/4000, 1), 5))
}
