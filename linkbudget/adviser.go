package linkbudget

import (
	"github.com/polereach/polereach/linkbudget/lora"
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

// try evaluates a changed path, if it is lawful, and keeps it when it reaches.
func (t *adviser) try(a, b Station, env Environment) (bool, error) {
	if !t.limits.Lawful(a, env.Modem) || !t.limits.Lawful(b, env.Modem) {
		return false, nil
	}
	return t.keep(t.p, a, b, env, nil)
}

// keep evaluates a changed path and keeps the advice when it reaches.
func (t *adviser) keep(p terrain.Profile, a, b Station, env Environment, move *Move) (bool, error) {
	r, err := Evaluate(p, a, b, env)
	t.best = max(t.best, r.Probability)
	if err != nil || r.Verdict != Reaches {
		return false, err
	}
	t.found = append(t.found, Advice{
		Changes: t.changes(a, b, env), Move: move, Probability: r.Probability, MarginDB: r.MarginDB,
		AirtimeRatio: airtimeRatio(t.env, env),
	})
	return true, nil
}

// changes lists what differs from the path as it is: settings of the link
// first, then those of A, then those of B.
func (t *adviser) changes(a, b Station, env Environment) []Change {
	var out []Change
	add := func(station, key string, from, to float64) {
		if from != to {
			out = append(out, Change{station, key, from, to})
		}
	}
	add("", "sf", float64(t.env.Modem.SF), float64(env.Modem.SF))
	add("", "bw_khz", lora.BandwidthLabelKHz(t.env.Modem.BWHz), lora.BandwidthLabelKHz(env.Modem.BWHz))
	for _, end := range [2]struct{ was, is Station }{{t.a, a}, {t.b, b}} {
		was, is := end.was, end.is
		add(was.Name, "feed_loss_db", float64(was.FeedLossDB), float64(is.FeedLossDB))
		add(was.Name, "coax_m", was.Feeder.LengthM, is.Feeder.LengthM)
		add(was.Name, "gain_dbi", float64(was.Antenna.PeakDBi), float64(is.Antenna.PeakDBi))
		add(was.Name, "height_m", was.HeightM, is.HeightM)
	}
	return out
}

// airtimeRatio compares the airtime of the environment's packet.
func airtimeRatio(before, after Environment) float64 {
	packet := before.Packet
	if packet == (Packet{}) {
		packet = DefaultPacket
	}
	was, err1 := lora.TimeOnAir(before.Modem, packet, before.Family)
	is, err2 := lora.TimeOnAir(after.Modem, packet, after.Family)
	if err1 != nil || err2 != nil {
		return 1
	}
	return is.TotalS / was.TotalS
}

// modem tries the next spreading factors, then the next narrower bandwidths.
func (t *adviser) modem() error {
	if t.limits.KeepModem {
		return nil
	}
	env := t.env
	for ok := false; !ok && env.Modem.SF < lora.MaxSF; {
		var err error
		env.Modem.SF++
		if ok, err = t.try(t.a, t.b, env); err != nil {
			return err
		}
	}
	env = t.env
	widths := lora.Bandwidths()
	for i := len(widths) - 1; i >= 0; i-- { // widest first
		if env.Modem.BWHz = widths[i]; widths[i] < t.env.Modem.BWHz && widths[i] >= t.limits.MinBWHz {
			if ok, err := t.try(t.a, t.b, env); ok || err != nil {
				return err
			}
		}
	}
	return nil
}

// cable takes out feed loss at both ends, a quarter at a time.
func (t *adviser) cable() error {
	if t.a.FeedLossDB+t.b.FeedLossDB == 0 && t.a.Feeder.LengthM+t.b.Feeder.LengthM == 0 {
		return nil
	}
	for _, keep := range []float64{0.75, 0.5, 0.25, 0} {
		a, b := t.a, t.b
		for _, s := range []*Station{&a, &b} {
			s.FeedLossDB *= DB(keep)
			s.Feeder.LengthM *= keep
		}
		if ok, err := t.try(a, b, t.env); ok || err != nil {
			return err
		}
	}
	return nil
}

// gain gives A, B, or where neither helps both the weakest antenna that does.
func (t *adviser) gain() error {
	return t.eachEnd(func(ends Ends) (bool, error) {
		for _, gain := range poleAntennasDBi {
			a, b := t.a, t.b
			stronger := false
			for _, s := range ends.of(&a, &b) {
				if s.Antenna.PeakDBi < gain && gain <= t.limits.maxGain(s.Antenna.Beam) {
					s.Antenna.PeakDBi, s.Antenna.VerticalBeamwidthDeg = gain, 0 // that of the old antenna
					stronger = true
				}
			}
			if !stronger {
				continue
			}
			if ok, err := t.try(a, b, t.env); ok || err != nil {
				return ok, err
			}
		}
		return false, nil
	})
}

// height raises the antenna of A, of B, or where neither helps of both.
func (t *adviser) height() error {
	return t.eachEnd(func(ends Ends) (bool, error) {
		if !t.limits.Lawful(t.a, t.env.Modem) || !t.limits.Lawful(t.b, t.env.Modem) {
			return false, nil
		}
		h, err := MinHeight(t.p, t.a, t.b, t.env, HeightSearch{Ends: ends, MaxM: t.limits.MaxHeightM})
		t.best = max(t.best, h.Result.Probability)
		if err != nil || !h.Found {
			return false, err
		}
		a, b := t.a, t.b
		a.HeightM, b.HeightM = h.AHeightM, h.BHeightM
		return t.try(a, b, t.env)
	})
}

// elsewhere moves A, or B, to a better place nearby.
func (t *adviser) elsewhere() error {
	if t.limits.Nearby == nil || !t.limits.Lawful(t.a, t.env.Modem) || !t.limits.Lawful(t.b, t.env.Modem) {
		return nil
	}
	for _, ofB := range [2]bool{false, true} {
		err := t.limits.Nearby(ofB, func(p terrain.Profile, m Move) (bool, error) { return t.keep(p, t.a, t.b, t.env, &m) })
		if err != nil {
			return err
		}
	}
	return nil
}

// eachEnd tries a change at A and at B, since who owns which pole is not known here,
// and at both where neither alone helps.
func (t *adviser) eachEnd(try func(Ends) (bool, error)) error {
	okA, errA := try(EndA)
	if errA != nil {
		return errA
	}
	okB, err := try(EndB)
	if okA || okB || err != nil {
		return err
	}
	_, err = try(BothEnds)
	return err
}
