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
	key    string
	n      int
	append func(dst []byte, i int) ([]byte, error)
}

// encoded is lineList.append of values that encoding/json writes.
func encoded(at func(i int) any) func(dst []byte, i int) ([]byte, error) {
	return func(dst []byte, i int) ([]byte, error) {
		buf := bytes.NewBuffer(dst)
		enc := json.NewEncoder(buf)
		enc.SetEscapeHTML(false)
		err := enc.Encode(at(i))
		return bytes.TrimSuffix(buf.Bytes(), []byte("\n")), err
	}
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
	var line []byte
	for _, l := range lists {
		fmt.Fprintf(out, ",\n  %q: [", l.key)
		for i := range l.n {
			var err error
			if line, err = l.append(line[:0], i); err != nil {
				return err
			}
			separator := ",\n    "
			if i == 0 {
				separator = "\n    "
			}
			out.WriteString(separator)
			out.Write(line)
		}
		if l.n > 0 {
			out.WriteString("\n  ")
		}
		out.WriteString("]")
	}
	out.WriteString("\n}\n")
	return out.Flush()
}
