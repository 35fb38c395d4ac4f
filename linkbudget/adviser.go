package linkbudget

import (
	"sort"

	"github.com/polereach/polereach/terrain"
)

// adviser tries changes one kind at a time, smallest first, and keeps the
// first of each kind that reaches.
type adviser struct {
	p      terrain.Profile
	a, b   Station
	env    Environment
	limits AdviceLimits
	found  []Advice
	best   float64
}

// try evaluates a changed path and keeps it when it reaches.
func (t *adviser) try(a, b Station, env Environment, changes ...Change) (bool, error) {
	if !t.limits.Lawful(a, env.Modem) || !t.limits.Lawful(b, env.Modem) {
		return false, nil
	}
	r, err := Evaluate(t.p, a, b, env)
	if err != nil {
		return false, err
	}
	t.best = max(t.best, r.Probability)
	if r.Verdict != Reaches {
		return false, nil
	}
	sort.SliceStable(changes, func(i, j int) bool { return t.order(changes[i]) < t.order(changes[j]) })
	t.found = append(t.found, Advice{
		Changes: changes, Probability: r.Probability, MarginDB: r.MarginDB,
		AirtimeRatio: airtimeRatio(t.env, env),
	})
	return true, nil
}

// order puts settings of the link first, then those of A, then those of B.
func (t *adviser) order(c Change) int {
	switch c.Station {
	case "":
		return 0
	case t.a.Name:
		return 1
	}
	return 2
}

// airtimeRatio compares the airtime of the environment's packet.
func airtimeRatio(before, after Environment) float64 {
	packet := before.Packet
	if packet == (Packet{}) {
		packet = DefaultPacket
	}
	was, err1 := TimeOnAir(before.Modem, packet, before.Family)
	is, err2 := TimeOnAir(after.Modem, packet, after.Family)
	if err1 != nil || err2 != nil {
		return 1
	}
	return is.TotalS / was.TotalS
}

func (t *adviser) modem() error {
	for sf := t.env.Modem.SF + 1; sf <= maxSF; sf++ {
		if ok, err := t.modemOf(sf, t.env.Modem.BWHz); ok || err != nil {
			if err != nil {
				return err
			}
			break
		}
	}
	widths := Bandwidths()
	for i := len(widths) - 1; i >= 0; i-- { // widest first
		if widths[i] < t.env.Modem.BWHz && widths[i] >= t.limits.MinBWHz {
			if ok, err := t.modemOf(t.env.Modem.SF, widths[i]); ok || err != nil {
				return err
			}
		}
	}
	return nil
}

func (t *adviser) modemOf(sf int, bwHz float64) (bool, error) {
	env := t.env
	env.Modem.SF, env.Modem.BWHz = sf, bwHz
	return t.try(t.a, t.b, env, t.modemChanges(env)...)
}

func (t *adviser) modemChanges(env Environment) []Change {
	var out []Change
	if env.Modem.SF != t.env.Modem.SF {
		out = append(out, Change{"", "sf", float64(t.env.Modem.SF), float64(env.Modem.SF)})
	}
	if env.Modem.BWHz != t.env.Modem.BWHz {
		out = append(out, Change{"", "bw_khz", BandwidthLabelKHz(t.env.Modem.BWHz), BandwidthLabelKHz(env.Modem.BWHz)})
	}
	return out
}

// cable takes out feed loss at both ends, a quarter at a time.
func (t *adviser) cable() error {
	for _, keep := range []float64{0.75, 0.5, 0.25, 0} {
		a, b := t.a, t.b
		changes := append(lessFeed(&a, keep), lessFeed(&b, keep)...)
		if len(changes) == 0 {
			return nil
		}
		if ok, err := t.try(a, b, t.env, changes...); ok || err != nil {
			return err
		}
	}
	return nil
}

func lessFeed(s *Station, keep float64) []Change {
	var out []Change
	if loss := s.FeedLossDB; loss > 0 {
		s.FeedLossDB *= DB(keep)
		out = append(out, Change{s.Name, "feed_loss_db", float64(loss), float64(s.FeedLossDB)})
	}
	if length := s.Feeder.LengthM; length > 0 && s.Feeder.Coax != (Coax{}) {
		s.Feeder.LengthM *= keep
		out = append(out, Change{s.Name, "coax_m", length, s.Feeder.LengthM})
	}
	return out
}

// gain raises the antenna of A, of B, then of both, decibel by decibel.
func (t *adviser) gain() error {
	for _, ends := range []Ends{EndA, EndB, BothEnds} {
		for step := DB(1); ; step++ {
			a, b := t.a, t.b
			var changes []Change
			if ends&EndA != 0 {
				changes = append(changes, t.moreGain(&a, step)...)
			}
			if ends&EndB != 0 {
				changes = append(changes, t.moreGain(&b, step)...)
			}
			if len(changes) == 0 {
				break
			}
			ok, err := t.try(a, b, t.env, changes...)
			if err != nil {
				return err
			}
			if ok {
				return nil
			}
		}
	}
	return nil
}

func (t *adviser) moreGain(s *Station, step DB) []Change {
	was := s.Antenna.PeakDBi
	if was+step > t.limits.MaxGainDBi {
		return nil
	}
	s.Antenna.PeakDBi += step
	return []Change{{s.Name, "gain_dbi", float64(was), float64(s.Antenna.PeakDBi)}}
}

// height raises the antenna of A, of B, or both; each that reaches is kept,
// since who owns which pole is not known here.
func (t *adviser) height() error {
	for _, ends := range []Ends{EndA, EndB, BothEnds} {
		if ends == BothEnds && t.raised() {
			return nil
		}
		if err := t.heightOf(ends, t.a, t.b, t.env); err != nil {
			return err
		}
	}
	return nil
}

func (t *adviser) raised() bool {
	for _, advice := range t.found {
		if advice.Changes[0].Key == "height_m" {
			return true
		}
	}
	return false
}

func (t *adviser) heightOf(ends Ends, a, b Station, env Environment, also ...Change) error {
	h, err := MinHeight(t.p, a, b, env, HeightSearch{Ends: ends, MaxM: t.limits.MaxHeightM})
	if err != nil {
		return err
	}
	t.best = max(t.best, h.Result.Probability)
	if !h.Found {
		return nil
	}
	changes := append([]Change(nil), also...)
	if h.AHeightM != t.a.HeightM {
		changes = append(changes, Change{t.a.Name, "height_m", t.a.HeightM, h.AHeightM})
	}
	if h.BHeightM != t.b.HeightM {
		changes = append(changes, Change{t.b.Name, "height_m", t.b.HeightM, h.BHeightM})
	}
	a.HeightM, b.HeightM = h.AHeightM, h.BHeightM
	_, err = t.try(a, b, env, changes...)
	return err
}

// everything tries the slowest lawful modem of the same bandwidth with taller
// poles, when nothing alone was enough; then the strongest antennas on top.
func (t *adviser) everything() error {
	env := t.env
	for sf := maxSF; sf > t.env.Modem.SF; sf-- {
		env.Modem.SF = sf
		if t.limits.Lawful(t.a, env.Modem) && t.limits.Lawful(t.b, env.Modem) {
			break
		}
		env.Modem.SF = t.env.Modem.SF
	}
	also := t.modemChanges(env)
	if err := t.heightOf(BothEnds, t.a, t.b, env, also...); err != nil || len(t.found) > 0 {
		return err
	}
	a, b := t.a, t.b
	for _, s := range []*Station{&a, &b} {
		for step := t.limits.MaxGainDBi - s.Antenna.PeakDBi; step >= 1; step-- {
			stronger := *s
			change := t.moreGain(&stronger, step)
			if t.limits.Lawful(stronger, env.Modem) {
				*s, also = stronger, append(also, change...)
				break
			}
		}
	}
	return t.heightOf(BothEnds, a, b, env, also...)
}
