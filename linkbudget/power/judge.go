package power

import (
	"fmt"
	"slices"
	"strings"

	"github.com/polereach/polereach/linkbudget"
)

// What must be left at the lowest hour of the year with the sun SunDoubt poorer, and again in air
// ColdDoubtK colder: a fifth of the warm bank or three days of load, whichever is less, and never
// less than one day. All engineering judgement: no standard gives them for lithium cells of this
// size.
const (
	ReserveShare = 0.2
	ReserveDays  = 3.0
	// ColdDoubtK is how much colder the air at the pole may be than that of the
	// weather: a hollow, a clear night, the height.
	ColdDoubtK = 3.0
)

// reserveWh is what must be left of a bank at a load a day.
func reserveWh(fullWh, loadWh float64) float64 {
	return max(loadWh, min(ReserveShare*fullWh, ReserveDays*loadWh))
}

// judge holds the lowest hours against the reserve, puts them into their months
// and collects the findings, the worst first.
func (r *Result) judge(e Exposure) {
	r.ReserveWh = reserveWh(r.CapacityWh, r.LoadWh)
	// Rounding must not make a node without a load thin.
	short := func(wh float64) bool { return wh < r.ReserveWh-roundingWh }
	var byMonth [13]*MonthBalance
	for i := range r.Months {
		m := &r.Months[i]
		byMonth[m.Month] = m
		m.Verdict, m.LowestWh, m.ColdestWh = Lives, r.CapacityWh, r.CapacityWh
	}
	for hour := range r.Low.StateWh {
		m := byMonth[e.Air[hour/24].Month]
		m.LowestWh = min(m.LowestWh, r.Low.StateWh[hour])
		m.ColdestWh = min(m.ColdestWh, r.Cold.StateWh[hour])
	}
	for _, hour := range r.Mid.EmptyOn {
		byMonth[e.Air[hour/24].Month].EmptyHours++
	}
	worst := 0
	for i := range r.Months {
		m := &r.Months[i]
		switch {
		case m.EmptyHours > 0:
			m.Verdict = Dies
		case short(m.LowestWh) || short(m.ColdestWh):
			m.Verdict = Thin
		}
		if m.EmptyHours > r.Months[worst].EmptyHours {
			worst = i
		}
	}
	first := r.reserve()
	switch {
	case len(r.Mid.EmptyOn) > 0:
		first = r.empty(&r.Months[worst])
	case short(r.Low.LowestWh):
		first = Finding{Thin, e.Air[r.Low.LowestStep/24].Month,
			fmt.Sprintf("with the sun %.0f %% poorer %s", 100*SunDoubt, r.left(r.Low))}
	case short(r.Cold.LowestWh):
		first = Finding{Thin, e.Air[r.Cold.LowestStep/24].Month, fmt.Sprintf("frost decides: with the sun %.0f %% poorer in "+
			"air %.0f K colder %s", 100*SunDoubt, ColdDoubtK, r.left(r.Cold))}
	}
	all := []Finding{first}
	if f, ok := r.Heat.finding(); ok {
		all = append(all, f)
	}
	slices.SortStableFunc(all, func(a, b Finding) int { return b.Verdict.rank() - a.Verdict.rank() })
	r.Findings, r.Verdict = all, all[0].Verdict
	if r.Verdict != Lives {
		r.Month = all[0].Month
	}
}

// hoursText says how many of the hours of a run were without power.
func (r *Result) hoursText(run Run) string {
	return fmt.Sprintf("without power in %d of %d hours (%.1f %%)", len(run.EmptyOn), r.Hours, 100*r.EmptyShare(run))
}

// left says what is left at the lowest hour of a run, and what is wanted.
func (r *Result) left(run Run) string {
	if len(run.EmptyOn) > 0 {
		return "it is " + r.hoursText(run)
	}
	left, wanted := linkbudget.RoundedApart(run.LowestWh, r.ReserveWh, 1)
	return fmt.Sprintf("%s Wh are left at the lowest hour, wanted are %s", left, wanted)
}

// empty is the finding of a node that runs empty, the most in month m.
func (r *Result) empty(m *MonthBalance) Finding {
	f := Finding{Dies, m.Month, ""}
	switch {
	case m.GainWh == 0 && m.ColdLostWh > 0:
		f.Text = fmt.Sprintf("the cell stays below %.0f C while the sun shines and must not be charged", r.ChargeMinC)
	case m.GainWh == 0 && m.HotLostWh > 0:
		f.Text = fmt.Sprintf("the cell is too hot to be charged while the sun shines: heat keeps %.2f Wh a day from it",
			m.HotLostWh)
	case m.GainWh == 0:
		f.Text = "no sun reaches the panel"
	default:
		f.Text = fmt.Sprintf("%.2f Wh a day come in (%.2f to %.2f), %.2f go out", m.GainWh, m.GainWh*(1-SunDoubt),
			m.GainWh*(1+SunDoubt), m.LoadWh)
		switch {
		case m.ColdLostWh > m.GainWh/4:
			f.Text += fmt.Sprintf("; frost keeps another %.2f from the cell", m.ColdLostWh)
		case m.HotLostWh > m.GainWh/4:
			f.Text += fmt.Sprintf("; heat keeps another %.2f from the cell", m.HotLostWh)
		}
	}
	f.Text += "; " + r.hoursText(r.Mid)
	var others []string
	for _, o := range r.Months {
		if o.EmptyHours > 0 && o.Month != m.Month {
			others = append(others, MonthName(o.Month))
		}
	}
	if len(others) > 0 {
		f.Text += ", some of them in " + strings.Join(others, ", ")
	}
	return f
}

func (h Heat) finding() (Finding, bool) {
	if !h.Known {
		return Finding{}, false
	}
	f := Finding{Verdict: h.Verdict, Month: h.Month}
	f.Text = fmt.Sprintf("in the hottest hour the box reaches %.1f C (air %.0f C and %.0f K of sun)", h.InsideC,
		h.AirC, h.RiseK)
	switch limit := fmt.Sprintf("the %.0f C of the %s", h.LimitC, h.LimitOf); {
	case h.Verdict == Dies:
		f.Text += ", above " + limit
	case h.Verdict == Thin:
		f.Text += ", near " + limit
	case h.ChargeStops:
		f.Text += fmt.Sprintf("; charging pauses above %.0f C", h.ChargeMaxC)
	}
	return f, true
}

// reserve says how well it lives.
func (r *Result) reserve() Finding {
	worst, ok := r.Worst()
	if !ok {
		return Finding{Verdict: Lives, Text: "there is no load"}
	}
	ratio, _ := worst.Ratio()
	return Finding{Verdict: Lives, Text: fmt.Sprintf("%s, the poorest month, brings %.1f to %.1f times the load; with "+
		"the sun %.0f %% poorer and the air %.0f K colder %.1f of %.1f Wh are left at the lowest hour",
		MonthName(worst.Month), ratio*(1-SunDoubt), ratio*(1+SunDoubt), 100*SunDoubt, ColdDoubtK, min(r.Low.LowestWh,
			r.Cold.LowestWh), r.CapacityWh)}
}
