package calibrate

import (
	"context"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Prediction is what a plan says of a path before anybody listens, from A to B.
type Prediction struct {
	// Unknown says why there is none: terrain is missing.
	Unknown string
	// LevelDBm arrives at B from A, and at A from B; SensitivityDBm is needed there.
	LevelDBm, SensitivityDBm, NoiseDBm [2]float64
	SigmaDB, HardwareDB                float64    // the stated doubt, and that item of it
	EndsDB                             [2]float64 // its items of what stands around A and B
	DistM                              float64
	Situation                          linkbudget.Situation
	Around                             [2]string // what stands around A and B, in a word
}

// Predictor predicts paths of a plan.
type Predictor struct {
	Plan     *plan.Plan
	DEM      terrain.DEM
	Settings plan.Settings // its calibration, if any, is left out
}

// path is the prediction between two stations of the plan, indices into Plan.Stations; moved,
// if not nil, is where the station stands that moves, end 0 or 1 of the path. Errors are bad
// input, and terrain that could not be read.
func (p Predictor) path(ctx context.Context, a, b int, moved *orb.Point, end int) (Prediction, error) {
	if err := ctx.Err(); err != nil {
		return Prediction{}, err
	}
	stations := [2]*plan.Station{&p.Plan.Stations[a], &p.Plan.Stations[b]}
	at := [2]orb.Point{stations[0].At, stations[1].At}
	if moved != nil {
		at[end] = *moved
	}
	var link *plan.Link
	for i := range p.Plan.Links {
		if l := &p.Plan.Links[i]; l.From == stations[0].Name && l.To == stations[1].Name ||
			l.To == stations[0].Name && l.From == stations[1].Name {
			link = l
		}
	}
	env := p.Settings.LinkEnvironment(link)
	env.Calibration = nil
	var ends [2]linkbudget.Station
	for i, st := range stations {
		var err error
		if ends[i], err = p.Settings.Resolve(st); err != nil {
			return Prediction{}, err
		}
	}
	if !(terrain.Inverse(at[0], at[1]).DistM >= leastPathM) {
		return Prediction{Unknown: fmt.Sprintf("both ends stand within %g m", leastPathM)}, nil
	}
	profile, err := terrain.NewProfile(p.DEM, at[0], at[1], p.Settings.Profile)
	if err != nil {
		return Prediction{}, err
	}
	r, err := linkbudget.Evaluate(profile, ends[0], ends[1], env)
	if err != nil {
		return Prediction{}, err
	}
	return predictionOf(&r, ends, env), nil
}

// leastPathM is below any path worth a terrain profile: two radios on one pole.
const leastPathM = 1.0

// predictionOf is the prediction that a result is, between those ends.
func predictionOf(r *linkbudget.Result, ends [2]linkbudget.Station, env linkbudget.Environment) Prediction {
	if r.Verdict == linkbudget.Unknown {
		return Prediction{Unknown: "terrain is missing", DistM: r.DistM}
	}
	out := Prediction{
		LevelDBm:       [2]float64{float64(r.Forward.RxDBm), float64(r.Backward.RxDBm)},
		SensitivityDBm: [2]float64{float64(r.Forward.SensitivityDBm), float64(r.Backward.SensitivityDBm)},
		NoiseDBm:       [2]float64{float64(r.Forward.NoiseDBm), float64(r.Backward.NoiseDBm)},
		SigmaDB:        float64(r.Doubt.SigmaDB), DistM: r.DistM, Situation: r.Situation,
	}
	for _, item := range r.Doubt.Items {
		if item.Name == "hardware" {
			out.HardwareDB = float64(item.DB)
		}
	}
	for i, sigma := range r.EndDoubtsDB() {
		out.EndsDB[i] = float64(sigma)
		out.Around[i] = ends[i].Surroundings.Word()
		if env.TownPercent != 0 && !ends[i].Surroundings.Stated() {
			out.Around[i] = "town"
		}
	}
	return out
}

// Options are those of a log for a plan: the output of each station, the noise at its
// receiver. The error is bad input.
func (p Predictor) Options() (LogOptions, error) {
	opt := LogOptions{TxDBm: map[string]float64{}, NoiseDBm: map[string]float64{}}
	if p.Plan == nil {
		return opt, fault.Input("calibrate: no plan given")
	}
	if err := p.Settings.Environment.Validate(); err != nil {
		return opt, err
	}
	bw := p.Settings.Environment.Modem.BWHz
	opt.ThermalDBm = -173.975 + 10*math.Log10(bw) // kT0 at 290 K
	for i := range p.Plan.Stations {
		s, err := p.Settings.Resolve(&p.Plan.Stations[i])
		if err != nil {
			return opt, err
		}
		opt.TxDBm[s.Name] = float64(s.TxDBm)
		opt.NoiseDBm[s.Name] = float64(s.NoiseFloor(p.Settings.Environment))
	}
	return opt, nil
}
