package linkbudget

import (
	"math"

	"github.com/polereach/polereach/linkbudget/clutter"
)

// Surroundings is what stands around an antenna that does not rise above it. Of an
// end of which nothing is said open country is assumed, as measurements ask: an
// antenna at 1 to 3 m stands among grass, fences, bushes and undulations that no
// terrain model holds. At most one of Inside and WoodM may be given: both mean the
// same trees.
type Surroundings struct {
	// Inside is the class; unstated counts as open, unless Environment.TownPercent
	// puts a town there. Free says that somebody looked: nothing rises near the
	// antenna towards the neighbour.
	Inside clutter.Class
	// TopM is the height of the clutter, m; 0 means that of the class.
	TopM float64
	// WoodM is the way through the wood in front of the antenna, m; 0 to 2000.
	WoodM float64
}

// built reports clutter that closes in on the antenna: a class above open, or a wood.
func (s Surroundings) built() bool { return s.Inside > clutter.Open || s.WoodM > 0 }

// Stated reports whether anything is said of the surroundings.
func (s Surroundings) Stated() bool { return s.Inside != clutter.Unstated || s.WoodM > 0 }

// Word is what stands there in a word: a class, wood, or unstated.
func (s Surroundings) Word() string {
	switch {
	case s.WoodM > 0:
		return clutter.Wood.String()
	case s.Inside == clutter.Unstated:
		return "unstated"
	}
	return s.Inside.String()
}

// class is what stands there: open country where nothing is said.
func (s Surroundings) class() clutter.Class {
	if s.Inside == clutter.Unstated {
		return clutter.Open
	}
	return s.Inside
}

// topM is the height of what stands there, 0 for nothing.
func (s Surroundings) topM() float64 {
	if top := s.class().TerminalHeightM(); top == 0 || s.TopM == 0 {
		return top
	}
	return s.TopM
}

// sunken is how far an antenna shares the lot of its clutter: 1 below the tops
// and behind a wood, falling to 0 at 10 m over the tops, u_h of ITU-R P.1812-6
// §4.8.
func (s *Station) sunken() float64 {
	topM := s.Surroundings.topM()
	switch {
	case s.Surroundings.WoodM > 0:
		return 1
	case topM == 0:
		return 0
	}
	return min(max(1-(s.HeightM-topM)/10, 0), 1)
}

// endLoss is what the surroundings of one end cost, and how far that may be off.
type endLoss struct{ lossDB, sigmaDB DB }

// endSigmaDB is the spread of the loss from place to place of one kind, for one end at
// which nobody looked: with 3 dB of the method two low ends come to 9 dB, and 8 to 9 dB
// about the median were measured between sites in the country on paths called clear.
// Those inside clutter and in towns are taken alike.
const endSigmaDB DB = 6

// inTown reports whether the end stands in the town of Environment.TownPercent:
// nothing is said of it, and it is less than 10 m over the roofs, which are 10 m high
// unless TopM says otherwise (P.2108-1 §3.1, suburban). The town's loss is that of §3.2
// below them and falls with sunken above. Engineering judgement.
func (s *Station) inTown(env *Environment) bool {
	return env.TownPercent != 0 && !s.Surroundings.Stated() && s.sunken() > 0
}

// endLoss finds what an end costs on a path of distM, which matters in a town alone;
// contradictions have been refused before.
func (s *Station) endLoss(distM float64, env *Environment) (e endLoss) {
	around := s.Surroundings
	if s.inTown(env) {
		town := clutter.Statistical{DistM: math.Max(distM, 250), FreqHz: env.FreqHz, Percent: env.TownPercent}
		sunken := DB(s.sunken())
		if loss, err := town.Loss(); err == nil {
			e.lossDB = loss * sunken
		}
		e.sigmaDB = endSigmaDB * sunken
		if spread, err := town.Spread(); err == nil &&
			env.TownPercent == 50 { // another share of places has the spread in the loss already
			e.sigmaDB = DB(math.Hypot(float64(endSigmaDB), float64(spread))) * sunken
		}
		return e
	}
	e.sigmaDB = endSigmaDB * DB(s.sunken())
	if around.WoodM > 0 {
		if loss, err := (clutter.Woodland{DepthM: around.WoodM, FreqHz: env.FreqHz}).Loss(); err == nil {
			e.lossDB = loss
		}
		return e
	}
	e.lossDB = clutter.Terminal{Clutter: around.class(), HeightM: s.HeightM, FreqHz: env.FreqHz, TopM: around.TopM}.Loss()
	return e
}

// ReckonedM is the height above ground from which a path is reckoned, m: that of the
// antenna, or of the tops around it where it stands in a town or a class above open,
// whose loss counts from there (ITU-R P.2108-1 §3.1 eq (2a) is J(ν) less J(0), §3.2 for a
// terminal below the roofs). Open country's is a height gain to the antenna's own place.
func (s *Station) ReckonedM(env Environment) float64 {
	if s.inTown(&env) || s.Surroundings.Inside > clutter.Open {
		return max(s.HeightM, s.Surroundings.topM())
	}
	return s.HeightM
}

// Words by which [Result.Assumed] finds an end of which nothing is said.
const (
	assumedSource = "ITU-R P.2108-1 §3.1 eq (2b), assumed"
	openTerm      = "open country at "
	endDoubt      = "surroundings of "
	besideDoubt   = "beside its mast at "
)

// endTerm is the line of the budget for an end.
func (s *Station) endTerm(loss DB, env *Environment) Term {
	around, at := s.Surroundings, " at "+s.Name
	switch {
	case s.inTown(env) && s.sunken() < 1:
		return Term{"town" + at, loss, "ITU-R P.2108-1 §3.2, falling to none 10 m over the roofs"}
	case s.inTown(env):
		return Term{"town" + at, loss, "ITU-R P.2108-1 §3.2"}
	case around.WoodM > 0:
		return Term{"wood" + at, loss, "ITU-R P.833-10 §2.1"}
	case around.Inside == clutter.Unstated:
		return Term{openTerm + s.Name, loss, assumedSource}
	case around.Inside == clutter.Open:
		return Term{openTerm + s.Name, loss, "ITU-R P.2108-1 §3.1 eq (2b)"}
	}
	return Term{around.Inside.String() + at, loss, "ITU-R P.2108-1 §3.1 eq (2a)"}
}

// endDoubtSource says where the doubt of an end comes from.
func (s *Station) endDoubtSource(env *Environment) string {
	switch {
	case s.inTown(env):
		return "ITU-R P.2108-1 §3.2, from place to place"
	case s.Surroundings.built():
		return "engineering judgement, as measured in open country"
	}
	return "spread between sites measured in open country, antennas at 2.5 m"
}
