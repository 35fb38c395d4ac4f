package power

import (
	"cmp"
	"errors"
	"fmt"
)

// Survey tells whether a system lives at a spot: the balance of each month, the state of charge
// hour by hour with the sun as computed, 30 % poorer and richer, and 30 % poorer in air ColdDoubtK
// colder, and the heat of the hottest hour. It errs on a system or an exposure out of range,
// listing every fault, and on a failure of e.Sun.
func Survey(s System, e Exposure) (Result, error) {
	r, suns, err := s.surveyed(e)
	if err == nil && r.Verdict != Lives && r.Verdict != Unknown && !(r.Heat.Known && r.Heat.Verdict == r.Verdict) {
		var any Result
		any, err = s.survey(e, suns, true)
		r.FrostAlone = any.Verdict == Lives || any.Heat.Known && any.Verdict == any.Heat.Verdict
	}
	if err != nil {
		return Result{}, fmt.Errorf("power: %w", err)
	}
	return r, nil
}

// surveyed is Survey without the question whether frost alone decides, and the
// sun on each panel.
func (s System) surveyed(e Exposure) (Result, [][]DaySun, error) {
	if err := errors.Join(s.Validate(), e.Validate()); err != nil {
		return Result{}, nil, err
	}
	if e.Unknown != "" {
		return Result{Verdict: Unknown, Findings: []Finding{{Unknown, 0, e.Unknown}}}, nil, nil
	}
	suns := make([][]DaySun, len(s.Panels))
	for i, p := range s.Panels {
		var err error
		if suns[i], err = e.sunOn(p.Plane); err != nil {
			return Result{}, nil, err
		}
	}
	r, err := s.survey(e, suns, false)
	return r, suns, err
}

// survey is Survey of what has been checked; takesFrost asks what would be if the
// cells could be charged in any frost.
func (s System) survey(e Exposure, suns [][]DaySun, takesFrost bool) (Result, error) {
	loadWh, err := s.Load.DayWh(s.Bank.VoltageV())
	if err != nil {
		return Result{}, err
	}
	r := Result{LoadWh: loadWh, CapacityWh: s.Bank.WarmWh(), Hours: 24 * len(e.Air), Basis: e.Basis}
	heat := s.heatTable(e.AltitudeM, loadWh/HoursPerDay)
	for _, one := range []struct {
		sunScale, colderK float64
		run               *Run
	}{{1, 0, &r.Mid}, {1 - SunDoubt, 0, &r.Low}, {1 + SunDoubt, 0, &r.High}, {1 - SunDoubt, ColdDoubtK, &r.Cold}} {
		in, days := s.hours(e, suns, &heat, loadWh, doubt{one.sunScale, one.colderK, takesFrost})
		if one.run == &r.Mid {
			r.months(s, e, suns, days)
		}
		if *one.run, err = Settled(in); err != nil {
			return Result{}, err
		}
	}
	r.Heat = s.hottest(e, loadWh/HoursPerDay)
	r.Warnings = s.warnings(e)
	r.judge(e)
	return r, nil
}

// months sums the days into the mean day of each month.
func (r *Result) months(s System, e Exposure, suns [][]DaySun, days []dayEnergy) {
	var of [13]MonthBalance
	r.ChargeMinC, _ = s.Bank.chargeLimits()
	for i, d := range days {
		air := &e.Air[i]
		m := &of[air.Month]
		if m.Days == 0 {
			m.SunKWhM2 = make([]float64, len(suns))
		}
		m.Days++
		for p := range suns {
			m.SunKWhM2[p] += suns[p][i].KWhM2()
		}
		m.GainWh, m.LoadWh, m.MeanC = m.GainWh+d.gainWh, m.LoadWh+d.loadWh, m.MeanC+air.MeanC()
		m.ColdLostWh, m.HotLostWh = m.ColdLostWh+d.coldWh, m.HotLostWh+d.hotWh
		if air.MinC() < FrostC {
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
		for _, v := range []*float64{&m.GainWh, &m.LoadWh, &m.ColdLostWh, &m.HotLostWh, &m.MeanC} {
			*v /= n
		}
		m.UsableWh = s.Bank.UsableWh(m.MeanC + s.Bank.WarmerK)
		r.FrostDays += m.FrostDays
		r.NoChargeDays += m.NoCharge
		r.Months = append(r.Months, m)
	}
}

// hottest finds the day with the warmest box. The box sees the sun that crosses
// its rays in that day's hottest hour.
func (s System) hottest(e Exposure, insideW float64) Heat {
	if s.Box == nil {
		return Heat{}
	}
	h := Heat{Known: true, Verdict: Lives, LimitC: s.Bank.Chemistry.MaxC(), LimitOf: "cell"}
	if limit := cmp.Or(s.Box.ElectronicsMaxC, DefaultElectronicsC); limit < h.LimitC {
		h.LimitC, h.LimitOf = limit, "electronics"
	}
	sealed := *s.Box
	sealed.VentM2 = 0
	for i := range e.Air {
		a := &e.Air[i]
		airC := a.MaxC()
		in := s.heatInput(airC, a.PeakWm2, insideW, e.AltitudeM)
		if i > 0 && airC+max(leastRiseK(a.PeakWm2), sealed.RiseK(in)) <= h.InsideC {
			continue // vents only cool: not the hottest, and no need to bisect
		}
		rise := max(leastRiseK(a.PeakWm2), s.Box.RiseK(in))
		if i == 0 || airC+rise > h.InsideC {
			h.Month, h.Day, h.AirC, h.RiseK, h.InsideC, h.IrradianceWm2 = a.Month, i, airC, rise, airC+rise, a.PeakWm2
		}
	}
	_, h.ChargeMaxC = s.Bank.chargeLimits()
	h.ChargeStops = h.InsideC > h.ChargeMaxC
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
