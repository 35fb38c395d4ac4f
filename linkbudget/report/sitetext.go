package report

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
)

// SiteText writes the answer for a person in the field: the verdict, a table
// of neighbours, why, cautions.
func SiteText(w io.Writer, s *plan.Site, opt SiteOptions) error {
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "%s: %s\n", poleName(s), siteVerdict(s))
	fmt.Fprintf(out, "  %.5f, %.5f  %s  antenna %g m up\n", s.At.At.Lon(), s.At.At.Lat(), groundText(s), s.Pole.HeightM)
	fmt.Fprintf(out, "  %s  %s\n\n", channelText(s.Settings.Environment), stationText(s.Pole))

	writeTable(out, s)
	fmt.Fprintln(out)
	writeWhy(out, s)
	for _, warning := range append(append([]string(nil), opt.Warnings...), s.Warnings...) {
		writeWrapped(out, "note: ", warning)
	}
	writeCautions(out)
	return out.Flush()
}

func poleName(s *plan.Site) string {
	if s.At.Name == "" {
		return "New pole"
	}
	return s.At.Name
}

// siteVerdict is the first thing read: the word, then what was wanted.
func siteVerdict(s *plan.Site) string {
	word := strings.ToUpper(string(s.Verdict))
	all := fmt.Sprintf("%d of %d neighbours", s.Reached, len(s.Links))
	if s.RequiredCount > 0 {
		return fmt.Sprintf("%s  %d of %d required links, %s", word, s.RequiredReached, s.RequiredCount, all)
	}
	return fmt.Sprintf("%s  %s (%d wanted)", word, all, s.AtLeast)
}

func groundText(s *plan.Site) string {
	if s.GroundFlag.Known() {
		return fmt.Sprintf("ground %.0f m", s.GroundM)
	}
	return "ground unknown: " + s.GroundFlag.String()
}

func writeTable(out io.Writer, s *plan.Site) {
	if len(s.Links) == 0 {
		fmt.Fprintln(out, "No neighbour in range.")
		return
	}
	width := len("neighbour")
	for _, l := range s.Links {
		width = max(width, runes(l.Neighbour.Name))
	}
	width = min(width, 16)
	fmt.Fprintf(out, "  %-*s %6s %4s  %-8s%6s %5s %6s %6s  %s\n", width, "neighbour", "km", "deg", "path", "F1", "at km", "loss", "margin", "verdict")
	for i := range s.Links {
		l := &s.Links[i]
		fmt.Fprintf(out, "%s %s %6.2f %4.0f  ", mark(l), pad(l.Neighbour.Name, width), l.DistM/1000, wholeDeg(l.AzimuthDeg))
		if l.Verdict == linkbudget.Unknown {
			fmt.Fprintf(out, "%-8s%6s %5s %6s %6s  %s\n", "", "", "", "", "", l.Verdict)
			continue
		}
		f1, at := "", ""
		if l.HasWorst {
			f1, at = fmt.Sprintf("%.2f", l.Worst.Fraction), fmt.Sprintf("%.1f", l.Worst.AtM/1000)
		}
		fmt.Fprintf(out, "%-8s%6s %5s %6.1f %+6.1f  %s\n", l.Path, f1, at, l.LossDB, l.MarginDB, l.Verdict)
	}
	writeLegend(out, s)
}

// mark tells a required link from a wanted and an unplanned one.
func mark(l *plan.SiteLink) string {
	switch {
	case l.Required:
		return "*"
	case l.Wanted:
		return "+"
	}
	return " "
}

func writeLegend(out io.Writer, s *plan.Site) {
	var parts []string
	if s.RequiredCount > 0 {
		parts = append(parts, "* required by the plan")
	}
	for _, l := range s.Links {
		if l.Wanted && !l.Required {
			parts = append(parts, "+ wanted, not required")
			break
		}
	}
	parts = append(parts, "F1: least clearance in first Fresnel radii, 0.6 and more is clear; loss and margin in dB")
	solid := orDefault(s.Settings.Environment.SolidMarginDB, linkbudget.DefaultSolidMarginDB)
	parts = append(parts, fmt.Sprintf("reaches: margin %g dB or more; marginal: 0 to %g; short: below 0", float64(solid), float64(solid)))
	if len(s.Beyond) > 0 {
		parts = append(parts, "out of range, not examined: "+strings.Join(s.Beyond, ", "))
	}
	for _, p := range parts {
		writeWrapped(out, "  ", p)
	}
}

func writeWhy(out io.Writer, s *plan.Site) {
	if len(s.Links) == 0 {
		return
	}
	fmt.Fprintln(out, "Why")
	var plain []string
	for i := range s.Links {
		l := &s.Links[i]
		if l.Plain() {
			plain = append(plain, l.Neighbour.Name)
			continue
		}
		writeWrapped(out, "  ", l.Neighbour.Name+": "+strings.Join(l.Reasons(), "; ")+".")
	}
	if len(plain) > 0 {
		writeWrapped(out, "  ", "Clear all the way: "+strings.Join(plain, ", ")+".")
	}
	fmt.Fprintln(out)
}

func writeCautions(out io.Writer) {
	fmt.Fprintln(out, "Cautions")
	for _, c := range cautions {
		writeWrapped(out, "  - ", c)
	}
}
