package mesh_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
)

// Into 2.15 dBi the power at the radio is that over a dipole. EU: 25 mW (14
// dBm) ERP from 868.0 to 868.6 MHz, 500 mW (27 dBm) from 869.4 to 869.65 MHz,
// nothing for such nodes at 880 MHz (2006/771/EC).
func TestBeyondRulesNamesThePoleOfASingleLink(t *testing.T) {
	for name, c := range map[string]struct {
		poleDBm, neighbourDBm, freqMHz float64
		want                           []string
	}{
		"all within":                    {14, 14, 868.1, nil},
		"pole beyond":                   {20, 14, 868.1, []string{"Ash"}},
		"neighbour beyond":              {14, 20, 868.1, []string{"Birch"}},
		"pole within on the link alone": {20, 14, 869.525, []string{"Ash"}},
		"pole within but on the link":   {10, 10, 880, []string{"Ash", "Birch"}},
	} {
		t.Run(name, func(t *testing.T) {
			p := row()
			p.Stations = p.Stations[:2]
			p.Stations[0].TxDBm, p.Stations[1].TxDBm = &c.poleDBm, &c.neighbourDBm
			l := wanted("Ash", "Birch", true)
			l.FreqMHz = &c.freqMHz
			p.Links = []plan.Link{l}
			s := settings()
			s.Environment.FreqHz = 868.1e6
			site := check(t, p, "Ash", mesh.SiteOptions{Settings: s, Band: band.EU868})
			if diff := cmp.Diff(c.want, site.BeyondRules()); diff != "" {
				t.Error(diff)
			}
		})
	}
}
