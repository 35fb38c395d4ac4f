package power

import (
	"fmt"
	"slices"
	"time"
)

// Verdict is whether the node gets through.
type Verdict string

// Lives: reserve at the lowest hour. Thin: it may run empty in a bad winter.
// Dies: it runs empty in the weather given, or overheats. Unknown: the sun, the
// climate or the system is not known.
const (
	Lives   Verdict = "lives"
	Thin    Verdict = "thin"
	Dies    Verdict = "dies"
	Unknown Verdict = "unknown"
)

// rank is how bad a verdict is, the unknown worst.
func (v Verdict) rank() int { return -slices.Index([]Verdict{Dies, Thin, Lives}, v) }

// SunDoubt is the doubt of a month's sun: NREL states up to 30 % on a month of
// a typical year for its own well tested model (PVWatts 5, TP-6A20-62641).
const SunDoubt = 0.30

// Finding is one reason of the verdict.
type Finding struct {
	Verdict Verdict
	Month   int    // 1 to 12, 0 where no month is meant
	Text    string // a clause without a full stop, which does not name the month
}

// String returns the month, if one is meant, and the text.
func (f Finding) String() string {
	if f.Month == 0 {
		return f.Text
	}
	return MonthName(f.Month) + ": " + f.Text
}

// MonthBalance is the mean day of a month, all years of the exposure together.
type MonthBalance struct {
	Month, Days int       // Month 1 to 12
	SunKWhM2    []float64 // on each panel, mean day
	GainWh      float64   // at the cell, mean day
	LoadWh      float64   // mean day
	ColdLostWh  float64   // not charged because the cell was too cold, mean day
	HotLostWh   float64   // not charged because it was too hot, mean day
	MeanC       float64
	UsableWh    float64 // of the full bank at MeanC
	// LowestWh and ColdestWh are the least that is left in the runs Low and Cold.
	LowestWh, ColdestWh float64
	FrostDays           int // days with a minimum below 0 C
	NoCharge            int // days with sun on which the cell never could be charged
	EmptyHours          int // of the middle run
	Verdict             Verdict
}

// Ratio returns gain over load, and false with no load.
func (m MonthBalance) Ratio() (float64, bool) {
	if m.LoadWh == 0 {
		return 0, false
	}
	return m.GainWh / m.LoadWh, true
}

// AutonomyDays returns how long the full bank lasts with no sun at all, and
// false with no load.
func (m MonthBalance) AutonomyDays() (float64, bool) {
	if m.LoadWh == 0 {
		return 0, false
	}
	return m.UsableWh / m.LoadWh, true
}

// Heat is the hottest hour in the box.
type Heat struct {
	Known                bool // false: no box was stated
	Month, Day           int  // Day is an index into Exposure.Air
	AirC, RiseK, InsideC float64
	IrradianceWm2        float64
	LimitC               float64
	LimitOf              string // "cell" or "electronics"
	// ChargeStops is whether InsideC is above ChargeMaxC, where charging pauses.
	ChargeStops bool
	ChargeMaxC  float64
	Verdict     Verdict
}

// Result is the answer of Survey.
type Result struct {
	Verdict  Verdict
	Month    int       // the month that decides, 0 where none does
	Findings []Finding // worst first
	Months   []MonthBalance
	// Low, Mid and High are the runs of the hours with the sun 30 % poorer, as
	// computed, and 30 % richer; Cold is Low in air ColdDoubtK colder.
	Low, Mid, High, Cold Run
	Hours                int // of each run
	// LoadWh is drawn each day, CapacityWh what the aged, warm bank holds,
	// ReserveWh what Low and Cold must leave of it.
	LoadWh, CapacityWh, ReserveWh float64
	// FrostDays have an hour below FrostC; NoChargeDays had sun, all of it while
	// the cell was below ChargeMinC.
	FrostDays, NoChargeDays int
	ChargeMinC              float64
	// FrostAlone is whether it would live if the cell could be charged in frost.
	FrostAlone bool
	// Basis is that of the exposure: what its days cannot show.
	Basis    string
	Heat     Heat
	Warnings []string
}

// EmptyShare returns the share of the hours of a run without power, 0 to 1.
func (r *Result) EmptyShare(run Run) float64 {
	if r.Hours == 0 {
		return 0
	}
	return float64(len(run.EmptyOn)) / float64(r.Hours)
}

// frosty is whether frost keeps sun from the cells, in the air as it is or in
// that of the run Cold.
func (r *Result) frosty() bool {
	return r.Cold.InWh < r.Low.InWh || slices.ContainsFunc(r.Months, func(m MonthBalance) bool { return m.ColdLostWh > 0 })
}

// MonthOf returns the balance of a month.
func (r *Result) MonthOf(month int) (MonthBalance, bool) {
	if i := slices.IndexFunc(r.Months, func(m MonthBalance) bool { return m.Month == month }); i >= 0 {
		return r.Months[i], true
	}
	return MonthBalance{}, false
}

// Worst returns the month with the least gain over load, and false with no
// month or no load.
func (r *Result) Worst() (MonthBalance, bool) {
	var worst MonthBalance
	found := false
	for _, m := range r.Months {
		ratio, ok := m.Ratio()
		if was, _ := worst.Ratio(); ok && (!found || ratio < was) {
			worst, found = m, true
		}
	}
	return worst, found
}

// MonthName returns the English name of a month 1 to 12.
func MonthName(month int) string {
	if month < 1 || month > 12 {
		return fmt.Sprintf("month %d", month)
	}
	return time.Month(month).String()
}
