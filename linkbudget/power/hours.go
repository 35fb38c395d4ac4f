package power

// dayEnergy is what one day brings and takes, in Wh at the cell.
type dayEnergy struct {
	gainWh, loadWh float64
	coldWh, hotWh  float64 // sun that came while the cell must not be charged
	coldHours      int     // of them
}

// riseStepWm2 and riseSteps lay out a table of the heat in the box.
const (
	riseStepWm2 = 100
	riseSteps   = 21 // to 2000 W/m2, the most that an hour of DaySun may hold
)

// heatTable is the rise of the box above the air against irradiance, so that
// the bisection for the vents is not run for each hour of the year.
type heatTable [riseSteps]float64

func (s System) heatTable(altitudeM, insideW float64) (t heatTable) {
	const airC = 35 // the vents' flow hardly depends on it
	for i := range t {
		g := float64(i * riseStepWm2)
		t[i] = leastRiseK(g)
		if s.Box != nil {
			t[i] = max(t[i], s.Box.RiseK(s.heatInput(airC, g, insideW, altitudeM)))
		}
	}
	return t
}

func (s System) heatInput(airC, irradianceWm2, insideW, altitudeM float64) HeatInput {
	in := HeatInput{AirC: airC, IrradianceWm2: irradianceWm2, InsideW: insideW, AltitudeM: altitudeM}
	if s.Fan != nil {
		in.FanM3h = s.Fan.FlowM3h(irradianceWm2)
	}
	return in
}

// leastRiseK is what is never promised away: LeastSunRiseK from half a sun on.
func leastRiseK(irradianceWm2 float64) float64 {
	return LeastSunRiseK * min(1, irradianceWm2/500)
}

func (t *heatTable) riseK(irradianceWm2 float64) float64 {
	at := irradianceWm2 / riseStepWm2
	i := min(int(at), riseSteps-2)
	return t[i] + (at-float64(i))*(t[i+1]-t[i])
}

// doubt is how one run of the year differs from the sun and air as computed.
type doubt struct {
	sunScale, colderK float64
	takesFrost        bool // as if the cells could be charged in any frost
}

// hours follows every hour of every day: the current of each panel through the charger, counted
// only while the cell may be charged, and what the cold keeps in the cell. Frost is held against
// the air and what the bank is stated to be warmer, without the sun's warmth in the box; heat
// against air and box.
func (s System) hours(e Exposure, suns [][]DaySun, heat *heatTable, loadWh float64, doubt doubt) (RunInput,
	[]dayEnergy) {
	n := 24 * len(e.Air)
	buffer := make([]float64, 3*n)
	in := RunInput{
		FullWh: s.Bank.WarmWh(), LeakPerStep: s.Bank.SelfDischargePerMonth / (30 * HoursPerDay),
		GainWh: buffer[:n:n], LoadWh: buffer[n : 2*n : 2*n], FloorWh: buffer[2*n:],
	}
	cellV := s.Bank.VoltageV()
	fromC, toC := s.Bank.chargeLimits()
	curve := s.Bank.curve()
	days := make([]dayEnergy, len(e.Air))
	for d := range days {
		air, day := &e.Air[d], &days[d]
		for h := range 24 {
			i := 24*d + h
			airC := air.HourC[h]
			cellC := airC + s.Bank.WarmerK - doubt.colderK
			in.LoadWh[i] = loadWh / HoursPerDay
			in.FloorWh[i] = in.FullWh * (1 - shareAt(curve, cellC))
			wh, brightest := s.chargeWh(suns, d, h, airC, cellV, doubt.sunScale)
			if brightest == 0 {
				day.loadWh += in.LoadWh[i]
				continue
			}
			switch {
			case cellC < fromC && !doubt.takesFrost:
				day.coldWh += wh
				day.coldHours++
			case airC+heat.riseK(brightest) > toC:
				day.hotWh += wh
			default:
				in.GainWh[i] = wh
				day.gainWh += wh
			}
			if s.Fan != nil && s.Fan.PanelW == 0 && brightest >= s.Fan.OnWm2() {
				in.LoadWh[i] += s.Fan.PowerW
			}
			day.loadWh += in.LoadWh[i]
		}
	}
	return in, days
}

// chargeWh is what all panels together charge in an hour, and the irradiance on
// the brightest of them in W/m2.
func (s *System) chargeWh(suns [][]DaySun, d, h int, airC, cellV, scale float64) (wh, brightest float64) {
	currentA := 0.0
	for i := range s.Panels {
		sun := suns[i][d][h] * scale
		if sun == 0 {
			continue
		}
		p := &s.Panels[i]
		// Scaled up, an hour may exceed what the table and the sky hold.
		wm2 := min(1000*sun, riseStepWm2*(riseSteps-1))
		brightest = max(brightest, wm2)
		powerW := p.PeakW * sun * p.Derates.Product()
		currentA += s.Charger.CurrentA(*p, powerW, p.HeatFactor(p.CellC(airC, wm2)), cellV)
	}
	if s.Charger.MaxA > 0 {
		currentA = min(currentA, s.Charger.MaxA)
	}
	return currentA * CoulombEfficiency * cellV, brightest
}
