package report

import (
	"fmt"
	"io"
	"strings"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/band"
)

// rules writes what the table of the band says of one station as the member "rules"; none
// without a band.
func (o *object) rules(station string, r *band.Report) {
	if r != nil {
		o.object("rules", func(o *object) { o.rulesOf(station, r) })
	}
}

func (o *object) rulesOf(station string, r *band.Report) {
	o.some("station", station)
	o.text("band", string(r.Band))
	o.text("status", string(r.Verdict()))
	o.number("eirp_dbm", float64(r.Use.EIRP()), 3)
	o.number("erp_dbm", float64(r.Use.ERP()), 3)
	o.number("conducted_dbm", float64(r.Use.TxDBm), 3)
	if packets, limited := r.PacketsPerHour(); limited {
		o.count("packets_per_hour", packets)
	}
	o.some("silence_s", fixed(r.SilenceS(), 3))
	findings := r.Findings()
	o.list("findings", len(findings), func(i int) {
		f := &findings[i]
		o.some("row", f.Key)
		o.text("topic", string(f.Topic))
		o.text("says", f.Says)
		o.numberIf(f.Unit != "", "have", f.Have, 6)
		o.numberIf(f.Unit != "", "allowed", f.Allowed, 6)
		o.some("unit", f.Unit)
		o.text("status", string(f.Status))
		o.some("source", f.Source)
		o.some("clause", f.Clause)
		o.some("year", f.Year)
		o.some("confidence", string(f.Confidence))
		o.some("second_hand", f.SecondHand)
	})
	o.text("reminder", "check locally")
}

// writeRules prints what the table of the band says of one station.
func writeRules(out io.Writer, title string, r *band.Report) {
	fmt.Fprintf(out, "%s: EIRP %.1f dBm, ERP %.1f dBm, conducted %.1f dBm\n", title, r.Use.EIRP(), r.Use.ERP(),
		r.Use.TxDBm)
	for _, line := range r.Lines() {
		text := strings.TrimLeft(line, " ")
		writeWrapped(out, strings.Repeat(" ", 2+len(line)-len(text)), text)
	}
	fmt.Fprintln(out)
}

// exposureLine tells how far to stay from the antenna, from the peak EIRP of a
// station that transmits all the time; in the cautions' own words where the
// frequency lies outside the limits' range.
func exposureLine(s linkbudget.Station, freqHz float64) string {
	line, err := band.ExposureLine(s.PeakEIRP(freqHz), freqHz)
	if err != nil {
		return "Radio exposure: keep people away from the antenna by the distance the local exposure limits ask."
	}
	return line
}

// cautions are common practice of the trade, not a complete list. Each says what it is
// about before its colon.
var cautions = []string{
	"Trees, houses and wires: the terrain model knows no single ones, and what stands around an antenna is taken as " +
		"stated or assumed; look along the bearing on site.",
	"Power lines: keep pole, ladder and all you hold at least twice the length of pole and antenna away, farther from " +
		"high voltage; if in doubt, do not raise them.",
	"Height: fall protection and a second person; roofs, masts and towers are for qualified riggers under local rules.",
	"Lightning: stay off in a storm; bond and protect as the local code asks, by a licensed electrician.",
	"Antenna before power: a transmitter without one can destroy itself.",
	"Lithium cells: protected, dry, out of the sun, never charged below 0 °C.",
	"Rights and rules, checked locally: to use the site, the band and the equipment.",
}

// Cautions returns the cautions printed at the end of a survey, with the
// distance to keep from the antenna of s at a frequency in Hz.
func Cautions(s linkbudget.Station, freqHz float64) []string {
	return append(append([]string(nil), cautions...), exposureLine(s, freqHz))
}
