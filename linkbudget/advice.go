package linkbudget

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/terrain"
)

// Change is one setting to change, by the key of the plan file.
type Change struct {
	// Station is the name of the station, "" for a setting of the link.
	Station  string
	Key      string
	From, To float64
}

// Move is another place for a pole.
type Move struct {
	Station string
	At      orb.Point // longitude, latitude, degrees
	// DistM and AzimuthDeg lead there from where the pole stands or was to stand; RiseM
	// is how much higher the ground is there.
	DistM, AzimuthDeg, RiseM float64
}

// Advice is a change that makes a path reach, tried in full. It is tried for
// this one path: moving or raising a pole can also lose another neighbour.
type Advice struct {
	Changes []Change
	// Move puts a pole elsewhere, without Changes; nil for other advice.
	Move *Move `json:",omitempty"`
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
	if m := a.Move; m != nil {
		fmt.Fprintf(&b, "%s %.0f m to the %s, at %.5f, %.5f, on ground %.0f m higher",
			m.Station, m.DistM, compassWord(m.AzimuthDeg), m.At.Lon(), m.At.Lat(), m.RiseM)
	}
	fmt.Fprintf(&b, ": %s %%, margin %+.1f dB", PercentText(a.Probability), a.MarginDB)
	if a.AirtimeRatio > 1.005 {
		fmt.Fprintf(&b, ", %.1f times the airtime, at both ends alike", a.AirtimeRatio)
	}
	return b.String()
}

// compassWord is the direction to the nearest of eight.
func compassWord(azimuthDeg float64) string {
	words := [...]string{"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"}
	return words[(int(math.Round(azimuthDeg/45))%len(words)+len(words))%len(words)]
}

var changeTexts = map[string]string{
	"height_m": "antenna height from %.4g to %.4g m", "sf": "spreading factor from %.0f to %.0f",
	"bw_khz":   "bandwidth from %g to %g kHz",
	"gain_dbi": "antenna gain from %.4g to %.4g dBi", "feed_loss_db": "feed loss from %.3g to %.3g dB",
	"coax_m": "cable from %.3g to %.3g m",
}

// AdviceLimits bounds what [Advise] may propose.
type AdviceLimits struct {
	// MaxHeightM is the tallest pole, m; 0 means DefaultMaxHeightM.
	MaxHeightM float64
	// MaxGainDBi is the strongest antenna; 0 means 8 dBi for a sector, else 6 dBi, about a
	// metre of omni, which a pole carries and whose beam is not so flat that a valley falls
	// out of it.
	MaxGainDBi DB
	// KeepModem leaves spreading factor and bandwidth alone: poles of a mesh share them.
	KeepModem bool
	// MinBWHz is the narrowest bandwidth; 0 means 62.5 kHz, below which crystals
	// need temperature compensation.
	MinBWHz float64
	// Lawful says whether a station may work so; nil allows everything. What leaves
	// either end unlawful is not proposed, also where it is that already.
	Lawful func(Station, Modem) bool
	// Nearby calls try for other places of A, or of B, with the ground from A to B, until
	// try is done; the least effort first. nil: no pole is moved.
	Nearby func(ofB bool, try func(terrain.Profile, Move) (done bool, err error)) error
}

func (l AdviceLimits) withDefaults() AdviceLimits {
	if l.MaxHeightM == 0 {
		l.MaxHeightM = DefaultMaxHeightM
	}
	if l.MinBWHz == 0 {
		l.MinBWHz = 62500
	}
	if l.Lawful == nil {
		l.Lawful = func(Station, Modem) bool { return true }
	}
	return l
}

func (l AdviceLimits) maxGain(beam antenna.Beam) DB {
	switch {
	case l.MaxGainDBi != 0:
		return l.MaxGainDBi
	case beam == antenna.BeamSector:
		return 8
	}
	return 6
}

// Counsel is what [Advise] found.
type Counsel struct {
	// Advice lists changes that each make the path reach, least effort first:
	// settings, then cable, then antenna, height, another place. One entry per kind and end.
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
	for _, try := range []func() error{t.modem, t.cable, t.gain, t.height, t.elsewhere} {
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
