package plan

import (
	"fmt"
	"strings"
)

// liberty is a kind of thing that is read although it is not as [Keys] has it.
type liberty int

const (
	noLiberty liberty = iota
	altitude
	onePart
	numberAsText
	truthAsText
	nameAsNumber
	wordSpelt
	emptyCell
	namedAs
	numbered
	madeUnique
	snapped
	liberties // how many
)

// What each is told as: once in a file, with the first places and how many there are.
var libertyNotes = [liberties]string{
	altitude: "altitudes are not used: antennas are as high as height_m says, above ground, never as the altitude " +
		"says",
	onePart:      "Multi geometries of one part are taken for the part",
	numberAsText: "numbers given as text are taken for the numbers",
	truthAsText:  "text, 0 and 1 are taken for true and false",
	nameAsNumber: "numbers are taken for names",
	wordSpelt:    "words in other letters or separators are taken for ours",
	emptyCell:    "empty text is taken for a value that is not given",
	namedAs:      `features without "name" are named by what else they say`,
	numbered:     `Points without "name" are numbered in the order of the file, from 1`,
	madeUnique:   "names that would stand twice are numbered",
	snapped:      "LineStrings without from and to link the stations within 50 m of their ends",
}

// firstTold is how many places of a liberty are told.
const firstTold = 3

// notes collects the liberties taken.
type notes [liberties]struct {
	count int
	first []string
}

// took notes a liberty at the feature at work; what tells more of it.
func (r *reader) took(l liberty, format string, args ...any) {
	n := &r.notes[l]
	if n.count++; n.count > firstTold {
		return
	}
	at := strings.TrimSuffix(place("", r.feature, r.name), ": ")
	if what := fmt.Sprintf(format, args...); what != "" {
		at += " " + what
	}
	n.first = append(n.first, at)
}

// told lists them.
func (n *notes) told(source string) (list []string) {
	for l := range n {
		of := &n[l]
		if of.count == 0 {
			continue
		}
		text := place(source, -1, "") + libertyNotes[l] + ": " + strings.Join(of.first, ", ")
		if more := of.count - len(of.first); more > 0 {
			text += fmt.Sprintf(" and %d more", more)
		}
		list = append(list, text)
	}
	return list
}
