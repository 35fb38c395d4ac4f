package report

import (
	"fmt"
	"io"
	"math"
	"strconv"
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

// pad fills s with spaces to width.
func pad(s string, width int) string { return fmt.Sprintf("%-*s", width, s) }

// cutNames gives what stands for each of these names in a column, no two alike: a name too
// long for it ends in a full stop, or keeps its end where others begin alike, or is numbered.
func cutNames(names []string, width int) func(name string) string {
	as := make(map[string]string, len(names))
	count := make(map[string]int, len(names))
	for _, name := range names {
		if _, known := as[name]; known {
			continue
		}
		as[name] = name
		if runes(name) > width {
			as[name] = string([]rune(name)[:width-1]) + "."
		}
		count[as[name]]++
	}
	for _, name := range names {
		if first := as[name]; runes(name) > width && count[first] > 1 {
			r := []rune(name)
			end := r[len(r)-width/2:]
			as[name] = string(r[:width-1-len(end)]) + "." + string(end)
			for k := 2; count[as[name]] > 0; k++ {
				number := fmt.Sprint(".", k)
				as[name] = string(r[:width-len(number)]) + number
			}
			count[as[name]]++
		}
	}
	return func(name string) string { return as[name] }
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

// column is a figure of a thing of which there are few: a column of CSV, a property of
// GeoJSON and a member of JSON. Its value is nil where it is not known.
type column[T any] struct {
	key   string
	value func(of T) any
}

// part is a figure of what a thing may lack.
func part[T, P any](key string, get func(of T) *P, value func(of T, part *P) any) column[T] {
	return column[T]{key, func(of T) any {
		if p := get(of); p != nil {
			return value(of, p)
		}
		return nil
	}}
}

func columnKeys[T any](columns []column[T]) []string {
	keys := make([]string, len(columns))
	for i := range columns {
		keys[i] = columns[i].key
	}
	return keys
}

// columnMembers writes those that are known.
func columnMembers[T any](o *object, columns []column[T], of T) {
	for _, c := range columns {
		if v := c.value(of); v != nil {
			o.value(c.key, v)
		}
	}
}

// csvField is a figure as text, empty where it is not known.
func csvField(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return fmt.Sprint(v)
}

// positive is nil for 0.
func positive(v float64, decimals int) any {
	if v > 0 {
		return fixed(v, decimals)
	}
	return nil
}

// Screen is a terminal. A text written to it ends with its verdict once more, the lines
// before having gone by, and names its cautions in few lines unless Whole is set. The
// writers of text look for it; anything else gets the whole text, the verdict first.
type Screen struct {
	io.Writer
	Whole bool
}

// writeEnd ends the text for w: the cautions, none for nil, and on a screen the verdict. A caution
// says what it is about before its first colon.
func writeEnd(w, out io.Writer, cautions []string, verdict func(out io.Writer)) {
	screen, is := w.(Screen)
	switch {
	case len(cautions) == 0:
	case is && !screen.Whole:
		var about []string
		for _, c := range cautions {
			about = append(about, aboutOf(c))
		}
		writeWrapped(out, "Cautions: ", strings.Join(about, "; ")+". Whole with --cautions.")
	default:
		fmt.Fprintln(out, "Cautions")
		for _, c := range cautions {
			writeWrapped(out, "  - ", c)
		}
	}
	if is {
		fmt.Fprintln(out)
		verdict(out)
	}
}

func aboutOf(caution string) string {
	about, _, _ := strings.Cut(caution, ":")
	return strings.ToLower(about[:1]) + about[1:]
}
