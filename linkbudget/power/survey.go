package power

import (
	"errors"
	"fmt"
)

// Survey tells whether a system lives at a spot: the balance and the dark
// spell of each month, the state of charge day by day with the sun 30 % poorer
// and richer, and the heat of the hottest hour. It errs on a system or an
// exposure out of range, listing every fault, and on a failure of e.Sun.
func Survey(s System, e Exposure) (Result, error) {
	if err := errors.Join(s.Validate(), e.Validate()); err != nil {
		return Result{}, fmt.Errorf("power: %w", err)
	}
	if e.Unknown != "" {
		return Result{Verdict: Unknown, Findings: []Finding{{Unknown, 0, e.Unknown}}}, nil
	}
	suns := make([][]DaySun, len(s.Panels))
	for i, p := range s.Panels {
		var err error
		if suns[i], err = e.sunOn(p.Plane); err != nil {
			return Result{}, fmt.Errorf("power: %w", err)
		}
	}
	loadWh, err := s.Load.DayWh(s.Bank.VoltageV())
	if err != nil {
		return Result{}, fmt.Errorf("power: %w", err)
	}
	r := Result{LoadWh: loadWh, CapacityWh: s.Bank.WarmWh()}
	heat := s.heatTable(e.AltitudeM, loadWh/HoursPerDay)
	mid := s.energies(e, suns, heat, loadWh, 1)
	r.months(s, e, suns, mid)

	run := s.runInput(e, mid)
	if r.Mid, err = Settled(run); err != nil {
		return Result{}, fmt.Errorf("power: %w", err)
	}
	if r.Twice, r.TwiceDay, err = Repeated(run, r.Mid); err != nil {
		return Result{}, fmt.Errorf("power: %w", err)
	}
	for _, other := range []struct {
		scale float64
		run   *Run
	}{{1 - SunDoubt, &r.Low}, {1 + SunDoubt, &r.High}} {
		in := s.runInput(e, s.energies(e, suns, heat, loadWh, other.scale))
		if *other.run, err = Settled(in); err != nil {
			return Result{}, fmt.Errorf("power: %w", err)
		}
	}
	r.emptyDays(e)
	r.Heat = s.hottest(e, loadWh/HoursPerDay)
	r.Warnings = s.warnings(e)
	r.judge(e)
	return r, nil
}

// runInput is the string of days for Simulate.
func (s System) runInput(e Exposure, days []dayEnergy) RunInput {
	in := RunInput{
		FullWh: s.Bank.WarmWh(), LeakPerDay: s.Bank.SelfDischargePerMonth / 30,
		GainWh: make([]float64, len(days)), LoadWh: make([]float64, len(days)), FloorWh: make([]float64, len(days)),
	}
	for i, d := range days {
		in.GainWh[i], in.LoadWh[i] = d.gainWh, d.loadWh
		in.FloorWh[i] = in.FullWh * (1 - s.Bank.ShareAt(e.Air[i].MeanC))
	}
	return in
}

// months sums the days into the mean day of each month.
func (r *Result) months(s System, e Exposure, suns [][]DaySun, days []dayEnergy) {
	var of [13]MonthBalance
	for i, d := range days {
		m := &of[e.Air[i].Month]
		if m.Days == 0 {
			m.SunKWhM2 = make([]float64, len(suns))
		}
		m.Days++
		for p := range suns {
			m.SunKWhM2[p] += suns[p][i].KWhM2()
		}
		m.GainWh += d.gainWh
		m.LoadWh += d.loadWh
		m.ColdLostWh += d.coldWh
		m.HotLostWh += d.hotWh
		m.MeanC += e.Air[i].MeanC
		if e.Air[i].MinC < ChargeMinC {
			m.FrostDays++
		}
		if d.coldHours > 0 && d.gainWh == 0 && d.hotWh == 0 {
			m.NoCharge++
		}
	}
	for month := 1; month <= 12; month++ {
		m := of[month]
		if m.Days == 0 {
			continue
		}
		n := float64(m.Days)
		m.Month = month
		for p := range m.SunKWhM2 {
			m.SunKWhM2[p] /= n
		}
		m.GainWh, m.LoadWh, m.ColdLostWh, m.HotLostWh, m.MeanC = m.GainWh/n, m.LoadWh/n, m.ColdLostWh/n, m.HotLostWh/n, m.MeanC/n
		m.UsableWh = s.Bank.UsableWh(m.MeanC)
		m.DarkNeedWh = DarkSpellNeedWh(m.LoadWh, m.GainWh)
		r.FrostDays += m.FrostDays
		r.NoChargeDays += m.NoCharge
		r.Months = append(r.Months, m)
	}
}

// emptyDays puts the empty days of the middle run into their months.
func (r *Result) emptyDays(e Exposure) {
	for _, day := range r.Mid.EmptyOn {
		for i := range r.Months {
			if r.Months[i].Month == e.Air[day].Month {
				r.Months[i].EmptyDays++
			}
		}
	}
}

// hottest finds the day with the warmest box. The box sees the sun that crosses
// its rays in that day's hottest hour.
func (s System) hottest(e Exposure, insideW float64) Heat {
	if s.Box == nil {
		return Heat{}
	}
	h := Heat{Known: true, Verdict: Lives, LimitC: CellMaxC, LimitOf: "cell"}
	if limit := orDefault(s.Box.ElectronicsMaxC, DefaultElectronicsC); limit < h.LimitC {
		h.LimitC, h.LimitOf = limit, "electronics"
	}
	sealed := *s.Box
	sealed.VentM2 = 0
	for i, a := range e.Air {
		airC := a.MaxC + e.HotSpellK
		in := s.heatInput(airC, a.PeakWm2, insideW, e.AltitudeM)
		if i > 0 && airC+max(leastRiseK(a.PeakWm2), sealed.RiseK(in)) <= h.InsideC {
			continue // vents only cool: not the hottest, and no need to bisect
		}
		rise := max(leastRiseK(a.PeakWm2), s.Box.RiseK(in))
		if i == 0 || airC+rise > h.InsideC {
			h.Month, h.Day, h.AirC, h.RiseK, h.InsideC, h.IrradianceWm2 = a.Month, i, airC, rise, airC+rise, a.PeakWm2
		}
	}
	h.ChargeStops = h.InsideC > ChargeMaxC
	switch {
	case h.InsideC > h.LimitC:
		h.Verdict = Dies
	case h.InsideC > h.LimitC-heatDoubtK:
		h.Verdict = Thin
	}
	return h
}

// heatDoubtK is how near to a limit the heat is called thin: the films and
// absorptances are worth no more (own judgement).
const heatDoubtK = 5.0
