package report

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/magnetic"
)

// Link is one path, as the command "link" has it. AtA and AtB tell nothing where the
// profile has no places.
type Link struct {
	mesh.PathCheck
	A, B     linkbudget.Station
	AtA, AtB orb.Point
	Settings plan.Settings
	// Date is that of the magnetic bearings, the zero time for none.
	Date time.Time
	// WithProfile adds the sampled path to JSON.
	WithProfile bool
	// Warnings say which terrain is missing.
	Warnings []string
}

func (l *Link) figures() *link {
	told := named
	if l.Profile.Points != nil {
		told |= located
	}
	a, b := l.compasses()
	return newLink(&l.PathCheck, told, a, b)
}

// LinkJSON writes the object of the command "link": one entry in links, with
// the keys that "site" uses.
func LinkJSON(w io.Writer, l Link) (err error) {
	defer fault.Recovered(&err)
	one := l.figures()
	a, b := l.compasses()
	if l.WithProfile {
		one.sampled(l.Settings.Environment)
	}
	return writeCommand(w, "link", func(o *object) {
		end := func(key string, s linkbudget.Station, at *orb.Point, i int) {
			if l.Profile.Points == nil {
				at = nil
			}
			o.object(key, func(o *object) {
				o.pole(s.Name, "", at, l.Profile.HeightM[i], endFlag(l.Profile, i), s.HeightM)
			})
		}
		end("a", l.A, &l.AtA, 0)
		end("b", l.B, &l.AtB, len(l.Profile.HeightM)-1)
		o.magnetic(magnetic.Worst(a, b))
		o.settings(l.Settings)
		o.key("links")
		o.open('[')
		one.write(o)
		o.close(']')
		o.text("verdict", l.Result.Verdict.String())
		o.some("warnings", l.Warnings)
		o.value("cautions", Cautions(l.A, l.Settings.Environment.FreqHz))
	})
}

// compasses are those of A and B; zero values where the path has no places.
func (l *Link) compasses() (a, b magnetic.Compass) {
	if l.Profile.Points == nil {
		return a, b
	}
	return magnetic.NewCompass(l.AtA, l.Date), magnetic.NewCompass(l.AtB, l.Date)
}

func endFlag(p terrain.Profile, i int) terrain.Flag {
	if p.Flags == nil {
		return terrain.Ground
	}
	return p.Flags[i]
}

// LinkText writes the answer for a person: verdict, ends, itemised budget of
// the weaker direction, why, cautions.
func LinkText(w io.Writer, l Link) (err error) {
	defer fault.Recovered(&err)
	out := bufio.NewWriter(w)
	r := &l.Result
	a, b := l.compasses()
	what := fmt.Sprintf("%.2f km", r.DistM/1000)
	if l.Profile.Points != nil {
		what += ", bearing " + bearingText(r.AzimuthDeg, a) + ", back " + bearingText(r.BackAzimuthDeg, b)
	}
	if r.Verdict != linkbudget.Unknown {
		what = fmt.Sprintf("%s %%, margin %+.1f ± %.1f dB, path %s, ",
			linkbudget.ChanceText(r.Probability, l.Settings.Environment.WantPercent), r.MarginDB, r.Doubt.SigmaDB, r.Path) + what
	}
	verdict := func(out io.Writer) { writeWrapped(out, strings.ToUpper(r.Verdict.String())+"  ", what) }
	verdict(out)
	last := len(l.Profile.HeightM) - 1
	fmt.Fprintf(out, "  A  %s\n", endText(l.A, l.AtA, l.Profile, 0))
	fmt.Fprintf(out, "  B  %s\n", endText(l.B, l.AtB, l.Profile, last))
	fmt.Fprintf(out, "  %s\n", ChannelText(l.Settings.Environment))
	writeConditions(out, l.Settings)
	writeMagnetic(out, magnetic.Worst(a, b).Note())
	fmt.Fprintln(out)
	if r.Verdict != linkbudget.Unknown {
		writeBudget(out, r)
		writeDoubt(out, l)
	}
	fmt.Fprintln(out, "Why")
	for _, reason := range r.Reasons() {
		writeWrapped(out, "  - ", reason)
	}
	if assumed := linkAssumed(r); assumed != "" {
		writeWrapped(out, "  - ", "assumed: "+assumed)
	}
	writeCounsel(out, r.Verdict, l.Counsel, l.RulesA != nil)
	for _, warning := range l.Warnings {
		writeWrapped(out, "  - ", warning)
	}
	fmt.Fprintln(out)
	if l.RulesA == nil {
		fmt.Fprint(out, noBandText+"\n\n")
	} else {
		writeRules(out, "Rules for A", l.RulesA)
		if l.RulesB.Use != l.RulesA.Use {
			writeRules(out, "Rules for B", l.RulesB)
		}
	}
	writeEnd(w, out, Cautions(l.A, l.Settings.Environment.FreqHz), verdict)
	return out.Flush()
}

func endText(s linkbudget.Station, at orb.Point, p terrain.Profile, i int) string {
	ground := "ground unknown: " + endFlag(p, i).String()
	if endFlag(p, i).Known() {
		ground = fmt.Sprintf("ground %.0f m", p.HeightM[i])
	}
	if p.Points != nil {
		ground = fmt.Sprintf("%.5f, %.5f  %s", at.Lon(), at.Lat(), ground)
	}
	return fmt.Sprintf("%s, antenna %g m  %s", ground, s.HeightM, StationText(s))
}

// writeItem prints one line of a list of decibels, its source wrapped beside it.
func writeItem(out io.Writer, name, value, unit, source string) {
	head := fmt.Sprintf("  %-30s %8s %-3s  ", name, value, unit)
	if source == "" {
		fmt.Fprintln(out, strings.TrimRight(head, " "))
		return
	}
	writeWrapped(out, head, strings.TrimPrefix(source, "ITU-R "))
}

// writeBudget prints the weaker direction; every line is what it adds.
func writeBudget(out io.Writer, r *linkbudget.Result) {
	d := r.Weaker()
	line := func(name string, v float64, unit, source string) {
		writeItem(out, name, fmt.Sprintf("%+.1f", v), unit, source)
	}
	fmt.Fprintf(out, "Budget %s to %s\n", d.From, d.To)
	line("transmitter", float64(d.TxDBm), "dBm", "")
	for _, item := range d.Items {
		if item.Name == "path loss" {
			for _, t := range r.Terms {
				if t.DB != 0 {
					line(t.Name, -float64(t.DB), "dB", t.Source)
				}
			}
			continue
		}
		if item.DB >= 0.05 || item.DB <= -0.05 {
			line(item.Name, float64(item.DB), "dB", itemSource(&item))
		}
	}
	line("arrives", float64(d.RxDBm), "dBm", "")
	line("needed (sensitivity)", float64(d.SensitivityDBm), "dBm", "")
	line("margin", float64(d.MarginDB), "dB", "")
	line("margin when the air bends less", float64(r.PessimisticMarginDB), "dB",
		fmt.Sprintf("k = %.2f, path %s, %s %%", r.PessimisticK, r.PessimisticPath,
			linkbudget.PercentText(r.PessimisticProbability)))
	fmt.Fprintln(out)
}

// itemSource is where the loss of an item comes from, where the reader did not state
// it himself; the receiver's hardware has the same as the transmitter's.
func itemSource(item *linkbudget.Term) string {
	if item.Name == "transmitter hardware" {
		return item.Source
	}
	return ""
}

// writeDoubt itemises the doubt and tells what small-scale fading leaves.
func writeDoubt(out io.Writer, l Link) {
	r := &l.Result
	fmt.Fprintf(out, "Doubt (standard deviations; their squares add up)\n")
	for _, item := range r.Doubt.Items {
		writeItem(out, item.Name, fmt.Sprintf("%.1f", item.DB), "dB", item.Source)
	}
	writeItem(out, "all", fmt.Sprintf("%.1f", r.Doubt.SigmaDB), "dB",
		"so the link closes with "+linkbudget.ChanceText(r.Probability, l.Settings.Environment.WantPercent)+" %")
	level := "the median"
	if l.Settings.Environment.TimePercent != 0 {
		level = "that"
	}
	fmt.Fprintf(out, "  at %s level %s %% of packets arrive, fading %s\n", level, linkbudget.PercentText(l.Delivery),
		l.Settings.Environment.Fading.Kind)
	writeWrapped(out, "  ", fmt.Sprintf("where the prediction is right the level is enough for %s %% of an average year",
		linkbudget.TimePercentText(r.TimePercentHeld)))
	fmt.Fprintln(out)
}
