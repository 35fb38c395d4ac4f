package power

import "math"

// dayEnergy is one day of charging and drawing, in Wh at the cell.
type dayEnergy struct {
	gainWh, loadWh float64
	coldWh, hotWh  float64 // sun that came while the cell must not be charged
	coldHours      int     // of them
}

// cellSwing is the share of half the day's range by which the air of an hour
// differs from the mean, cos(15 (t - 15)) at the middle of each hour of solar
// time: warmest at 15 h.
var cellSwing = func() (swing [24]float64) {
	for h := range swing {
		swing[h] = math.Cos((float64(h) + 0.5 - 15) * 15 * math.Pi / 180)
	}
	return swing
}()

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

// energies follows every hour of every day: the current of each panel through
// the charger, counted only while the cell may be charged. The cold limit is
// held against the air alone (no credit for a warm box), the hot one against
// air and box. scale multiplies the sun.
func (s System) energies(e Exposure, suns [][]DaySun, heat heatTable, loadWh, scale float64) []dayEnergy {
	cellV := s.Bank.VoltageV()
	out := make([]dayEnergy, len(e.Air))
	for d := range out {
		air, day := &e.Air[d], &out[d]
		day.loadWh = loadWh
		swingK := (air.MaxC - air.MinC) / 2
		for h := range 24 {
			currentA, brightest := 0.0, 0.0
			airC := air.MeanC + swingK*cellSwing[h]
			if air.HourC != nil {
				airC = air.HourC[h]
			}
			for i := range s.Panels {
				sun := suns[i][d][h] * scale
				if sun == 0 {
					continue
				}
				p := &s.Panels[i]
				brightest = max(brightest, suns[i][d][h]*1000)
				powerW := p.PeakW * sun * p.Derates.Product()
				currentA += s.Charger.CurrentA(*p, powerW, p.HeatFactor(p.CellC(airC, suns[i][d][h]*1000)), cellV)
			}
			if brightest == 0 {
				continue
			}
			if s.Charger.MaxA > 0 {
				currentA = min(currentA, s.Charger.MaxA)
			}
			wh := currentA * CoulombEfficiency * cellV
			switch {
			case airC < ChargeMinC:
				day.coldWh += wh
				day.coldHours++
			case airC+heat.riseK(brightest) > ChargeMaxC:
				day.hotWh += wh
			default:
				day.gainWh += wh
			}
			if s.Fan != nil && s.Fan.PanelW == 0 && brightest >= s.Fan.OnWm2() {
				day.loadWh += s.Fan.PowerW
			}
		}
	}
	return out
}
