package report

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"sort"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/calibrate"
	"github.com/polereach/polereach/terrain/fault"
)

// CalibrateText writes what nodes heard beside what was predicted, for a person. The error is
// that of w.
func CalibrateText(w io.Writer, a *calibrate.Answer) (err error) {
	defer fault.Recovered(&err)
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "BIAS  %+.1f dB (95 %%: %+.1f to %+.1f): %s\n", a.Bias.DB, a.Bias.Low(), a.Bias.High(), biasText(a))
	writeWrapped(out, "  ", "predicted less measured loss; above 0 more arrives than predicted")
	writeWrapped(out, "  ", fmt.Sprintf("%d rows, %d used, %d faulty; %s; stated doubts, hardware apart, times %.2f",
		a.Rows, a.Good,
		a.Faulty, fmt.Sprintf("%d links, one way each", len(a.Links)), a.Spread))
	writeSummary(out, "as stated", a.Before)
	writeSummary(out, "each predicted from all others", a.After)
	fmt.Fprintln(out)
	writeHeard(out, a)
	var names []string
	for _, n := range a.Nodes {
		names = append(names, n.Name)
	}
	cut := cutNames(names, 14)
	fmt.Fprintf(out, "\n  %-14s %5s %12s %12s %16s\n", "node", "links", "sends dB", "hears dB", "sends - hears dB")
	writeMost(out, "  ", a.Nodes, mostRows, jsonListsAll, func(n calibrate.Node) {
		fmt.Fprintf(out, "  %-14s %5d %12s %12s %16s\n", cut(n.Name), n.Links, intervalText(n.Sends), intervalText(n.Hears),
			intervalText(n.Difference))
	})
	writeWrapped(out, "  ", "against its data sheets and the area, ± half of the 95 % interval; what sending and "+
		"hearing have in common is what stands around a node")
	fmt.Fprintf(out, "\n  %-34s %5s %6s %6s  %s\n", "kind of path", "links", "bias", "spread", "inside 50/80/95 %")
	for _, k := range a.Kinds {
		fmt.Fprintf(out, "  %-34s %5d %+6.1f %6.1f  %s\n", k.Name, k.Links, k.BiasDB, k.SpreadDB, insideText(k.Inside))
	}
	fmt.Fprintln(out)
	for i, c := range a.Causes {
		head := "          "
		if i == 0 {
			head = "explains: "
		}
		text := fmt.Sprintf("%.0f %% %s (%.1f dB)", 100*c.Share, c.Name, c.RMSDB)
		if c.Most != "" {
			text += "; most " + c.Most
		}
		writeWrapped(out, head, text)
	}
	for _, note := range a.Notes {
		writeWrapped(out, "note: ", note)
	}
	writeMost(out, "", a.Unpredicted, 10, " links without a prediction"+jsonListsAll, func(text string) {
		writeWrapped(out, "not predicted: ", text)
	})
	writeMost(out, "", a.Faults, 10, " faulty rows"+jsonListsAll, func(f calibrate.Fault) {
		writeWrapped(out, "faulty: ", f.String())
	})
	return out.Flush()
}

func biasText(a *calibrate.Answer) string {
	switch {
	case a.Bias.Low() > 0:
		return "more arrives than predicted"
	case a.Bias.High() < 0:
		return "less arrives than predicted"
	}
	return "the prediction may be right in the mean"
}

func writeSummary(out io.Writer, name string, s calibrate.Summary) {
	if s.Links > 0 {
		writeWrapped(out, "  ", fmt.Sprintf("%s: bias %+.1f dB, spread %.1f dB, inside the 50/80/95 %% intervals %s of %d",
			name, s.BiasDB,
			s.SpreadDB, insideText(s.Inside), s.Links))
	}
}

func insideText(share [3]float64) string {
	return fmt.Sprintf("%.0f/%.0f/%.0f %%", 100*share[0], 100*share[1], 100*share[2])
}

func intervalText(i calibrate.Interval) string {
	return fmt.Sprintf("%+.1f ± %.1f", i.DB, i.High()-i.DB)
}

// writeHeard is the table of heard signals, the farthest off first.
func writeHeard(out io.Writer, a *calibrate.Answer) {
	links := append([]calibrate.Link(nil), a.Links...)
	off := func(l *calibrate.Link) float64 { // that nothing was heard where little was expected tells nothing
		if !l.HasLevel {
			return max(-l.Sigmas(), 0)
		}
		return math.Abs(l.Sigmas())
	}
	sort.SliceStable(links, func(i, j int) bool { return off(&links[i]) > off(&links[j]) })
	var names []string
	for _, l := range links {
		names = append(names, l.From, l.To)
	}
	cut := cutNames(names, 12)
	fmt.Fprintf(out, "  %-12s %-12s %4s %5s %4s %6s %6s %4s %11s\n", "from", "to", "km", "heard", "lost", "dBm", "diff.",
		"s", "after")
	writeMost(out, "  ", links, mostRows, csvListsAll, func(l calibrate.Link) {
		level, difference := fmt.Sprintf("%.1f", l.Measured.DB), fmt.Sprintf("%+.1f", l.DifferenceDB)
		sigmas, mark := fmt.Sprintf("%+.1f", l.Sigmas()), ""
		if !l.HasLevel {
			level, difference = "none", "<"+difference
			if l.DifferenceDB > 0 {
				sigmas = ""
			}
		}
		if l.Outlier {
			mark = " !"
		}
		fmt.Fprintf(out, "  %-12s %-12s %4.1f %5d %4d %6s %6s %4s %11s%s\n", cut(l.From), cut(l.To), l.DistM/1000, l.Heard,
			l.Lost, level, difference, sigmas, fmt.Sprintf("%+.1f ± %.1f", l.After.DB, l.After.SigmaDB), mark)
	})
	writeWrapped(out, "  ", "dBm: median of the signal; diff.: measured less predicted level, dB, in stated doubts "+
		"under s; after: what the calibration makes of it, and its doubt; !: more than three doubts from what all others "+
		"lead to expect")
}

// CalibrationText says what is used of a calibration, "" where there is none.
func CalibrationText(e linkbudget.Environment) string {
	c := e.Calibration
	if c == nil {
		return ""
	}
	return fmt.Sprintf("calibrated by %s: %+.1f dB (±%.1f) in this area, %d nodes and %d paths with levels of their "+
		"own, stated "+
		"doubts times %.2f; above 0 more arrives than predicted; --calibration none leaves it out", c.Source,
		float64(c.AreaDB), float64(c.AreaSigmaDB), len(c.Nodes), len(c.Paths), c.Spread)
}

func writeCalibration(out io.Writer, indent string, e linkbudget.Environment) {
	if text := CalibrationText(e); text != "" {
		writeWrapped(out, indent, text)
	}
}

// calibration writes what is used as the member "calibration", nothing where there is none.
func (o *object) calibration(e linkbudget.Environment) {
	c := e.Calibration
	if c == nil {
		return
	}
	o.object("calibration", func(o *object) {
		o.text("file", c.Source)
		o.number("area_db", float64(c.AreaDB), 2)
		o.number("area_sigma_db", float64(c.AreaSigmaDB), 2)
		o.number("spread", c.Spread, 3)
		o.count("nodes", len(c.Nodes))
		o.count("paths", len(c.Paths))
	})
}
