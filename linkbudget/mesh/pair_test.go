package mesh_test

import (
	"context"
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
)

// What is kept of a pair is what CheckPath says of it, and adds up.
func TestPairIsThePath(t *testing.T) {
	advised := 0
	for _, freqHz := range []float64{868.1e6, 868.0e6} { // within the band's table, and across the edge of its rows
		opt := hillOptions()
		opt.Settings.Environment.FreqHz = freqHz
		advised += pairsArePaths(t, hills(40, 12), opt)
	}
	if advised == 0 {
		t.Error("no advice for any link: the test says nothing")
	}
}

// pairsArePaths compares every pair with its path and counts the pieces of advice.
func pairsArePaths(t *testing.T, p *plan.Plan, opt mesh.Options) (advised int) {
	t.Helper()
	m, err := mesh.Check(context.Background(), p, rolling{}, opt)
	if err != nil {
		t.Fatal(err)
	}
	for i := range m.Pairs {
		pair := &m.Pairs[i]
		a, b := m.Stations[pair.A], m.Stations[pair.B]
		each := opt.SiteOptions
		if pair.Wanted() && p.Links[pair.Link].SF != nil {
			each.Settings.Environment.Modem.SF = *p.Links[pair.Link].SF
		}
		want, err := mesh.CheckPath(context.Background(), a.Station, b.Station, a.At, b.At, rolling{}, each)
		if err != nil {
			t.Fatal(err)
		}
		if pair.Verdict != want.Verdict || pair.DistM != want.DistM || pair.AzimuthDeg != want.AzimuthDeg {
			t.Fatalf("%+v, want %+v", pair, want.Result)
		}
		if pair.Verdict == linkbudget.Unknown {
			if gap := pair.Gap(); gap == nil || gap.Count != len(want.Gaps) || gap.FromM != want.Gaps[0].FromM {
				t.Errorf("gap %+v, want %+v", gap, want.Gaps)
			}
			continue
		}
		if pair.MarginDB != want.MarginDB || pair.Probability != want.Probability || pair.Delivery != want.Delivery ||
			pair.Path != want.Path || pair.Forward.RxDBm != want.Forward.RxDBm || pair.Backward.SNRDB != want.Backward.SNRDB ||
			pair.PessimisticMarginDB != want.PessimisticMarginDB || pair.ElevationDeg != want.ElevationDeg {
			t.Errorf("%+v, want %+v", pair, want.Result)
		}
		if want.HasWorst != (pair.Worst != nil) || want.HasWorst && (pair.Worst.F1 != want.Worst.Fraction ||
			pair.Worst.LonDeg != want.WorstAt.LonDeg) {
			t.Errorf("clearance %+v, want %+v", pair.Worst, want.Worst)
		}
		if sum := pair.FreeSpaceDB + pair.DiffractionDB + pair.TroposcatterDB +
			pair.ClutterDB; !(math.Abs(float64(sum-pair.LossDB)) <= 1e-9) {
			t.Errorf("losses of %+v add up to %v", pair, sum)
		}
		d, squares := pair.Doubt, 0.0
		for _, s := range []linkbudget.DB{d.ModelDB, d.RippleDB, d.TerrainDB, d.HardwareDB, d.OtherDB} {
			squares += float64(s * s)
		}
		if !(math.Abs(math.Sqrt(squares)-float64(pair.SigmaDB)) <= 1e-9) {
			t.Errorf("doubts of %+v make %g dB", pair, math.Sqrt(squares))
		}
		weaker, from, to := pair.Weaker()
		if weaker.MarginDB != pair.MarginDB || from+to != int(pair.A+pair.B) {
			t.Errorf("weaker direction of %+v: %+v", pair, weaker)
		}
		reasons, counsel := pair.Reasons(), pair.Counsel()
		if (reasons != nil) != pair.Wanted() || (counsel != nil) != (pair.Wanted() && !pair.Solid()) ||
			pair.BeyondRules != (pair.Wanted() && want.BeyondRules()) {
			t.Errorf("wanted %v: reasons %q, counsel %v, beyond %v", pair.Wanted(), reasons, counsel, pair.BeyondRules)
		}
		if counsel != nil {
			advised += len(counsel.Advice)
		}
	}
	return advised
}
