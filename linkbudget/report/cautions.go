package report

// cautions are common practice of the trade, not a complete list.
var cautions = []string{
	"The terrain model knows no single trees, houses or wires: look along the bearing on site.",
	"Power lines: keep pole and antenna farther away than their own length; if in doubt, do not raise them.",
	"Height: fall protection and a second person; roofs, masts and towers are for qualified riggers under local rules.",
	"Lightning: stay off in a storm; bond and protect as the local code asks, by a licensed electrician.",
	"Radio: fit the antenna before power; keep people away from it by the distance the local exposure limits ask.",
	"Lithium cells: protected, dry, out of the sun, never charged below 0 °C.",
	"Band, power, duty cycle and the right to use the site are not judged here: check locally.",
}

// Cautions returns the cautions printed at the end of a survey.
func Cautions() []string { return append([]string(nil), cautions...) }
