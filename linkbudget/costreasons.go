package linkbudget

import (
	"fmt"
	"strings"
)

// costly is half the power: what the installation loses from here on is told.
const costly DB = 3

// costReasons tells what beside distance and ground takes a good part of the
// level in the weaker direction, or drowns it: the surroundings of an end, an
// antenna that looks elsewhere, crossed antennas, cable, noise.
func (r *Result) costReasons() []string {
	var out, assumed []string
	for _, t := range r.Terms {
		switch t.Name {
		case "free space", "diffraction", "troposcatter":
			continue // told with the path
		}
		switch {
		case t.DB < telling:
		case t.Source == assumedSource:
			assumed = append(assumed, fmt.Sprintf("%.1f dB at %s", t.DB, strings.TrimPrefix(t.Name, openTerm)))
		default:
			out = append(out, fmt.Sprintf("%s costs %.1f dB", t.Name, t.DB))
		}
	}
	if len(assumed) > 0 && r.Verdict != Reaches { // else it is no reason, and Assumed tells
		out = append(out, "open country, assumed, costs "+strings.Join(assumed, " and "))
	}
	w := r.Weaker()
	for _, item := range w.Items {
		if item.DB > -costly || item.Name == "path loss" || strings.HasSuffix(item.Name, "hardware") ||
			item.Name == calibratedItem {
			continue // every node's hardware loses some; what a calibration adds is told with it
		}
		at, toward, what := w.From, w.To, strings.TrimPrefix(item.Name, "transmitter ")
		if rest, isReceiver := strings.CutPrefix(item.Name, "receiver "); isReceiver {
			at, toward, what = w.To, w.From, rest
		}
		switch what {
		case "crossed polarisation":
			out = append(out, fmt.Sprintf("the antennas are crossed, one vertical and one horizontal, which costs %.1f dB",
				-item.DB))
		case "antenna off its peak":
			out = append(out, fmt.Sprintf("the antenna of %s does not look at %s and gives %.1f dB less than its peak", at,
				toward, -item.DB))
		default:
			out = append(out, fmt.Sprintf("%s at %s costs %.1f dB", what, at, -item.DB))
		}
	}
	for i, t := range w.Noise {
		if i > 0 && t.DB >= costly { // the first is the receiver's own
			out = append(out, fmt.Sprintf("%s lifts the noise floor of %s by %.1f dB", t.Name, w.To, t.DB))
		}
	}
	return out
}
