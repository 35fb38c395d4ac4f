package calibrate

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/internal/official"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

// Sets that others measured (see the standing comparison, linkbudget/measured_test.go, for what
// is assumed of each): every path is predicted from all other paths of its set, and held
// against what was measured, before and after. The bars were set before the first run: after
// it a bias below 1.5 dB, a spread no larger, 72 to 88 % inside the 80 % interval. Where a set
// misses one, the miss is listed here with its reason; a listed miss that is none fails too.

// set is what others measured, as signals beside predictions.
type set struct {
	comparison
	name  string
	index map[string]int
	tally map[pathKey]*tally
	ways  map[pathKey][2]int
}

func newSet(name string, seasonDB float64) *set {
	s := &set{name: name, index: map[string]int{}, tally: map[pathKey]*tally{}, ways: map[pathKey][2]int{}}
	s.opt = Options{SeasonDB: seasonDB}
	s.p.Plan = &plan.Plan{}
	s.paths = map[pathKey]Prediction{}
	return s
}

func (s *set) node(name string) int {
	i, ok := s.index[name]
	if !ok {
		i = len(s.p.Plan.Stations)
		s.index[name] = i
		s.p.Plan.Stations = append(s.p.Plan.Stations, plan.Station{Name: name})
	}
	return i
}

// add takes a level from one node to another; place tells paths of one pair apart, 0 for
// nodes that stand. predict is asked once a path.
func (s *set) add(from, to string, place int, level float64, predict func() Prediction) {
	a, b := s.node(from), s.node(to)
	key := pathKey{min(a, b), max(a, b), orb.Point{float64(place)}}
	if _, ok := s.tally[key]; !ok {
		s.tally[key] = &tally{}
		p := predict()
		p.LevelDBm[1] = p.LevelDBm[0] // every link here is known one way
		s.paths[key] = p
		s.ways[key] = [2]int{a, b}
		s.signals = append(s.signals, signal{from: a, to: b, at: key.at, moving: place != 0})
	}
	s.tally[key].levels.add(level, 1)
	s.tally[key].follow(level)
}

func (s *set) conclude(t *testing.T) *Answer {
	t.Helper()
	for i := range s.signals {
		g := &s.signals[i]
		key, _ := g.path()
		h := s.tally[key]
		g.heard, g.independent = h.heard(), h.effective()
		g.take(&h.levels)
	}
	a := &Answer{}
	if err := s.comparison.conclude(context.Background(), a); err != nil {
		t.Fatal(s.name, err)
	}
	return a
}

// missed are the bars that a set does not hold, and why.
type missed struct{ bias, spread, inside string }

// Of such a set nothing but its mean can be learned, no node is on two of its paths; and a
// value less the mean of all others is n/(n-1) times what it is less the mean of all.
const meanOnly = "predicted by the mean of the others: n/(n-1) times as large"

func (s *set) check(t *testing.T, m missed) {
	t.Helper()
	a := s.conclude(t)
	b, f := a.Before, a.After
	t.Logf("%-34s n %4d  before: bias %+6.1f spread %5.2f inside %3.0f/%3.0f/%3.0f %%  after: bias %+5.2f spread %5.2f "+
		"inside %3.0f/%3.0f/%3.0f %%  (area %+.1f ± %.1f, spread x %.2f)", s.name, f.Links, b.BiasDB, b.SpreadDB,
		100*b.Inside[0],
		100*b.Inside[1], 100*b.Inside[2], f.BiasDB, f.SpreadDB, 100*f.Inside[0], 100*f.Inside[1], 100*f.Inside[2], a.Bias.DB,
		a.Bias.SigmaDB, a.Spread)
	if n := float64(f.Links); m.spread != "" && !(f.SpreadDB <= b.SpreadDB*n/(n-1)+0.005) {
		t.Errorf("%s: spread %.2f dB after, %.2f before: more than the mean of the others explains", s.name, f.SpreadDB,
			b.SpreadDB)
	}
	for _, bar := range []struct {
		what, miss string
		holds      bool
	}{{"bias", m.bias, math.Abs(f.BiasDB) < 1.5}, {"spread", m.spread, f.SpreadDB <= b.SpreadDB},
		{"80 % interval", m.inside, f.Inside[1] >= 0.72 && f.Inside[1] <= 0.88}} {
		if bar.holds == (bar.miss != "") {
			t.Errorf("%s: %s holds its bar: %t, listed miss: %q", s.name, bar.what, bar.holds, bar.miss)
		}
	}
}

// flatPath evaluates over ground that a function gives, spaced as said.
func flatPath(t *testing.T, distM float64, points int, a, b linkbudget.Station, env linkbudget.Environment,
	groundM func(x float64) float64) Prediction {
	t.Helper()
	var p terrain.Profile
	for i := range points {
		x := float64(i) / float64(points-1)
		p.DistM, p.HeightM = append(p.DistM, x*distM), append(p.HeightM, groundM(x))
	}
	r, err := linkbudget.Evaluate(p, a, b, env)
	if err != nil {
		t.Fatal(err)
	}
	return predictionOf(&r, [2]linkbudget.Station{a, b}, env)
}

func TestMeasuredRural(t *testing.T) {
	rural, town := newSet("rural links, 2.5 m", 2.5), newSet("coastal town, 2 to 65 m", 2.5)
	for _, row := range official.Measured(t, ',', "mesh_915_rural", "links.csv")[1:] {
		s := rural
		if row[0] != "uberlandia" {
			s = town
		}
		ground, class := strings.Fields(row[9]), strings.Fields(row[11])
		predict := func() Prediction {
			end := func(name, height, class string) linkbudget.Station {
				st := linkbudget.DefaultStation(name, official.Number(t, height))
				switch class {
				case "3":
					st.Surroundings.Inside = clutter.Suburban
				case "4":
					st.Surroundings.Inside = clutter.Wood
				}
				return st
			}
			env := linkbudget.Environment{FreqHz: 915e6, Modem: linkbudget.Modem{SF: 7, BWHz: 125e3, CR: 1}}
			p := flatPath(t, 1000*official.Number(t, row[4]), len(ground), end("a", row[5], class[0]), end("b", row[6],
				class[len(class)-1]), env,
				func(x float64) float64 { return official.Number(t, ground[int(x*float64(len(ground)-1)+0.5)]) })
			// The set holds path losses: levels of 14 dBm less loss, hardware apart.
			const budget = 14 + 2*2.15 - 2*3
			p.SigmaDB, p.HardwareDB = math.Sqrt(p.SigmaDB*p.SigmaDB-p.HardwareDB*p.HardwareDB), 0
			p.LevelDBm[0] -= budget
			return p
		}
		from, to, _ := strings.Cut(row[2], "-")
		for _, loss := range strings.Fields(row[8]) {
			s.add(from, to, 0, -official.Number(t, loss), predict)
		}
	}
	rural.check(t, missed{})
	town.check(t, missed{spread: meanOnly})
}

func TestMeasuredConducted(t *testing.T) {
	s := newSet("packets through known attenuation", 0.5)
	for _, row := range official.Measured(t, ',', "conducted_868", "packets.csv")[1:] {
		attenuation := official.Number(t, row[0])
		r := Row{RSSIDBm: official.Number(t, row[3]), SNRDB: official.Number(t, row[4]), LevelDBm: math.NaN()}
		level, _, err := RSSIVendor.level(&r, -123.0, math.NaN())
		if err != nil {
			t.Fatal(err)
		}
		s.add("sender", "receiver", int(attenuation), level, func() Prediction {
			const hardware = 3.0
			return Prediction{LevelDBm: [2]float64{14 - attenuation - 6}, SigmaDB: hardware, HardwareDB: hardware}
		})
	}
	s.check(t, missed{spread: meanOnly})
}

func TestMeasuredBalloons(t *testing.T) {
	s := newSet("balloons in free space", 2.5)
	gateway := orb.Point{-0.251466, 43.706172}
	far, near := linkbudget.DefaultStation("far", 100), linkbudget.DefaultStation("near", 5)
	env := linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}}
	end := flatPath(t, 1e3, 11, near, far, env, func(float64) float64 { return 0 })
	ground, err := linkbudget.Evaluate(terrain.Profile{DistM: []float64{0, 500, 1000}, HeightM: make([]float64, 3)}, near,
		far, env)
	if err != nil {
		t.Fatal(err)
	}
	open := 0.0
	for _, term := range ground.Terms {
		if term.Name == "open country at near" {
			open = float64(term.DB)
		}
	}
	for i, row := range official.Measured(t, ',', "balloon_868", "links.csv")[1:] {
		distM := terrain.Inverse(gateway, orb.Point{official.Number(t, row[8]), official.Number(t, row[7])}).DistM
		if distM < 1000 {
			continue
		}
		slantM := radio.SlantM(distM, 65, official.Number(t, row[9]))
		s.add(row[1], "gateway", 1+i, official.Number(t, row[6])-official.Number(t, row[5]), func() Prediction {
			return Prediction{LevelDBm: [2]float64{-float64(radio.FreeSpace(slantM, 868e6)) - open - 6}, HardwareDB: 3,
				EndsDB: [2]float64{0, end.EndsDB[0]}, SigmaDB: math.Sqrt(9 + 9 + end.EndsDB[0]*end.EndsDB[0])}
		})
	}
	s.check(t, missed{})
}
