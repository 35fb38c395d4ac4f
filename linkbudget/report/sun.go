package report

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/magnetic"
)

// SunOptions says what a sun report carries beside the survey.
type SunOptions struct {
	Name       string  // of the pole; empty for one that is not in the plan
	PanelUpM   float64 // height of the panel above ground
	Cautioning []string
	Warnings   []string // of the plan
	// Date is that of the magnetic bearings, the zero time for none.
	Date time.Time
	// Next leads to real figures where the climate is a default.
	Next string
}

// SunText writes whether a pole lives: the verdict, the months, why, what would
// do, the skyline, cautions.
func SunText(w io.Writer, s *power.PoleSurvey, opt SunOptions) (err error) {
	defer fault.Recovered(&err)
	out := bufio.NewWriter(w)
	verdict := func(out io.Writer) { writeWrapped(out, "", PoleName(opt.Name)+": "+SunVerdict(&s.Result)) }
	verdict(out)
	at := s.Skyline.At
	ground := "ground unknown"
	if len(s.Skyline.Directions) > 0 {
		ground = fmt.Sprintf("ground %.0f m", s.Skyline.EyeM-opt.PanelUpM)
	}
	fmt.Fprintf(out, "  %.5f, %.5f  %s  panel %g m up\n", at.Lon(), at.Lat(), ground, opt.PanelUpM)
	compass := magnetic.NewCompass(at, opt.Date)
	for _, line := range SystemLines(s, compass) {
		writeWrapped(out, "  ", line)
	}
	writeMagnetic(out, compass.Turn())
	if s.Source != "" {
		writeWrapped(out, "  ", "climate: "+s.Source)
		if s.Result.Basis != "" {
			writeWrapped(out, "  ", "these are "+s.Result.Basis)
		}
		if s.Assumed && opt.Next != "" {
			writeWrapped(out, "  ", "for real figures: "+opt.Next)
		}
	}
	fmt.Fprintln(out)
	writeSunMonths(out, s)
	writeSunWhy(out, s)
	writeSkyline(out, s)
	for _, warning := range append(append([]string(nil), opt.Warnings...), s.Result.Warnings...) {
		writeWrapped(out, "note: ", warning)
	}
	writeEnd(w, out, opt.Cautioning, verdict)
	return out.Flush()
}

// PoleName is how a pole is called, one without a name included.
func PoleName(name string) string {
	if name == "" {
		return "New pole"
	}
	return name
}

// SunVerdict is the verdict on one line: the word, the month, the first reason.
// It panics over nil.
func SunVerdict(r *power.Result) string {
	word := strings.ToUpper(string(r.Verdict))
	if r.Verdict == power.Unknown {
		word = "NOT KNOWN"
	}
	switch {
	case len(r.Findings) == 0:
		return word
	case r.Month != 0: // the month of the first reason
		return word + " in " + power.MonthName(r.Month) + ": " + r.Findings[0].Text
	}
	return word + ": " + r.Findings[0].String()
}

// SystemLines say with what the year of a node was computed, a line each for panels, cells with
// the load, and the box; none where too little is stated.
func SystemLines(s *power.PoleSurvey, c magnetic.Compass) []string {
	if s == nil || !s.Stated.Enough() {
		return nil
	}
	var panels []string
	for _, p := range s.System.Panels {
		panels = append(panels, fmt.Sprintf("%g W at %g deg facing %s", p.PeakW, p.TiltDeg, bearingText(p.AzimuthDeg, c)))
	}
	b := s.System.Bank
	load := "load "
	if !s.Stated.Load {
		load = "load of an assumed node "
	}
	lines := []string{
		"panel " + strings.Join(panels, ", ") + "; " + s.System.Charger.Kind.String() + " charger",
		fmt.Sprintf("%d x %.3g Ah %s, %.1f Wh when aged and warm%s; %s%.2f Wh a day", b.Cells, b.CapacityAh, b.Chemistry,
			s.Result.CapacityWh, warmer(b), load, s.Result.LoadWh),
	}
	if box := s.System.Box; box != nil {
		line := fmt.Sprintf("box %.0f x %.0f x %.0f cm, shade %s", 100*box.HeightM, 100*box.WidthM, 100*box.DepthM,
			strings.ReplaceAll(box.Shade.String(), "_", " and "))
		if s.System.Fan != nil {
			line += ", fan"
		}
		lines = append(lines, line)
	}
	return lines
}

// warmer says how much warmer than the air the cells are stated to be.
func warmer(b power.Bank) string {
	if b.WarmerK == 0 {
		return ""
	}
	return fmt.Sprintf(", stated %g K warmer than the air in frost", b.WarmerK)
}

// writeSunMonths prints the sun on the first panel and, where the node is
// known, what it makes of it.
func writeSunMonths(out io.Writer, s *power.PoleSurvey) {
	if len(s.Panels) == 0 {
		return
	}
	fmt.Fprintf(out, "  %-4s%6s%6s  %6s%6s%6s", "", "sun h", "hills", "kWh/m2", "hills", "taken")
	if known := s.Result.Verdict != power.Unknown; known {
		fmt.Fprintf(out, "  %6s%6s%6s  %s", "Wh in", "out", "times", "verdict")
	}
	fmt.Fprintln(out)
	for i, m := range s.Panels[0].Months {
		fmt.Fprintf(out, "  %-4s%6.1f%6.1f  %6.2f%6.2f%5s%%", power.MonthName(i + 1)[:3], s.SunHours[i].FreeH,
			s.SunHours[i].SeenH,
			m.FreeWhM2/1000, m.PlaneWhM2/1000, taken(m.FreeWhM2, m.PlaneWhM2))
		if b, ok := s.Result.MonthOf(i + 1); ok {
			times := ""
			if ratio, ok := b.Ratio(); ok {
				times = fmt.Sprintf("%.2f", math.Floor(100*ratio)/100) // 0.997 is not 1.00
			}
			fmt.Fprintf(out, "  %6.2f%6.2f%6s  %s", b.GainWh, b.LoadWh, times, b.Verdict)
		}
		fmt.Fprintln(out)
	}
	doubt := fmt.Sprintf("All of it ±%.0f %%.", 100*power.SunDoubt)
	if s.Assumed {
		doubt = "The kWh/m2 are of a sky nobody has measured here; only the hours and what the hills take of it are of " +
			"this place."
	}
	writeWrapped(out, "  ", "Mean day of each month, first panel. sun h: hours of sun over a level horizon; hills: "+
		"with the hills; kWh/m2: on the panel (= hours of full sun). "+doubt)
	if s.Result.Verdict != power.Unknown {
		writeWrapped(out, "  ", fmt.Sprintf("Wh in: reaches the cell from all panels; times: in over out. Verdict by the "+
			"lowest hour, a box too hot is told above alone: dies where one goes without power; thin where less than %.1f Wh "+
			"are left with the sun %.0f %% "+
			"poorer, and again in air %.0f K colder (a fifth of the cells or three days of load, the less, at least one day: "+
			"engineering judgement).",
			s.Result.ReserveWh, 100*power.SunDoubt, power.ColdDoubtK))
	}
	fmt.Fprintln(out)
}

// taken is the share that the hills take in percent.
func taken(free, with float64) string {
	if !(free > 0) {
		return "-"
	}
	return fmt.Sprintf("%.0f", 100*max(0, 1-with/free))
}

func writeSunWhy(out io.Writer, s *power.PoleSurvey) {
	r := &s.Result
	if len(r.Findings) > 0 {
		fmt.Fprintln(out, "Why")
		for _, f := range r.Findings {
			writeWrapped(out, "  ", string(f.Verdict)+": "+f.String()+".")
		}
	}
	if r.Verdict != power.Unknown && r.Hours > 0 && r.CapacityWh > 0 {
		writeRuns(out, s)
	}
	if s.Free != "" && s.Free != r.Verdict {
		writeWrapped(out, "  ", fmt.Sprintf("Without the hills: %s.", s.Free))
	}
	if r.FrostAlone {
		writeWrapped(out, "  ", "Frost alone decides: could the cells be charged at any cold, it would live. Told for "+
			"each remedy by itself:")
		for _, a := range s.Counsel.AgainstFrost {
			writeWrapped(out, "    ", fmt.Sprintf("%s: %s%s.", a.Text(), a.Result.Verdict, hoursWithout(&a.Result)))
		}
	}
	for _, a := range s.Counsel.Advice {
		writeWrapped(out, "  would do: ", a.Text()+".")
	}
	if len(s.Counsel.Advice) == 0 && len(s.Counsel.Tried) > 0 {
		writeWrapped(out, "  ", fmt.Sprintf("Nothing tried would do (%s); the best of it %s: look for another spot, or a "+
			"node that needs less.", strings.Join(s.Counsel.Tried, ", "), s.Counsel.Best.Verdict))
	}
	fmt.Fprintln(out)
}

// writeRuns prints the lowest hours, the frost, and what they rest on.
func writeRuns(out io.Writer, s *power.PoleSurvey) {
	r := &s.Result
	writeWrapped(out, "  ", fmt.Sprintf("The cell falls to %.1f, %.1f, %.1f of %.1f Wh at its lowest hour with the sun "+
		"poor (-%.0f %%), as computed, and rich (+%.0f %%), and to %.1f with the sun poor in air %.0f K colder%s.",
		r.Low.LowestWh, r.Mid.LowestWh, r.High.LowestWh, r.CapacityWh, 100*power.SunDoubt, 100*power.SunDoubt,
		r.Cold.LowestWh, power.ColdDoubtK, emptyText(r)))
	air := "the monthly means above, spread over days as weather stations spread"
	if s.Hourly {
		air = "the hours of the climate above"
	}
	writeWrapped(out, "  ", fmt.Sprintf("Frost on %d days of the year%s, by %s. Frost is held against the air without "+
		"the sun's warmth in the box, heat against air and box.",
		r.FrostDays, noCharge(r.NoChargeDays), air))
	if snow := snowText(s); snow != "" {
		writeWrapped(out, "  ", snow)
	}
}

// snowText says whether snow was counted, where there is frost.
func snowText(s *power.PoleSurvey) string {
	switch {
	case s.SnowCounted:
		return "Snow on the panel is counted by month and tilt (Townsend and Powers 2011), from the snow stated in the " +
			"climate."
	case s.Result.FrostDays > 0:
		return "Snow on the panel is not modelled: where it lies, a flat panel gets nothing for days; 60 deg and more " +
			"shed dry snow sooner, wet or frozen snow and rime stay."
	}
	return ""
}

func noCharge(days int) string {
	if days == 0 {
		return ""
	}
	return fmt.Sprintf(", and %d sunny days too cold to charge at all", days)
}

// hoursWithout says how much of the time a result is without power, if at all.
func hoursWithout(r *power.Result) string {
	if len(r.Mid.EmptyOn) == 0 {
		return ""
	}
	return fmt.Sprintf(", without power in %.1f %% of the hours", 100*r.EmptyShare(r.Mid))
}

func emptyText(r *power.Result) string {
	if len(r.Cold.EmptyOn) == 0 && len(r.Low.EmptyOn) == 0 {
		return "; it is without power in none of the hours"
	}
	return fmt.Sprintf("; it is without power in %.1f, %.1f, %.1f and %.1f %% of the hours",
		100*r.EmptyShare(r.Low), 100*r.EmptyShare(r.Mid), 100*r.EmptyShare(r.High), 100*r.EmptyShare(r.Cold))
}
