package plan

import "github.com/polereach/polereach/linkbudget"

// keep takes the figures of a path over, the least clearance to where Worst
// points. Field by field: a struct just written is slow to copy.
func (p *Pair) keep(f *linkbudget.Brief) {
	worst := p.Worst
	p.Worst = nil
	p.DistM, p.AzimuthDeg, p.BackAzimuthDeg = f.DistM, f.AzimuthDeg, f.BackAzimuthDeg
	p.Verdict = f.Verdict
	if f.Verdict == linkbudget.Unknown {
		if len(f.Gaps) > 0 {
			g := f.Gaps[0]
			p.Notes = &PairNotes{Gap: &PairGap{g.Flag.String(), g.FromM, g.ToM, g.Place.Lon(), g.Place.Lat(), len(f.Gaps)}}
		}
		return
	}
	p.ElevationDeg, p.BackElevationDeg = f.ElevationDeg, f.BackElevationDeg
	p.Path, p.Situation, p.FilledPoints = f.Path, f.Situation, int32(f.FilledPoints)
	if f.HasWorst {
		w := &f.Worst
		worst.F1, worst.M, worst.AtM, worst.LonDeg, worst.LatDeg = w.Fraction, w.ClearanceM, w.AtM, f.WorstAt.LonDeg, f.WorstAt.LatDeg
		p.Worst = worst
	}
	p.FreeSpaceDB, p.DiffractionDB, p.TroposcatterDB, p.ClutterDB = f.FreeSpaceDB, f.DiffractionDB, f.TroposcatterDB, f.ClutterDB
	p.LossDB = f.LossDB
	p.Forward.keep(&f.Forward)
	p.Backward.keep(&f.Backward)
	p.MarginDB, p.SigmaDB = f.MarginDB, f.SigmaDB
	d := &p.Doubt
	d.ModelDB, d.RippleDB, d.TerrainDB, d.HardwareDB, d.OtherDB = f.Doubt.ModelDB, f.Doubt.RippleDB, f.Doubt.TerrainDB, f.Doubt.HardwareDB, f.Doubt.OtherDB
	p.Probability, p.Delivery = f.Probability, f.Delivery
	p.PessimisticMarginDB, p.PessimisticProbability = f.Pessimistic.MarginDB, f.Pessimistic.Probability
}

// keep takes a level over.
func (d *PairDirection) keep(l *linkbudget.BriefLevel) {
	d.EIRPDBm, d.RxDBm, d.SensitivityDBm, d.SNRDB, d.MarginDB = l.EIRPDBm, l.RxDBm, l.SensitivityDBm, l.SNRDB, l.MarginDB
}
