package report

import (
	"fmt"
	"io"
	"strings"
)

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
