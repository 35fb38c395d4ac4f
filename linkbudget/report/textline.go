package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"github.com/polereach/polereach/terrain/magnetic"
)

// lineWidth is what a phone held sideways shows without breaking lines itself.
const lineWidth = 76

// writeWrapped writes text after head, broken at spaces; further lines are
// indented by the width of head.
func writeWrapped(w io.Writer, head, text string) {
	indent := strings.Repeat(" ", runes(head))
	line, room := head, lineWidth-runes(head)
	used := 0
	for _, word := range strings.Fields(text) {
		n := runes(word)
		if used > 0 && used+1+n > room {
			fmt.Fprintln(w, line)
			line, used = indent, 0
		}
		if used > 0 {
			line += " "
			used++
		}
		line += word
		used += n
	}
	fmt.Fprintln(w, line)
}

// writeMost calls row for as many of a list as a text shows and counts the others after
// indent; more ends that line.
func writeMost[T any](out io.Writer, indent string, list []T, most int, more string, row func(T)) {
	for _, one := range list[:min(most, len(list))] {
		row(one)
	}
	if n := len(list) - most; n > 0 {
		writeWrapped(out, indent, fmt.Sprintf("and %d more%s", n, more))
	}
}

// askedMark tells a required link from a wanted and an unplanned one.
func askedMark(required, wanted bool) string {
	switch {
	case required:
		return "*"
	case wanted:
		return "+"
	}
	return " "
}

func runes(s string) int { return utf8.RuneCountInString(s) }

// pad fills s with spaces to width, or cuts it and ends it with a full stop.
func pad(s string, width int) string {
	n := runes(s)
	if n > width {
		return string([]rune(s)[:width-1]) + "."
	}
	return s + strings.Repeat(" ", width-n)
}

// wholeDeg rounds a bearing to whole degrees below 360.
func wholeDeg(deg float64) float64 { return math.Mod(math.Round(deg), 360) }

// bearingText is a direction in whole degrees, with that of a compass where it is known.
func bearingText(trueDeg float64, c magnetic.Compass) string {
	text := fmt.Sprintf("%.0f deg true", wholeDeg(trueDeg))
	if c.Known() {
		text += fmt.Sprintf(", %.0f magnetic", wholeDeg(c.BearingDeg(trueDeg)))
	}
	return text
}

// writeMagnetic writes what magnetic bearings rest on; nothing for "".
func writeMagnetic(out io.Writer, note string) {
	if note != "" {
		writeWrapped(out, "  magnetic: ", note)
	}
}
