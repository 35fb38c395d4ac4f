package report

import "github.com/polereach/polereach/linkbudget"

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
