package plan

import (
	"math"

	"github.com/polereach/polereach/linkbudget"
)

// keep takes the figures of a result over, the least clearance to where Worst
// points.
func (p *Pair) keep(r *linkbudget.Result) {
	worst := p.Worst
	p.Worst = nil
	p.DistM, p.AzimuthDeg, p.BackAzimuthDeg = r.DistM, r.AzimuthDeg, r.BackAzimuthDeg
	p.Verdict = r.Verdict
	if r.Verdict == linkbudget.Unknown {
		if len(r.Gaps) > 0 {
			g := r.Gaps[0]
			p.Gap = &PairGap{g.Flag.String(), g.FromM, g.ToM, g.Place.Lon(), g.Place.Lat(), len(r.Gaps)}
		}
		return
	}
	p.ElevationDeg, p.BackElevationDeg = r.ElevationDeg, r.BackElevationDeg
	p.Path, p.Situation, p.FilledPoints = r.Path, r.Situation, r.FilledPoints
	if r.HasWorst {
		w := r.Worst
		*worst = PairClearance{w.Fraction, w.ClearanceM, w.AtM, r.WorstAt.LonDeg, r.WorstAt.LatDeg}
		p.Worst = worst
	}
	p.losses(r)
	p.Forward, p.Backward = direction(&r.Forward), direction(&r.Backward)
	p.MarginDB, p.SigmaDB, p.Probability = r.MarginDB, r.Doubt.SigmaDB, r.Probability
	p.doubts(r.Doubt.Items)
	p.PessimisticMarginDB, p.PessimisticProbability = r.Pessimistic.MarginDB, r.Pessimistic.Probability
}

func (p *Pair) losses(r *linkbudget.Result) {
	p.LossDB = r.LossDB
	for _, t := range r.Terms {
		switch t.Name {
		case "free space":
			p.FreeSpaceDB += t.DB
		case "diffraction":
			p.DiffractionDB += t.DB
		case "troposcatter":
			p.TroposcatterDB += t.DB
		default:
			p.ClutterDB += t.DB
		}
	}
}

func (p *Pair) doubts(items []linkbudget.Term) {
	d := &p.Doubt
	for _, t := range items {
		switch t.Name {
		case "model":
			d.ModelDB = t.DB
		case "ripple":
			d.RippleDB = t.DB
		case "terrain":
			d.TerrainDB = t.DB
		case "hardware":
			d.HardwareDB = t.DB
		default:
			d.OtherDB = linkbudget.DB(math.Hypot(float64(d.OtherDB), float64(t.DB)))
		}
	}
}

func direction(d *linkbudget.Direction) PairDirection {
	return PairDirection{d.EIRPDBm, d.RxDBm, d.SensitivityDBm, d.SNRDB, d.MarginDB}
}
