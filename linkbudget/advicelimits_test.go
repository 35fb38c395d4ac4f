package linkbudget_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// Masts as people put them up: every metre to 10, then 12, 15, 20, 25, 30.
func TestMastHeights(t *testing.T) {
	want := []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 20, 25, 30, 40, 50, 60}
	if diff := cmp.Diff(want, linkbudget.MastHeightsM(60)); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]float64{1, 2, 3, 3.5}, linkbudget.MastHeightsM(3.5)); diff != "" {
		t.Error(diff)
	}
}

// What is proposed is something that people put up: a mast of those heights, an antenna of
// 3, 5 or 6 dBi, at one end before both; and no other modem where poles share it.
func TestAdviceIsWhatPeopleWouldDo(t *testing.T) {
	env := linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}}
	kinds := map[string]int{}
	for _, heightM := range []float64{2.3, 3.7, 5} {
		for _, lengthM := range []float64{1500, 2500, 4000, 6000, 9000} {
			p := profile(lengthM, 2+int(lengthM/30), func(x float64) float64 { return 100 + 12*x*(1-x)*float64(int(x*40)%3) })
			a, b := linkbudget.DefaultStation("a", heightM), linkbudget.DefaultStation("b", heightM)
			counsel, err := linkbudget.Advise(p, a, b, env, linkbudget.AdviceLimits{KeepModem: true})
			if err != nil {
				t.Fatal(err)
			}
			for _, advice := range counsel.Advice {
				for _, c := range advice.Changes {
					kinds[c.Key]++
					switch {
					case c.Key == "height_m" && slices.Contains(linkbudget.MastHeightsM(30), c.To):
					case c.Key == "gain_dbi" && slices.Contains([]float64{3, 5, 6}, c.To):
					default:
						t.Errorf("%g m, %g m up: %s", lengthM, heightM, advice.Text())
					}
				}
				if len(advice.Changes) == 2 { // both ends: no other advice of that key at one
					for _, other := range counsel.Advice {
						if len(other.Changes) == 1 && other.Changes[0].Key == advice.Changes[0].Key {
							t.Errorf("%s, though %s", advice.Text(), other.Text())
						}
					}
				}
			}
		}
	}
	if kinds["height_m"] == 0 || kinds["gain_dbi"] == 0 {
		t.Errorf("advice by kind %v: too little to say anything", kinds)
	}
}

// Nothing is proposed that leaves an end beyond the limits, also where one is beyond already.
func TestAdviceLeavesNobodyBeyond(t *testing.T) {
	var p terrain.Profile = profile(5e3, 100, func(float64) float64 { return 100 })
	a, b := linkbudget.DefaultStation("a", 3), linkbudget.DefaultStation("b", 3)
	env := linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}}
	b.TxDBm = 20
	within := func(s linkbudget.Station, _ linkbudget.Modem) bool { return s.TxDBm <= 14 }
	counsel, err := linkbudget.Advise(p, a, b, env, linkbudget.AdviceLimits{Lawful: within})
	if err != nil || len(counsel.Advice) > 0 || !counsel.Beyond {
		var texts []string
		for _, advice := range counsel.Advice {
			texts = append(texts, advice.Text())
		}
		t.Errorf("%v, beyond %v: %s", err, counsel.Beyond, strings.Join(texts, "; "))
	}
}

// Another antenna has the beam that its own gain implies, not that stated of the old one:
// its path is that of a station that never stated any. The ground falls by 11 degrees.
func TestAdviceOfAnotherAntenna(t *testing.T) {
	p := profile(2000, 100, func(x float64) float64 { return 500 - 400*x })
	env := linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}}
	tried := 0
	for tx := linkbudget.DBm(14); tx >= -30; tx-- {
		a, b := linkbudget.DefaultStation("a", 10), linkbudget.DefaultStation("b", 10)
		a.TxDBm, b.TxDBm, a.Antenna.VerticalBeamwidthDeg = tx, tx, 5
		counsel, err := linkbudget.Advise(p, a, b, env, linkbudget.AdviceLimits{KeepModem: true})
		if err != nil {
			t.Fatal(err)
		}
		for _, advice := range counsel.Advice {
			if len(advice.Changes) != 1 || advice.Changes[0].Key != "gain_dbi" || advice.Changes[0].Station != "a" {
				continue
			}
			tried++
			changed := a
			changed.Antenna.PeakDBi, changed.Antenna.VerticalBeamwidthDeg = linkbudget.DB(advice.Changes[0].To), 0
			r, err := linkbudget.Evaluate(p, changed, b, env)
			if err != nil || advice.MarginDB != r.Weaker().MarginDB {
				t.Errorf("%g dBm: %s, want %+.1f dB, %v", float64(tx), advice.Text(), float64(r.Weaker().MarginDB), err)
			}
		}
	}
	if tried == 0 {
		t.Error("no antenna was proposed")
	}
}
