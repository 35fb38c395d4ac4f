package linkbudget_test

import (
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget"
)

// Two poles 3 m up over 3 km of open ground: raising either pays, at least what open
// country then costs less (K_h2 log10 of the heights up to 10 m, ITU-R P.2108-1 §3.1
// (2b), 21.4 dB at 868 MHz), and the advice says so for each of the low ends.
func TestAdviceRaisesLowEnds(t *testing.T) {
	ground := profile(3e3, 101, func(float64) float64 { return 100 })
	a, b := linkbudget.DefaultStation("a", 3), linkbudget.DefaultStation("b", 3)
	env := environment()
	env.FreqHz = 868e6
	before, err := linkbudget.Evaluate(ground, a, b, env)
	if err != nil || before.Verdict == linkbudget.Reaches {
		t.Fatal(before.Verdict, err)
	}
	counsel, err := linkbudget.Advise(ground, a, b, env, linkbudget.AdviceLimits{})
	if err != nil {
		t.Fatal(err)
	}
	raised := map[string]float64{}
	for _, advice := range counsel.Advice {
		for _, c := range advice.Changes {
			if c.Key == "height_m" {
				raised[c.Station] = c.To
				pays := 21.42 * math.Log10(min(c.To, 10)/3)
				if more := float64(advice.MarginDB - before.MarginDB); len(advice.Changes) == 1 && !(more >= pays-0.1) {
					t.Errorf("%s: wins %.1f dB, open country alone %.1f", advice.Text(), more, pays)
				}
			}
		}
		t.Log(advice.Text())
	}
	if len(raised) != 2 {
		t.Errorf("raised %v, want both low ends", raised)
	}
}
