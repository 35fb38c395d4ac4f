package sheet

import (
	"fmt"
	"strings"

	"github.com/polereach/polereach/linkbudget/mesh"
)

// step is a heading with what is ticked off below it.
type step struct {
	Title string
	Boxes []string
}

// steps are common practice of the trade, in the order of the work; the numbers are those of
// the pole.
func steps(site *mesh.Site, p *page) []step {
	panel := "Panel fixed as planned, out of the antenna's way."
	if p.Sun != nil && len(p.Sun.Panels) > 0 {
		one := p.Sun.Panels[0]
		panel = fmt.Sprintf("Panel %s from the horizontal, facing %s true", one.Tilt.Text, one.True.Text)
		if one.Magnetic.Text != "" {
			panel += fmt.Sprintf(" (%s by compass)", one.Magnetic.Text)
		}
		panel += "; nothing stands before it that the skyline does not show."
	}
	return []step{
		{"Before leaving", []string{
			"Weather, daylight and way back looked at; somebody knows where you are and when you are due.",
			"Right to use the spot in hand, the rules of the band looked up locally.",
			fmt.Sprintf("Node heard on the bench on %s.", strings.Join(strings.Fields(p.Radio), " ")),
			"With you: this sheet, compass, meter, a second radio to listen with, spare ties, sealing tape, water.",
		}},
		{"At the foot of the pole", []string{
			"No wire overhead or within twice the length of pole and antenna.",
			"Looked along every bearing for what no map of heights knows: trees, houses, wires, new masts.",
			"Battery: polarity checked with a meter before connecting; volts: ______",
			"Panel: polarity and open-circuit volts checked in the sun; volts: ______",
			"Antenna, or a dummy load, on the radio before power comes on.",
			"Seals clean and seated, glands tight, every unused hole closed.",
			"Openings of the box and its vents look down.",
			"Shade plate over the box, with an air gap that wind goes through.",
		}},
		{"On the pole", []string{
			fmt.Sprintf("Antenna %s, %s above the ground, nothing metal beside it that was not reckoned with.",
				site.Pole.Polarisation, p.Height.Text),
			"Each cable hangs in a drip loop before it goes into the box.",
			"Strain relief on each cable: none hangs by its connector.",
			"Outdoor connectors wrapped against water, from below upwards.",
			"Box and antenna held by two ties each that stand sun and frost, ends cut, nothing can turn.",
			panel,
			"Earthing, bonding and lightning protection as the local code asks, by who may do it.",
		}},
		{"Before coming down", []string{
			"Power comes back by itself after it is taken away once.",
			"Charging seen in the sun: current or rising volts.",
			"A packet heard from each neighbour and one from here heard there (boxes below); all of it written down.",
			"Pictures of box, antenna, ties and of the view along each bearing; no tool left up.",
		}},
	}
}
