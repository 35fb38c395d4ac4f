package power

import "fmt"

// Verdict is whether the node gets through.
type Verdict string

// Lives: reserve in every month. Thin: it may run empty in a bad winter. Dies:
// it is expected to fail. Unknown: the sun or the system is not known.
const (
	Lives   Verdict = "lives"
	Thin    Verdict = "thin"
	Dies    Verdict = "dies"
	Unknown Verdict = "unknown"
)

func (v Verdict) rank() int {
	switch v {
	case Lives:
		return 0
	case Thin:
		return 1
	case Dies:
		return 2
	}
	return 3
}

// worse returns the worse of two verdicts.
func worse(a, b Verdict) Verdict {
	if b.rank() > a.rank() {
		return b
	}
	return a
}

// SunDoubt is the doubt of a month's sun: NREL states up to 30 % on a month of
// a typical year for its own well tested model (PVWatts 5, TP-6A20-62641).
const SunDoubt = 0.30

// Finding is one reason of the verdict.
type Finding struct {
	Verdict Verdict
	Month   int    // 1 to 12, 0 where no month is meant
	Text    string // a clause without a full stop
}

// MonthBalance is the mean day of a month, all years of the exposure together.
type MonthBalance struct {
	Month, Days int       // Month 1 to 12
	SunKWhM2    []float64 // on each panel, mean day
	GainWh      float64   // at the cell, mean day
	LoadWh      float64   // mean day
	ColdLostWh  float64   // not charged because the cell was below 0 C, mean day
	HotLostWh   float64   // not charged because it was above 45 C, mean day
	MeanC       float64
	UsableWh    float64 // of the full bank at MeanC
	DarkNeedWh  float64 // storage that the dark spell needs
	FrostDays   int     // days with a minimum below 0 C
	NoCharge    int     // days with sun on which the cell never could be charged
	EmptyDays   int     // of the middle run
	Verdict     Verdict
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
	// ChargeStops is whether InsideC is above ChargeMaxC.
	ChargeStops bool
	Verdict     Verdict
}

// Result is the answer of Survey.
type Result struct {
	Verdict  Verdict
	Month    int       // the month that decides, 0 where none does
	Findings []Finding // worst first
	Months   []MonthBalance
	// Low, Mid and High are the runs with the sun 30 % poorer, as computed, and
	// 30 % richer.
	Low, Mid, High Run
	// Twice is the darkest week twice in a row, from day TwiceDay on.
	Twice    Run
	TwiceDay int
	// LoadWh is drawn each day, CapacityWh what the aged, warm bank holds.
	LoadWh, CapacityWh float64
	// FrostDays have a minimum below 0 C; NoChargeDays had sun, all of it below 0 C.
	FrostDays, NoChargeDays int
	Heat                    Heat
	Warnings                []string
}

// MonthOf returns the balance of a month.
func (r *Result) MonthOf(month int) (MonthBalance, bool) {
	for _, m := range r.Months {
		if m.Month == month {
			return m, true
		}
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

var monthNames = [...]string{"", "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}

// MonthName returns the English name of a month 1 to 12.
func MonthName(month int) string {
	if month < 1 || month > 12 {
		return fmt.Sprintf("month %d", month)
	}
	return monthNames[month]
}
