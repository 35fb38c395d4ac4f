package linkbudget

import "github.com/polereach/polereach/terrain"

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

// reaches evaluates a changed path, if it is within the rules.
func (t *adviser) reaches(p terrain.Profile, a, b Station, env Environment) (Result, bool, error) {
	if within := t.limits.Within; within != nil && !(within(a, env.Modem) && within(b, env.Modem)) {
		return Result{}, false, nil
	}
	r, err := Evaluate(p, a, b, env)
	t.best = max(t.best, r.Probability)
	return r, err == nil && r.Verdict == Reaches, err
}

// try evaluates a changed path and keeps it when it reaches.
func (t *adviser) try(a, b Station, env Environment) (bool, error) {
	r, ok, err := t.reaches(t.p, a, b, env)
	if ok {
		t.keep(r, Advice{Changes: t.changes(a, b, env), AirtimeRatio: airtimeRatio(t.env, env)})
	}
	return ok, err
}

func (t *adviser) keep(r Result, a Advice) {
	a.Probability, a.MarginDB, a.Unruled = r.Probability, r.MarginDB, t.limits.Within == nil
	a.WantPercent = t.env.WantPercent
	t.found = append(t.found, a)
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
	add("", "bw_khz", BandwidthLabelKHz(t.env.Modem.BWHz), BandwidthLabelKHz(env.Modem.BWHz))
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
	was, err1 := TimeOnAir(before.Modem, packet, before.Family)
	is, err2 := TimeOnAir(after.Modem, packet, after.Family)
	if err1 != nil || err2 != nil {
		return 1
	}
	return is.TotalS / was.TotalS
}

// modem tries the next spreading factors, then the next narrower bandwidths.
func (t *adviser) modem() error {
	if !t.limits.Modem {
		return nil
	}
	env := t.env
	for env.Modem.SF = t.env.Modem.SF + 1; env.Modem.SF <= maxSF; env.Modem.SF++ {
		ok, err := t.try(t.a, t.b, env)
		if err != nil {
			return err
		}
		if ok {
			break
		}
	}
	env = t.env
	widths := Bandwidths()
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

// antenna changes the antenna of A, or of B; of both where neither helps.
func (t *adviser) antenna() error {
	return t.oneBeforeBoth(func(ends sides) error {
		for _, gain := range gainsDBi {
			a, b := t.stronger(ends, gain, t.a, t.b)
			if a.Antenna.PeakDBi == t.a.Antenna.PeakDBi && b.Antenna.PeakDBi == t.b.Antenna.PeakDBi {
				continue
			}
			if ok, err := t.try(a, b, t.env); ok || err != nil {
				return err
			}
		}
		return nil
	})
}

// sides says which of the two ends a change is for.
type sides struct{ a, b bool }

var onlyA, onlyB, bothEnds = sides{a: true}, sides{b: true}, sides{true, true}

// oneBeforeBoth tries a change at A, at B, and where neither was kept at both; each
// that reaches is kept, since who owns which pole is not known here.
func (t *adviser) oneBeforeBoth(try func(sides) error) error {
	before := len(t.found)
	for _, ends := range []sides{onlyA, onlyB, bothEnds} {
		if ends == bothEnds && len(t.found) > before {
			break
		}
		if err := try(ends); err != nil {
			return err
		}
	}
	return nil
}

// stronger puts an antenna of a gain on the given ends, where it fits the pole and
// wins something.
func (t *adviser) stronger(ends sides, gain DB, a, b Station) (Station, Station) {
	raise := func(s *Station) {
		most := t.limits.MaxGainDBi
		if most == 0 && s.Antenna.Beam == BeamSector {
			most = sectorMaxDBi
		} else if most == 0 {
			most = omniMaxDBi
		}
		if gain <= most {
			s.Antenna.PeakDBi = max(s.Antenna.PeakDBi, gain)
		}
	}
	if ends.a {
		raise(&a)
	}
	if ends.b {
		raise(&b)
	}
	return a, b
}

// mast raises the antenna of A, or of B; both to the same height where neither helps.
func (t *adviser) mast() error {
	return t.oneBeforeBoth(func(ends sides) error { return t.masts(ends, t.a, t.b, t.limits.MaxHeightM) })
}

// masts keeps the lowest mast at the given ends with which the path reaches. Every one
// is computed: loss does not fall steadily with height (raising an antenna moves the
// edge and the fitted ground), so neither halving nor stopping at the first decline
// would be right.
func (t *adviser) masts(ends sides, a, b Station, mostM float64) error {
	for _, h := range mastsAbove(0, mostM) {
		nextA, nextB := a, b
		if ends.a {
			nextA.HeightM = max(a.HeightM, h)
		}
		if ends.b {
			nextB.HeightM = max(b.HeightM, h)
		}
		if nextA.HeightM == a.HeightM && nextB.HeightM == b.HeightM {
			continue
		}
		if ok, err := t.try(nextA, nextB, t.env); ok || err != nil {
			return err
		}
	}
	return nil
}

// elsewhere moves A, or B.
func (t *adviser) elsewhere() error {
	if t.limits.Nearby == nil {
		return nil
	}
	for _, ofB := range []bool{false, true} {
		err := t.limits.Nearby(ofB, func(p terrain.Profile, m Move) (bool, error) {
			r, ok, err := t.reaches(p, t.a, t.b, t.env)
			if ok {
				t.keep(r, Advice{Move: &m, AirtimeRatio: 1})
			}
			return ok, err
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// togetherMaxM is the tallest mast that is proposed along with new antennas, m: beyond
// it, or with more, a relay is the lesser work (engineering judgement).
const togetherMaxM = 15

// together tries, where nothing alone was enough, better antennas at both ends with a
// taller mast at one of them.
func (t *adviser) together() error {
	if len(t.found) > 0 {
		return nil
	}
	for _, gain := range gainsDBi {
		a, b := t.stronger(bothEnds, gain, t.a, t.b)
		for _, ends := range []sides{onlyA, onlyB} {
			if err := t.masts(ends, a, b, min(togetherMaxM, t.limits.MaxHeightM)); err != nil {
				return err
			}
		}
		if len(t.found) > 0 {
			break
		}
	}
	return nil
}
