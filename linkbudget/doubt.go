package linkbudget

import (
	"fmt"
	"math"

	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/internal/words"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/linkbudget/reflection"
)

// Doubt is how far the prediction may be off, itemised. The items are standard
// deviations in decibels of independent causes; their squares add up.
type Doubt struct {
	Items   []Term
	SigmaDB DB
}

func (d *Doubt) add(name string, sigma DB, source string) {
	if sigma == 0 {
		return
	}
	d.Items = append(d.Items, Term{name, sigma, source})
}

// Parts are the items by their cause.
func (d Doubt) Parts() (p DoubtParts) {
	var others DB
	for _, item := range d.Items {
		switch item.Name {
		case "model":
			p.ModelDB = item.DB
		case "ripple":
			p.RippleDB = item.DB
		case "terrain":
			p.TerrainDB = item.DB
		case "hardware":
			p.HardwareDB = item.DB
		default:
			others += item.DB * item.DB
		}
	}
	p.OtherDB = DB(math.Sqrt(float64(others)))
	return p
}

// Chance returns the chance, 0 to 1, that a direction with this median margin closes:
// Phi(margin/sigma), and where CoverDB is known none better than without what stands there.
// Fading in time is not part of it.
func (s *Summary) Chance(margin DB) float64 {
	if s.SigmaDB == 0 {
		if margin >= 0 {
			return 1
		}
		return 0
	}
	deviations := margin / s.SigmaDB
	if bare := s.SigmaDB*s.SigmaDB - s.CoverDB*s.CoverDB; s.CoverDB > 0 && bare > 0 {
		deviations = min(deviations, (margin+s.CoverDB)/DB(math.Sqrt(float64(bare))))
	}
	return radio.Phi(float64(deviations))
}

// Leading returns the largest item, where the doubt mostly comes from.
func (d Doubt) Leading() Term {
	var most Term
	for _, item := range d.Items {
		if item.DB > most.DB {
			most = item
		}
	}
	return most
}

// Situation names the kind of path, which decides how good the model is, in a
// few words, as text too; zero is none. String gives them, as with [Verdict].
type Situation int8

// The four situations of the doubt.
const (
	SituationClear      Situation = iota + 1 // "clear": 0.6 of the first Fresnel zone is free
	SituationLow                             // "low over flat": line of sight, antennas low over smooth ground
	SituationObstructed                      // "obstructed": ground in the zone or in the line of sight
	SituationDeep                            // "deep in a shadow": diffraction above 30 dB
)

var situationWords = words.List{"", "clear", "low over flat", "obstructed", "deep in a shadow"}

// String returns the word, which is empty for none.
func (s Situation) String() string { return situationWords.Of(int8(s)) }

// MarshalText returns the word. The error is of a value that is none of the
// constants and not zero.
func (s Situation) MarshalText() ([]byte, error) { return situationWords.Text("situation", int8(s)) }

// UnmarshalText takes a word, or nothing for none. The error lists what is allowed.
func (s *Situation) UnmarshalText(text []byte) error {
	return words.Read(situationWords, "situation", text, s)
}

const deepFromDB DB = 30

// situation classifies the path.
func situation(path diffraction.PathClass, d *diffraction.Loss) Situation {
	switch {
	case d.LossDB > deepFromDB:
		return SituationDeep
	case path == diffraction.PathClear && d.LossDB < telling:
		return SituationClear
	case d.LineOfSight && d.SphericalDB-d.SmoothDB > d.BullingtonDB:
		return SituationLow
	}
	return SituationObstructed
}

// ModelDoubtDB is the standard deviation of the method itself between two ends of
// which nothing is unknown: 3 dB on a clear path, 6 to 8 dB behind an obstacle, 8 to
// 10 dB in deep shadow, growing with the diffraction loss, so that no small change of
// a path makes it jump. Engineering judgement; with the doubt of two ends that nobody
// looked at it comes to 9 to 13 dB, where comparisons with measurements have 6 to 11.
func ModelDoubtDB(diffraction DB) DB {
	knots := [...]struct{ loss, sigma DB }{{0, 3}, {6, 6}, {deepFromDB, 8}, {50, 10}}
	for i := 1; i < len(knots); i++ {
		if lo, hi := knots[i-1], knots[i]; diffraction < hi.loss {
			return lo.sigma + (hi.sigma-lo.sigma)*(diffraction-lo.loss)/(hi.loss-lo.loss)
		}
	}
	return knots[len(knots)-1].sigma
}

// Standard deviations of the parts that do not depend on the path.
const (
	// Between the sets that DefaultHardwareDB names the mean differs by so much.
	hardwareDoubt DB = 3
	coverDoubt    DB = 6 // a class height on the whole profile; engineering judgement
)

// doubts are the standard deviations of the causes, in decibels, 0 for none.
type doubts struct {
	model, ripple, terrain DB
	steadyDoubts
}

// steadyDoubts are those that no ground changes.
type steadyDoubts struct {
	ends            [2]DB // what stands around A and B
	cover, hardware DB
	beside          [2]DB // its mast, A and B
}

// find makes d, which must be empty, those of a path.
func (d *steadyDoubts) find(distM float64, a, b *PreparedStation, env *Environment) {
	d.hardware = hardwareDoubt
	for i, s := range [2]*PreparedStation{a, b} {
		d.ends[i] = s.end(distM, env).sigmaDB
		if s.station.SideMounted {
			d.beside[i] = antenna.SideMountSigma
		}
	}
	if env.Cover > clutter.Open {
		d.cover = coverDoubt
	}
}

// others is all of them but the hardware.
func (d *steadyDoubts) others() DB {
	return DB(math.Sqrt(float64(d.otherSquares())))
}

// sigma is all doubts together.
func (d *doubts) sigma() DB {
	squares := d.model*d.model + d.ripple*d.ripple + d.terrain*d.terrain + d.hardware*d.hardware + d.otherSquares()
	return DB(math.Sqrt(float64(squares)))
}

func (d *steadyDoubts) otherSquares() DB {
	return d.ends[0]*d.ends[0] + d.ends[1]*d.ends[1] + d.cover*d.cover + d.beside[0]*d.beside[0] + d.beside[1]*d.beside[1]
}

// doubt collects the doubt of a path: model, ripple, terrain, ends and hardware. Ripple
// counts where a reflection is possible, its zone smooth by the Rayleigh criterion and
// open; elsewhere the reflected wave is in the diffraction term or scattered.
func (e *evaluation) doubt(f *Brief) {
	env := &e.conditions.env
	d := &e.doubts
	*d = doubts{}
	d.model, d.terrain = ModelDoubtDB(f.DiffractionDB), e.ground.TerrainDoubt(e.sight.WavelengthM)
	d.find(f.DistM, e.a, e.b, env)
	on := &e.on
	if e.profile.Standing != nil {
		for i := range d.ends {
			if w := &on.ends[i]; w.is {
				d.ends[i] = max(d.ends[i], endSigmaDB*DB(1-w.kept))
			}
		}
		d.cover = max(e.loss.coverDoubt, -coverDoubt*DB(math.Expm1(-float64(e.loss.through)/6)))
		if f.HasWorst {
			d.cover = max(d.cover, coverDoubt*DB(on.deciding(e.sight.ClutterM, f.Worst.Index, f.DiffractionDB)))
		}
	}
	if env.Cover <= clutter.Open && !e.a.station.Surroundings.built() && !e.b.station.Surroundings.built() &&
		f.Path == diffraction.PathClear {
		if ref := e.reflected(); ref != nil && ref.Smooth && ref.Possible() {
			d.ripple = reflection.RippleSigma(ref.Rho) * DB(on.bare(ref.AtM))
		}
	}
	if env.Calibration != nil {
		d.calibrate(env.Calibration, &e.both.calibrated)
	}
	of := &f.Doubt
	of.ModelDB, of.RippleDB, of.TerrainDB, of.HardwareDB, of.OtherDB = d.model, d.ripple, d.terrain, d.hardware, d.others()
	f.SigmaDB, f.CoverDB = d.sigma(), e.loss.coverDoubt
}

// list lists the doubts in the memory given.
func (w *workspace) list(memory []Term, d *doubts, s Situation, a, b *Station) Doubt {
	out := Doubt{Items: memory, SigmaDB: d.sigma()}
	out.add("model", d.model, "engineering judgement, path "+s.String())
	out.add("ripple", d.ripple, "two rays of unknown phase, propagation series of ln|1+rho e^(j phi)|")
	out.add("terrain", d.terrain, fmt.Sprintf(
		"ground off by the terrain model's error of %g m, against both antennas", w.conditions.env.Terrain.SigmaM))
	ends := [2]*Station{a, b}
	for i, s := range ends {
		if d.ends[i] > 0 {
			out.add(endDoubt+s.Name, d.ends[i], s.endDoubtSource(&w.conditions.env))
		}
	}
	out.add("cover", d.cover, map[bool]string{false: "engineering judgement",
		true: "half of what it adds, as the terrain may hold it"}[w.on.layered])
	if w.conditions.env.Calibration != nil {
		out.add(w.both.calibrated.doubt(), d.hardware, "calibration")
	} else {
		out.add("hardware", d.hardware, "between the open measurements of others")
	}
	for i, s := range ends {
		if d.beside[i] > 0 {
			out.add(besideDoubt+s.Name, d.beside[i], "engineering judgement")
		}
	}
	return out
}
