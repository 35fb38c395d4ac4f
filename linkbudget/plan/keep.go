package plan

import "github.com/polereach/polereach/linkbudget"

// keep takes the figures of a path over, the least clearance to where Worst
// points.
func (p *Pair) keep(f *linkbudget.Brief) {
	worst := p.Worst
	p.Worst = nil
	p.DistM, p.AzimuthDeg, p.BackAzimuthDeg = f.DistM, f.AzimuthDeg, f.BackAzimuthDeg
	p.Verdict = f.Verdict
	if f.Verdict == linkbudget.Unknown {
		if len(f.Gaps) > 0 {
			g := f.Gaps[0]
			p.Gap = &PairGap{g.Flag.String(), g.FromM, g.ToM, g.Place.Lon(), g.Place.Lat(), len(f.Gaps)}
		}
		return
	}
	p.ElevationDeg, p.BackElevationDeg = f.ElevationDeg, f.BackElevationDeg
	p.Path, p.Situation, p.FilledPoints = f.Path, f.Situation, f.FilledPoints
	if f.HasWorst {
		w := &f.Worst
		*worst = PairClearance{w.Fraction, w.ClearanceM, w.AtM, f.WorstAt.LonDeg, f.WorstAt.LatDeg}
		p.Worst = worst
	}
	p.FreeSpaceDB, p.DiffractionDB, p.TroposcatterDB, p.ClutterDB = f.FreeSpaceDB, f.DiffractionDB, f.TroposcatterDB, f.ClutterDB
	p.LossDB = f.LossDB
	p.Forward, p.Backward = PairDirection(f.Forward), PairDirection(f.Backward)
	p.MarginDB, p.Doubt, p.SigmaDB = f.MarginDB, PairDoubt(f.Doubt), f.SigmaDB
	p.Probability, p.Delivery = f.Probability, f.Delivery
	p.PessimisticMarginDB, p.PessimisticProbability = f.Pessimistic.MarginDB, f.Pessimistic.Probability
}
