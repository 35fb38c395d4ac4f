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

// reaches evaluates a changed path, if it is lawful.
func (t *adviser) reaches(a, b Station, env Environment) (Result, bool, error) {
	if !t.limits.Lawful(a, env.Modem) || !t.limits.Lawful(b, env.Modem) {
		return Result{}, false, nil
	}
	r, err := Evaluate(t.p, a, b, env)
	t.best = max(t.best, r.Probability)
	return r, err == nil && r.Verdict == Reaches, err
}

// try evaluates a changed path and keeps it when it reaches.
func (t *adviser) try(a, b Station, env Environment) (bool, error) {
	r, ok, err := t.reaches(a, b, env)
	if ok {
		t.found = append(t.found, Advice{
			Changes: t.changes(a, b, env), Probability: r.Probability, MarginDB: r.MarginDB,
			AirtimeRatio: airtimeRatio(t.env, env),
		})
	}
	return ok, err
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

// gain raises the antenna of A, of B, then of both, decibel by decibel.
func (t *adviser) gain() error {
	for _, ends := range []Ends{EndA, EndB, BothEnds} {
		for step := DB(1); ; step++ {
			a, b := t.stronger(ends, step)
			if step > 1 {
				if oldA, oldB := t.stronger(ends, step-1); a.Antenna.PeakDBi == oldA.Antenna.PeakDBi && b.Antenna.PeakDBi == oldB.Antenna.PeakDBi {
					break // both at the limit
				}
			}
			if ok, err := t.try(a, b, t.env); ok || err != nil {
				return err
			}
		}
	}
	return nil
}

// stronger returns both stations with more gain at the given ends, up to the limit.
func (t *adviser) stronger(ends Ends, step DB) (a, b Station) {
	a, b = t.a, t.b
	raise := func(s *Station) {
		s.Antenna.PeakDBi = max(s.Antenna.PeakDBi, min(s.Antenna.PeakDBi+step, t.limits.MaxGainDBi))
	}
	if ends&EndA != 0 {
		raise(&a)
	}
	if ends&EndB != 0 {
		raise(&b)
	}
	return a, b
}

// height raises the antenna of A, of B, or where neither helps of both; each
// that reaches is kept, since who owns which pole is not known here.
func (t *adviser) height() error {
	before := len(t.found)
	for _, ends := range []Ends{EndA, EndB, BothEnds} {
		if ends == BothEnds && len(t.found) > before {
			return nil
		}
		if a, b, ok, err := t.heightOf(ends, t.a, t.b, t.env); err != nil {
			return err
		} else if ok {
			if _, err := t.try(a, b, t.env); err != nil {
				return err
			}
		}
	}
	return nil
}

// heightOf returns both stations at the lowest height that reaches.
func (t *adviser) heightOf(ends Ends, a, b Station, env Environment) (Station, Station, bool, error) {
	if !t.limits.Lawful(a, env.Modem) || !t.limits.Lawful(b, env.Modem) {
		return a, b, false, nil
	}
	h, err := MinHeight(t.p, a, b, env, HeightSearch{Ends: ends, MaxM: t.limits.MaxHeightM})
	t.best = max(t.best, h.Result.Probability)
	a.HeightM, b.HeightM = h.AHeightM, h.BHeightM
	return a, b, h.Found && err == nil, err
}

// everything tries the slowest lawful modem of the same bandwidth with taller
// poles, when nothing alone was enough, then stronger antennas on top; and
// takes back what of it was not needed.
func (t *adviser) everything() error {
	env := t.env
	for env.Modem.SF = maxSF; env.Modem.SF > t.env.Modem.SF; env.Modem.SF-- {
		if t.limits.Lawful(t.a, env.Modem) && t.limits.Lawful(t.b, env.Modem) {
			break
		}
	}
	most := max(t.limits.MaxGainDBi-min(t.a.Antenna.PeakDBi, t.b.Antenna.PeakDBi), 0)
	for _, step := range [2]DB{0, most} {
		a, b := t.stronger(BothEnds, step)
		for ; step > 0 && !(t.limits.Lawful(a, env.Modem) && t.limits.Lawful(b, env.Modem)); step-- {
			a, b = t.stronger(BothEnds, step-1)
		}
		a, b, ok, err := t.heightOf(BothEnds, a, b, env)
		if err != nil {
			return err
		}
		if ok {
			return t.economise(a, b, env, step)
		}
	}
	return nil
}

// economise lowers first the gain, then the spreading factor, at the heights
// found, as far as the path still reaches.
func (t *adviser) economise(a, b Station, env Environment, step DB) error {
	for ; step > 0; step-- {
		lessA, lessB := t.stronger(BothEnds, max(step-1, 0))
		lessA.HeightM, lessB.HeightM = a.HeightM, b.HeightM
		_, ok, err := t.reaches(lessA, lessB, env)
		if err != nil {
			return err
		}
		if !ok {
			break
		}
		a, b = lessA, lessB
	}
	for env.Modem.SF > t.env.Modem.SF {
		less := env
		less.Modem.SF--
		_, ok, err := t.reaches(a, b, less)
		if err != nil {
			return err
		}
		if !ok {
			break
		}
		env = less
	}
	_, err := t.try(a, b, env)
	return err
}
