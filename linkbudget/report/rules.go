package report

import (
	"fmt"
	"io"
	"strings"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/band"
)

type rulesJSON struct {
	Station        string        `json:"station,omitempty"`
	Band           string        `json:"band"`
	Status         string        `json:"status"`
	EIRPDBm        float64       `json:"eirp_dbm"`
	ERPDBm         float64       `json:"erp_dbm"`
	ConductedDBm   float64       `json:"conducted_dbm"`
	PacketsPerHour *int          `json:"packets_per_hour,omitempty"`
	SilenceS       float64       `json:"silence_s,omitempty"`
	Findings       []findingJSON `json:"findings"`
	Reminder       string        `json:"reminder"`
}

type findingJSON struct {
	Row        string   `json:"row,omitempty"`
	Topic      string   `json:"topic"`
	Says       string   `json:"says"`
	Have       *float64 `json:"have,omitempty"`
	Allowed    *float64 `json:"allowed,omitempty"`
	Unit       string   `json:"unit,omitempty"`
	Status     string   `json:"status"`
	Source     string   `json:"source,omitempty"`
	Clause     string   `json:"clause,omitempty"`
	Year       int      `json:"year,omitempty"`
	Confidence string   `json:"confidence,omitempty"`
	SecondHand string   `json:"second_hand,omitempty"`
}

func newRulesJSON(station string, r *band.Report) rulesJSON {
	j := rulesJSON{
		Station: station, Band: string(r.Band), Status: string(r.Verdict()),
		EIRPDBm: dbm(r.Use.EIRP()), ERPDBm: dbm(r.Use.ERP()), ConductedDBm: dbm(r.Use.TxDBm),
		SilenceS: fixed(r.SilenceS(), 3), Reminder: "check locally",
	}
	if packets, limited := r.PacketsPerHour(); limited {
		j.PacketsPerHour = &packets
	}
	for _, f := range r.Findings() {
		one := findingJSON{Row: f.Key, Topic: string(f.Topic), Says: f.Says, Unit: f.Unit, Status: string(f.Status),
			Source: f.Source, Clause: f.Clause, Year: f.Year, Confidence: string(f.Confidence), SecondHand: f.SecondHand}
		if f.Unit != "" {
			one.Have, one.Allowed = ptr(fixed(f.Have, 6)), ptr(fixed(f.Allowed, 6))
		}
		j.Findings = append(j.Findings, one)
	}
	return j
}

// writeRules prints what the table of the band says of one station.
func writeRules(out io.Writer, title string, r *band.Report) {
	fmt.Fprintf(out, "%s: EIRP %.1f dBm, ERP %.1f dBm, conducted %.1f dBm\n", title, r.Use.EIRP(), r.Use.ERP(), r.Use.TxDBm)
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
		return "Radio: keep people away from the antenna by the distance the local exposure limits ask."
	}
	return line
}

// cautions are common practice of the trade, not a complete list.
var cautions = []string{
	"The terrain model knows no single trees, houses or wires, and what stands around an antenna is taken as stated or assumed: look along the bearing on site.",
	"Power lines: keep pole, ladder and all you hold at least twice the length of pole and antenna away, farther from high voltage; if in doubt, do not raise them.",
	"Height: fall protection and a second person; roofs, masts and towers are for qualified riggers under local rules.",
	"Lightning: stay off in a storm; bond and protect as the local code asks, by a licensed electrician.",
	"Antenna before power: a transmitter without one can destroy itself.",
	"Lithium cells: protected, dry, out of the sun, never charged below 0 °C.",
	"The right to use the site, the band and the equipment: check locally.",
}

// Cautions returns the cautions printed at the end of a survey, with the
// distance to keep from the antenna of s at a frequency in Hz.
func Cautions(s linkbudget.Station, freqHz float64) []string {
	return append(append([]string(nil), cautions...), exposureLine(s, freqHz))
}
