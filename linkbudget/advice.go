package linkbudget

import (
	"fmt"
	"strings"

	"github.com/polereach/polereach/terrain"
)

// Change is one setting to change, by the key of the plan file.
type Change struct {
	// Station is the name of the station, "" for a setting of the link.
	Station  string
	Key      string
	From, To float64
}

// Advice is a change that makes a path reach, tried in full. It is tried for
// this one path: raising a pole can also lose another neighbour.
type Advice struct {
	Changes []Change
	// Probability and MarginDB are those of the changed path.
	Probability float64
	MarginDB    DB
	// AirtimeRatio is how much longer a packet is on the air, 1 for no change.
	AirtimeRatio float64
}

// Text is the advice as a sentence without its full stop.
func (a Advice) Text() string {
	var b strings.Builder
	for i, c := range a.Changes {
		switch {
		case i > 0 && c.Station == a.Changes[i-1].Station:
			b.WriteString(", ")
		case i > 0:
			b.WriteString("; ")
		}
		if c.Station != "" && (i == 0 || c.Station != a.Changes[i-1].Station) {
			fmt.Fprintf(&b, "at %s ", c.Station)
		}
		fmt.Fprintf(&b, changeTexts[c.Key], c.From, c.To)
	}
	fmt.Fprintf(&b, ": %s %%, margin %+.1f dB", PercentText(a.Probability), a.MarginDB)
	if a.AirtimeRatio > 1.005 {
		fmt.Fprintf(&b, ", %.1f times the airtime", a.AirtimeRatio)
	}
	return b.String()
}

var changeTexts = map[string]string{
	"height_m": "antenna height from %.4g to %.4g m", "sf": "spreading factor from %.0f to %.0f", "bw_khz": "bandwidth from %g to %g kHz",
	"gain_dbi": "antenna gain from %.4g to %.4g dBi", "feed_loss_db": "feed loss from %.3g to %.3g dB", "coax_m": "cable from %.3g to %.3g m",
}

// AdviceLimits bounds what [Advise] may propose.
type AdviceLimits struct {
	// MaxHeightM is the tallest pole, m; 0 means DefaultMaxHeightM.
	MaxHeightM float64
	// MaxGainDBi is the strongest antenna; 0 means 6 dBi, about a metre of omni, which
	// a pole carries and whose beam is not so flat that a valley falls out of it.
	MaxGainDBi DB
	// KeepModem leaves spreading factor and bandwidth alone: poles of a mesh share them.
	KeepModem bool
	// MinBWHz is the narrowest bandwidth; 0 means 62.5 kHz, below which crystals
	// need temperature compensation.
	MinBWHz float64
	// Lawful says whether a station may work so; nil allows everything. What leaves
	// either end unlawful is not proposed, also where it is that already.
	Lawful func(Station, Modem) bool
}

func (l AdviceLimits) withDefaults() AdviceLimits {
	if l.MaxHeightM == 0 {
		l.MaxHeightM = DefaultMaxHeightM
	}
	if l.MaxGainDBi == 0 {
		l.MaxGainDBi = 6
	}
	if l.MinBWHz == 0 {
		l.MinBWHz = 62500
	}
	if l.Lawful == nil {
		l.Lawful = func(Station, Modem) bool { return true }
	}
	return l
}

// Counsel is what [Advise] found.
type Counsel struct {
	// Advice lists changes that each make the path reach, least effort first:
	// settings, then cable, then antenna, then height. One entry per kind.
	Advice []Advice
	// Best tells the greatest probability of all that was tried, each kind on its own.
	Best float64
	// Beyond says that an end is beyond the limits as it is, so that nothing was tried.
	Beyond bool
}

// Advise looks for the least change that makes a path reach. A path that
// reaches already, or over unknown ground, gets none.
func Advise(p terrain.Profile, a, b Station, env Environment, limits AdviceLimits) (Counsel, error) {
	t := &adviser{p: p, a: a, b: b, env: env, limits: limits.withDefaults()}
	r, err := Evaluate(p, a, b, env)
	if err != nil || r.Verdict == Reaches || r.Verdict == Unknown {
		return Counsel{}, err
	}
	t.best = r.Probability
	for _, try := range []func() error{t.modem, t.cable, t.gain, t.height} {
		if err := try(); err != nil {
			return Counsel{}, err
		}
	}
	beyond := !t.limits.Lawful(a, env.Modem) || !t.limits.Lawful(b, env.Modem)
	return Counsel{Advice: t.found, Best: t.best, Beyond: beyond && len(t.found) == 0}, nil
}

// poleAntennasDBi are the gains of omnidirectional antennas that are sold for poles,
// dBi, rising; common practice.
var poleAntennasDBi = []DB{3, 5, 6, 8, 10, 12}
