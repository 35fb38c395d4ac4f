package linkbudget

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

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
	// Move puts a pole elsewhere, with Changes empty; nil for the other advice.
	Move *Move `json:",omitempty"`
	// Probability and MarginDB are those of the changed path.
	Probability float64
	MarginDB    DB
	// AirtimeRatio is how much longer a packet is on the air, 1 for no change.
	AirtimeRatio float64
	// Unruled says that no rules were there to compare the changed stations with.
	Unruled bool `json:",omitempty"`
	// WantPercent is the probability from which the path reaches, as it was asked for.
	WantPercent float64 `json:",omitempty"`
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
		fmt.Fprintf(&b, "%s %.0f m to the %s, at %.5f, %.5f, where the ground is %.0f m higher",
			m.Station, m.DistM, compassWord(m.AzimuthDeg), m.At.Lon(), m.At.Lat(), m.RiseM)
	}
	fmt.Fprintf(&b, ": %s %%, margin %+.1f dB", ChanceText(a.Probability, a.WantPercent), a.MarginDB)
	if a.AirtimeRatio > 1.005 {
		fmt.Fprintf(&b, ", %.1f times the airtime, at both ends alike", a.AirtimeRatio)
	}
	if a.Unruled {
		b.WriteString("; no band chosen, so no rules compared")
	}
	return b.String()
}

// compassWord is the direction to the nearest of eight.
func compassWord(azimuthDeg float64) string {
	words := [...]string{"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"}
	return words[int(math.Round(azimuthDeg/45))%len(words)]
}

var changeTexts = map[string]string{
	"height_m": "antenna height from %.4g to %.4g m", "sf": "spreading factor from %.0f to %.0f", "bw_khz": "bandwidth from %g to %g kHz",
	"gain_dbi": "antenna gain from %.4g to %.4g dBi", "feed_loss_db": "feed loss from %.3g to %.3g dB", "coax_m": "cable from %.3g to %.3g m",
}

// AdviceLimits bounds what [Advise] may propose.
type AdviceLimits struct {
	// MaxHeightM is the tallest pole, m; 0 means DefaultMaxHeightM.
	MaxHeightM float64
	// MaxGainDBi is the strongest antenna, of those of 3, 5, 6 and 8 dBi; 0 means 6 dBi
	// for an omni and 8 dBi for a sector.
	MaxGainDBi DB
	// Modem allows another spreading factor or bandwidth. A mesh shares one: there the
	// change is for all its poles, of which a path knows nothing.
	Modem bool
	// MinBWHz is the narrowest bandwidth; 0 means 62.5 kHz, below which crystals
	// need temperature compensation.
	MinBWHz float64
	// Within says whether a station that works so is within the rules; nil compares
	// with none, see Advice.Unruled. Nothing is proposed with an end that is not, be it
	// the changed one or the other.
	Within func(Station, Modem) bool
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
	return l
}

// Counsel is what [Advise] found.
type Counsel struct {
	// Advice lists changes that each make the path reach, least effort first:
	// settings, then cable, antenna, mast, another place; where none of these is enough
	// antennas and a mast together. One entry per kind and end.
	Advice []Advice
	// Best tells, where Advice is empty, the highest probability of all that was tried;
	// 0 where nothing was, as an end is beyond the rules as it is.
	Best float64
}

// Advise looks for the least change that makes a path reach, of those that people do.
// A path that reaches already, or over unknown ground, gets none.
func Advise(p terrain.Profile, a, b Station, env Environment, limits AdviceLimits) (Counsel, error) {
	t := &adviser{p: p, a: a, b: b, env: env, limits: limits.withDefaults()}
	r, err := Evaluate(p, a, b, env)
	if err != nil || r.Verdict == Reaches || r.Verdict == Unknown {
		return Counsel{}, err
	}
	for _, try := range []func() error{t.modem, t.cable, t.antenna, t.mast, t.elsewhere, t.together} {
		if err := try(); err != nil {
			return Counsel{}, err
		}
	}
	return Counsel{Advice: t.found, Best: t.best}, nil
}
