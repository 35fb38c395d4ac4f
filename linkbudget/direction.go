package linkbudget

// Direction is the budget one way, transmitter to receiver.
type Direction struct {
	From, To string
	// TxDBm is the transmitter's output.
	TxDBm DBm
	// Items add up from the transmitter's level to RxDBm; losses are negative here.
	Items []Term
	// EIRPDBm is radiated towards the other end, PeakEIRPDBm in the main lobe;
	// RxDBm arrives at the receiver.
	EIRPDBm, PeakEIRPDBm, RxDBm DBm
	// NoiseDBm is the noise in the modem's bandwidth; SNRDB the ratio to it.
	NoiseDBm DBm
	SNRDB    DB
	// SensitivityDBm is the level at which the modem's required ratio is met.
	SensitivityDBm DBm
	MarginDB       DB
}

// ends is what both directions share: where each antenna looks at the other.
type ends struct {
	a, b         Station
	gainA, gainB DB // towards the other end
	crossDB      DB
	lossDB       DB
	env          Environment
}

// newEnds finds the gain of each antenna towards the other one: azimuth of
// the path and elevation of the refracted ray. Behind an obstacle the ray
// leaves towards the horizon instead; the difference is below a degree on
// nearly every path and is not modelled.
func newEnds(r *Result, a, b Station, env Environment) (ends, error) {
	e := ends{a: a, b: b, lossDB: r.LossDB, env: env}
	var err error
	if e.gainA, err = a.Antenna.Gain(r.AzimuthDeg, r.ElevationDeg); err != nil {
		return e, err
	}
	if e.gainB, err = b.Antenna.Gain(r.BackAzimuthDeg, r.BackElevationDeg); err != nil {
		return e, err
	}
	if a.Polarisation != b.Polarisation {
		bound := CrossPolarLossObstructed
		if r.Path == PathClear {
			bound = CrossPolarLossClear
		}
		e.crossDB, err = PolarisationLoss(90, bound)
	}
	return e, err
}

func (e ends) forward() Direction  { return e.direction(e.a, e.b, e.gainA, e.gainB) }
func (e ends) backward() Direction { return e.direction(e.b, e.a, e.gainB, e.gainA) }

// direction sums one way. The sign appears here and nowhere else.
func (e ends) direction(tx, rx Station, gainTx, gainRx DB) Direction {
	const itemsUsual = 8
	d := Direction{Items: make([]Term, 0, itemsUsual), From: tx.Name, To: rx.Name, TxDBm: tx.TxDBm, PeakEIRPDBm: tx.PeakEIRP(e.env.FreqHz)}
	add := func(name string, change DB, source string) {
		if change != 0 {
			d.Items = append(d.Items, Term{name, change, source})
		}
	}
	end := func(which string, s Station, gain DB) {
		add(which+" feed loss", -s.FeedLossDB, "as given")
		if cable, err := s.Feeder.Loss(e.env.FreqHz); err == nil {
			add(which+" cable", -cable, s.Feeder.Coax.Source)
		}
		if s.VSWR > 1 {
			if mismatch, err := MismatchLoss(s.VSWR); err == nil {
				add(which+" mismatch", -mismatch, "transmission line theory")
			}
		}
		add(which+" antenna gain", s.Antenna.PeakDBi, "as given")
		add(which+" antenna off its peak", gain-s.Antenna.PeakDBi, "ITU-R F.1336-5 §2.1, or the half-wave dipole")
		if s.SideMounted {
			add(which+" beside its mast", -SideMountPenalty, "engineering judgement")
		}
	}
	end("transmitter", tx, gainTx)
	d.EIRPDBm = tx.TxDBm
	for _, item := range d.Items {
		d.EIRPDBm = d.EIRPDBm.Add(item.DB)
	}
	add("path loss", -e.lossDB, "sum of terms")
	add("crossed polarisation", -e.crossDB, "from memory of measurements")
	end("receiver", rx, gainRx)
	d.RxDBm = tx.TxDBm
	for _, item := range d.Items {
		d.RxDBm = d.RxDBm.Add(item.DB)
	}
	d.NoiseDBm = rx.noiseFloor(e.env)
	d.SNRDB = d.RxDBm.Sub(d.NoiseDBm)
	d.SensitivityDBm = d.NoiseDBm.Add(e.env.Modem.RequiredSNR())
	d.MarginDB = d.RxDBm.Sub(d.SensitivityDBm)
	return d
}

// noiseFloor is the noise at the receiver's input in the modem's bandwidth:
// its own, the man-made noise that comes through the feeder, the stated rise,
// and what a nearby transmitter adds.
func (s Station) noiseFloor(env Environment) DBm {
	own := ThermalNoise(env.Modem.BWHz).Add(s.noiseFigure())
	rise := SystemNoise{
		ExternalDB: s.ExternalNoiseDB, FeederLossDB: s.FeedLoss(env.FreqHz), NoiseFigureDB: s.noiseFigure(),
	}.Rise()
	floor := own.Add(rise + s.NoiseRiseDB)
	if s.Nearby != nil {
		if d, err := s.desense(env.Modem.BWHz, floor.Sub(ThermalNoise(env.Modem.BWHz))); err == nil {
			floor = floor.Add(d.RiseDB)
		}
	}
	return floor
}

// nearbyChip is taken for both radios of a nearby transmitter that names none.
const nearbyChip = "SX1262"

// desense is what the nearby transmitter does to this receiver, whose noise
// figure includes all other noise.
func (s Station) desense(bwHz float64, noiseFigure DB) (Desense, error) {
	t := *s.Nearby
	if t.Chip == "" {
		t.Chip = nearbyChip
	}
	return t.Desense(DesensedReceiver{Chip: nearbyChip, BWHz: bwHz, NoiseFigureDB: noiseFigure})
}
