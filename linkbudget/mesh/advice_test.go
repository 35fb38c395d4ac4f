package mesh_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

const demo = "../../examples/cumberland/"

func demoTerrain(t testing.TB) terrain.DEM {
	t.Helper()
	sources, err := terrain.OpenSources(os.DirFS(demo), "dem")
	if err != nil {
		t.Fatal(err)
	}
	tiles, err := terrain.NewTiles(sources, terrain.TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return tiles
}

// apply writes one piece of advice into a plan, as its reader would, and reads
// the file again.
func apply(t *testing.T, p *plan.Plan, from, to string, advice linkbudget.Advice) *plan.Plan {
	t.Helper()
	data, err := p.GeoJSON()
	if err != nil {
		t.Fatal(err)
	}
	changed, err := plan.Read("before.geojson", data)
	if err != nil {
		t.Fatal(err)
	}
	if m := advice.Move; m != nil {
		st, _ := changed.Station(m.Station)
		st.At = m.At
		for i := range changed.Links {
			switch l := &changed.Links[i]; m.Station {
			case l.From:
				l.Line[0] = m.At
			case l.To:
				l.Line[len(l.Line)-1] = m.At
			}
		}
	}
	for _, c := range advice.Changes {
		v := c.To
		if c.Station == "" {
			l := linkOf(changed, from, to)
			switch sf := int(v); c.Key {
			case "sf":
				l.SF = &sf
			case "bw_khz":
				l.BWKHz = &v
			default:
				t.Fatalf("advice changes %q of a link", c.Key)
			}
			continue
		}
		st, ok := changed.Station(c.Station)
		if !ok {
			t.Fatalf("advice names station %q", c.Station)
		}
		switch c.Key {
		case "height_m":
			st.HeightM = &v
		case "gain_dbi":
			st.GainDBi = &v
		case "feed_loss_db":
			st.FeedLossDB = &v
		default:
			t.Fatalf("advice changes %q of a station", c.Key)
		}
	}
	if data, err = changed.GeoJSON(); err != nil {
		t.Fatal(err)
	}
	if changed, err = plan.Read("after.geojson", data); err != nil {
		t.Fatal(err)
	}
	return changed
}

func linkOf(p *plan.Plan, from, to string) *plan.Link {
	for i := range p.Links {
		if l := &p.Links[i]; l.From == from && l.To == to || l.From == to && l.To == from {
			return l
		}
	}
	a, _ := p.Station(from)
	b, _ := p.Station(to)
	p.Links = append(p.Links, plan.Link{From: from, To: to, Line: orb.LineString{a.At, b.At}})
	return &p.Links[len(p.Links)-1]
}

func linkTo(t *testing.T, s *mesh.Site, name string) *mesh.SiteLink {
	t.Helper()
	for i := range s.Links {
		if s.Links[i].Neighbour.Name == name {
			return &s.Links[i]
		}
	}
	t.Fatalf("no link to %q", name)
	return nil
}

// adviceHolds applies every piece of advice of a site, each alone, and counts
// the pieces and the links that nothing helps.
func adviceHolds(t *testing.T, p *plan.Plan, pole string, dem terrain.DEM, opt mesh.SiteOptions,
	kinds map[string]int) (pieces, hopeless int) {
	t.Helper()
	st, _ := p.Station(pole)
	site, err := mesh.CheckSite(context.Background(), p, *st, dem, opt)
	if err != nil {
		t.Fatal(err)
	}
	for i := range site.Links {
		l := &site.Links[i]
		if helped := len(l.Counsel.Advice) > 0; helped && (l.Verdict == linkbudget.Reaches ||
			l.Verdict == linkbudget.Unknown) {
			t.Errorf("%s to %s is %s and gets advice", pole, l.To, l.Verdict)
		}
		if l.Verdict == linkbudget.Reaches || l.Verdict == linkbudget.Unknown {
			continue
		}
		if len(l.Counsel.Advice) == 0 {
			hopeless++
			if !(l.Counsel.Best < 0.9) {
				t.Errorf("%s to %s: no advice, though %.2f was reached", pole, l.To, l.Counsel.Best)
			}
		}
		for _, advice := range l.Counsel.Advice {
			pieces++
			if advice.Move != nil {
				kinds["move"]++
			}
			for _, c := range advice.Changes {
				kinds[c.Key]++
			}
			changed := apply(t, p, pole, l.To, advice)
			from, _ := changed.Station(pole)
			again, err := mesh.CheckSite(context.Background(), changed, *from, dem, opt)
			if err != nil {
				t.Fatal(err)
			}
			got := linkTo(t, again, l.To)
			if got.Verdict != linkbudget.Reaches || fmt.Sprintf("%.6f", got.Probability) != fmt.Sprintf("%.6f",
				advice.Probability) {
				t.Errorf("%s to %s, after %s: %s, P %.4f", pole, l.To, advice.Text(), got.Verdict, got.Probability)
			}
			if got.BeyondRules() {
				t.Errorf("%s to %s, after %s: beyond the band's table", pole, l.To, advice.Text())
			}
			peopleDoThis(t, advice, opt.OwnModem)
		}
	}
	return pieces, hopeless
}

// peopleDoThis refuses what nobody puts up: half metres, sticks of 12 dBi, everything at
// both ends at once, and another modem for one link of a mesh.
func peopleDoThis(t *testing.T, advice linkbudget.Advice, ownModem bool) {
	t.Helper()
	for _, c := range advice.Changes {
		switch masts := []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 20, 25, 30}; {
		case c.Station == "" && !ownModem,
			c.Key == "height_m" && !slices.Contains(masts, c.To),
			c.Key == "gain_dbi" && !slices.Contains([]float64{3, 5, 6}, c.To):
			t.Errorf("advice that nobody follows: %s", advice.Text())
		}
	}
	if len(advice.Changes) > 1 && advice.Changes[0].Key != advice.Changes[1].Key || len(advice.Changes) > 2 {
		t.Errorf("more than one thing at once: %s", advice.Text())
	}
}

func demoOptions() mesh.SiteOptions {
	s := settings()
	s.Station.TxDBm, s.Station.FeedLossDB = 20, 0.5
	s.Environment = linkbudget.Environment{FreqHz: 915e6, Modem: linkbudget.Modem{SF: 10, BWHz: 500e3, CR: 1}}
	return mesh.SiteOptions{Settings: s, Band: band.US915}
}

func TestAdviceHoldsOnTheDemo(t *testing.T) {
	data, err := os.ReadFile(demo + "plan.geojson")
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.Read("plan.geojson", data)
	if err != nil {
		t.Fatal(err)
	}
	dem := demoTerrain(t)
	pieces, hopeless := 0, 0
	for i := range p.Stations {
		more, none := adviceHolds(t, p, p.Stations[i].Name, dem, demoOptions(), map[string]int{})
		pieces, hopeless = pieces+more, hopeless+none
	}
	t.Logf("%d pieces of advice hold when applied; %d directed links that nothing helps", pieces, hopeless)
	if pieces < 20 {
		t.Errorf("only %d pieces of advice: the demo no longer tests them", pieces)
	}
}

// Three hundred random pairs of poles on the same ground and not far apart, every third
// one under another band and modem, some of these with an end beyond its table, and
// every fourth without a band.
func TestAdviceHoldsForRandomPairs(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	dem := demoTerrain(t)
	pieces, hopeless := 0, 0
	kinds := map[string]int{}
	for pair := range 300 {
		opt := demoOptions()
		opt.OwnModem = pair%5 == 0
		loud := 13.0
		if pair%3 == 0 {
			opt.Band = band.EU868
			opt.Settings.Station.TxDBm = 13
			opt.Settings.Environment = linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 8, BWHz: 125e3,
				CR: 1}}
			loud = []float64{13, 20}[pair%2]
		}
		if pair%4 == 0 {
			opt.Band = ""
		}
		var p plan.Plan
		foot := orb.Point{-84.38 + 0.27*rng.Float64(), 36.475 + 0.23*rng.Float64()}
		for _, name := range []string{"Alder", "Beech"} {
			heightM := 2 + 10*rng.Float64()
			p.Stations = append(p.Stations, plan.Station{Name: name, HeightM: &heightM,
				At: orb.Point{foot[0] + 0.03*rng.Float64(), foot[1] + 0.02*rng.Float64()}})
		}
		if pair%3 == 0 {
			p.Stations[1].TxDBm = &loud
		}
		more, none := adviceHolds(t, &p, "Alder", dem, opt, kinds)
		pieces, hopeless = pieces+more, hopeless+none
	}
	t.Logf("%d pieces of advice hold when applied, of the kinds %v; %d of 300 pairs that nothing helps", pieces, kinds,
		hopeless)
	if pieces < 50 || hopeless == 0 || kinds["move"] == 0 || kinds["height_m"] == 0 || kinds["gain_dbi"] == 0 {
		t.Errorf("%d pieces of the kinds %v, %d hopeless: the pairs no longer test all", pieces, kinds, hopeless)
	}
}

// A neighbour beyond the band's table: nothing is proposed, least of all what makes the
// other end beyond it too.
func TestNoAdviceBesideAnEndBeyondTheRules(t *testing.T) {
	opt := demoOptions()
	opt.Band, opt.Settings.Station.TxDBm = band.EU868, 14
	opt.Settings.Environment = linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 8, BWHz: 125e3, CR: 1}}
	loud := 27.0
	data, err := os.ReadFile(demo + "plan.geojson")
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.Read("plan.geojson", data)
	if err != nil {
		t.Fatal(err)
	}
	for i := range p.Stations {
		p.Stations[i].TxDBm = &loud
	}
	pole, _ := p.Station("Sorrel Ridge")
	quiet := 14.0
	pole.TxDBm = &quiet
	site, err := mesh.CheckSite(context.Background(), p, *pole, demoTerrain(t), opt)
	if err != nil {
		t.Fatal(err)
	}
	weak := 0
	for i := range site.Links {
		if l := &site.Links[i]; l.Verdict == linkbudget.Marginal || l.Verdict == linkbudget.Short {
			weak++
			if len(l.Counsel.Advice) > 0 || !l.Counsel.Beyond {
				t.Errorf("%s is beyond the table, and the advice is %v", l.To, l.Counsel)
			}
		}
	}
	if weak == 0 {
		t.Error("every link reaches: the test says nothing")
	}
}
