package report

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
)

// lineList is a member whose elements are written one a line.
type lineList struct {
	key string
	n   int
	at  func(i int) any
}

// writeLines writes an object: the members of head indented, then the lists.
// Elements are made one at a time, so that a large mesh is not held twice.
func writeLines(w io.Writer, head any, lists ...lineList) error {
	out := bufio.NewWriter(w)
	var buf bytes.Buffer
	if err := writeJSON(&buf, head); err != nil {
		return err
	}
	out.Write(bytes.TrimSuffix(buf.Bytes(), []byte("\n}\n")))
	for _, l := range lists {
		fmt.Fprintf(out, ",\n  %q: [", l.key)
		for i := range l.n {
			buf.Reset()
			enc := json.NewEncoder(&buf)
			enc.SetEscapeHTML(false)
			if err := enc.Encode(l.at(i)); err != nil {
				return err
			}
			separator := ",\n    "
			if i == 0 {
				separator = "\n    "
			}
			out.WriteString(separator)
			out.Write(bytes.TrimSuffix(buf.Bytes(), []byte("\n")))
		}
		if l.n > 0 {
			out.WriteString("\n  ")
		}
		out.WriteString("]")
	}
	out.WriteString("\n}\n")
	return out.Flush()
}
