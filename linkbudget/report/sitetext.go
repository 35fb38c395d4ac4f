package report

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/magnetic"
)

// SiteText writes the answer for a person in the field: the verdict, a table
// of neighbours, why, cautions.
func SiteText(w io.Writer, s *mesh.Site, opt SiteOptions) (err error) {
	defer fault.Recovered(&err)
	out := bufio.NewWriter(w)
	verdict := func(out io.Writer) { fmt.Fprintf(out, "%s: %s\n", PoleName(s.At.Name), SiteVerdict(s)) }
	verdict(out)
	fmt.Fprintf(out, "  %.5f, %.5f  %s  antenna %g m up\n", s.At.At.Lon(), s.At.At.Lat(), groundText(s), s.Pole.HeightM)
	fmt.Fprintf(out, "  %s  %s\n", ChannelText(s.Settings.Environment), StationText(s.Pole))
	writeConditions(out, s.Settings)
	writeCalibration(out, "  ", s.Settings.Environment)
	writePower(out, opt.Power)
	fmt.Fprintln(out)

	here := magnetic.NewCompass(s.At.At, opt.Date)
	writeTable(out, s, here)
	fmt.Fprintln(out)
	writeWhy(out, s)
	for _, warning := range append(append([]string(nil), opt.Warnings...), s.Warnings...) {
		writeWrapped(out, "note: ", warning)
	}
	writeSiteRules(out, s)
	writeEnd(w, out, Cautions(s.Pole, s.Settings.Environment.FreqHz), func(out io.Writer) {
		verdict(out)
		writePower(out, opt.Power)
	})
	return out.Flush()
}

// SiteVerdict is what is read first of a pole: the word, then what was wanted.
func SiteVerdict(s *mesh.Site) string {
	if s == nil {
		return strings.ToUpper(linkbudget.Unknown.String())
	}
	word := strings.ToUpper(s.Verdict.String())
	all := fmt.Sprintf("%d of %d neighbours", s.Reached, len(s.Links))
	if s.RequiredCount > 0 {
		return fmt.Sprintf("%s  %d of %d required links, %s", word, s.RequiredReached, s.RequiredCount, all)
	}
	return fmt.Sprintf("%s  %s (%d wanted)", word, all, s.AtLeast)
}

func groundText(s *mesh.Site) string {
	if s.GroundFlag.Known() {
		return fmt.Sprintf("ground %.0f m", s.GroundM)
	}
	return "ground unknown: " + s.GroundFlag.String()
}

func writeTable(out io.Writer, s *mesh.Site, here magnetic.Compass) {
	if len(s.Links) == 0 {
		fmt.Fprintln(out, "No neighbour in range.")
		return
	}
	width := len("neighbour")
	var names []string
	for _, l := range s.Links {
		width = max(width, runes(l.Neighbour.Name))
		names = append(names, l.Neighbour.Name)
	}
	width = min(width, 12)
	cut := cutNames(names, width)
	deg := fmt.Sprintf("%3s", "deg")
	if here.Known() {
		deg += " mag"
	}
	fmt.Fprintf(out, "  %-*s %4s %s %-7s%7s %4s %4s %6s %2s %4s %s\n", width, "neighbour", "km", deg, "path", "F1",
		"at", "loss", "margin", "±", "P", "verdict")
	for i := range s.Links {
		l := &s.Links[i]
		deg := fmt.Sprintf("%3.0f", wholeDeg(l.AzimuthDeg))
		if here.Known() {
			deg += fmt.Sprintf(" %3.0f", wholeDeg(here.BearingDeg(l.AzimuthDeg)))
		}
		fmt.Fprintf(out, "%s %s %4.1f %s ", askedMark(l.Required, l.Wanted), pad(cut(l.Neighbour.Name), width),
			l.DistM/1000, deg)
		if l.Verdict == linkbudget.Unknown {
			fmt.Fprintf(out, "%-7s%7s %4s %4s %6s %2s %4s %s\n", "", "", "", "", "", "", "", l.Verdict)
			continue
		}
		f1, at := "", ""
		if l.HasWorst {
			f1, at = linkbudget.FresnelText(l.Worst.Fraction, 2), fmt.Sprintf("%.1f", l.Worst.AtM/1000)
		}
		fmt.Fprintf(out, "%-7s%7s %4s %4.0f %+6.0f %2.0f %3s%% %s\n", l.Path, f1, at, l.LossDB, l.MarginDB, l.Doubt.SigmaDB,
			linkbudget.ChanceText(l.Probability, l.Environment.WantPercent), l.Verdict)
	}
	writeLegend(out, s, here)
}

// timeText says which links of a site hold for less than most of the time.
func timeText(s *mesh.Site) string {
	var less []string
	for i := range s.Links {
		if l := &s.Links[i]; l.Verdict != linkbudget.Unknown && l.TimePercentHeld < mostOfTime {
			less = append(less, l.Neighbour.Name+" "+linkbudget.TimePercentText(l.TimePercentHeld)+" %")
		}
	}
	text := fmt.Sprintf("in time: where the prediction is right the level is enough for %g %% of an average year or more",
		float64(mostOfTime))
	if len(less) > 0 {
		text += ", but " + strings.Join(less, ", ")
	}
	return text
}

// mostOfTime is a share of time, per cent, from which none is named: an hour in four days.
const mostOfTime = 99

func writeLegend(out io.Writer, s *mesh.Site, here magnetic.Compass) {
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
	if note := here.Note(); here.Known() {
		parts = append(parts, "deg: true bearing; mag: by compass, "+note)
	} else if note != "" {
		parts = append(parts, "deg: true bearing; that of a compass is "+note)
	}
	parts = append(parts, "F1: least clearance in first Fresnel radii, the nearest 50 to 100 m of both ends left out, "+
		"at km from the pole; 0.6 and more is clear", "loss, margin and its doubt (±) in dB; P: chance that the link closes")
	want := wantPercent(s.Settings.Environment)
	parts = append(parts, fmt.Sprintf("reaches: P %g %% or more; marginal: 50 to %g %%; short: below 50 %%", want, want))
	parts = append(parts, timeText(s))
	if len(s.Beyond) > 0 {
		parts = append(parts, "out of range, not examined: "+strings.Join(s.Beyond, ", "))
	}
	for _, p := range parts {
		writeWrapped(out, "  ", p)
	}
}

func writeWhy(out io.Writer, s *mesh.Site) {
	if len(s.Links) == 0 {
		return
	}
	fmt.Fprintln(out, "Why")
	var plain []string
	var hopeless *mesh.SiteLink
	advised := false
	for i := range s.Links {
		l := &s.Links[i]
		if l.Plain() {
			plain = append(plain, l.Neighbour.Name)
			continue
		}
		writeWrapped(out, "  ", l.Neighbour.Name+": "+strings.Join(l.Reasons(), "; ")+".")
		writeCounsel(out, l.Verdict, l.Counsel, s.Rules != nil)
		advised = advised || len(l.Counsel.Advice) > 0
		if hopeless == nil && needsRelay(l.Verdict, l.Counsel) {
			hopeless = l
		}
	}
	if advised {
		writeWrapped(out, "  ", aloneText)
	}
	if hopeless != nil && s.At.Name != "" {
		writeRelay(out, &s.At, hopeless.Neighbour)
	}
	if assumed := SiteAssumed(s); assumed != "" {
		writeWrapped(out, "  ", "Assumed: "+assumed+".")
	}
	if len(plain) > 0 {
		writeWrapped(out, "  ", "Clear all the way: "+strings.Join(plain, ", ")+".")
	}
	fmt.Fprintln(out)
}

func writeSiteRules(out io.Writer, s *mesh.Site) {
	if s.Rules == nil {
		fmt.Fprint(out, noBandText+"\n\n")
		return
	}
	writeRules(out, "Rules for "+s.Pole.Name, s.Rules)
	if names := s.BeyondRules(); len(names) > 0 {
		writeWrapped(out, "  ", "Beyond the table as set up here: "+strings.Join(names, ", ")+".")
		fmt.Fprintln(out)
	}
}
