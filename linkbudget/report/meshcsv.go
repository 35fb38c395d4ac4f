package report

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"io"
	"strconv"

	"github.com/polereach/polereach/linkbudget/plan"
)

// MeshCSV writes one row per examined link (RFC 4180, lines end in CR LF), those
// that matter most first. The header holds keys that end in their unit; a
// figure that is not known is an empty field. The error is that of w.
func MeshCSV(w io.Writer, m *plan.Mesh) error {
	buffered := bufio.NewWriter(w)
	out := csv.NewWriter(buffered)
	out.UseCRLF = true
	row := make([]string, len(linkColumns))
	for k, c := range linkColumns {
		row[k] = c.key
	}
	if err := out.Write(row); err != nil {
		return err
	}
	links := meshLinks(m)
	for _, i := range byWeight(m) {
		for k, c := range linkColumns {
			row[k] = field(c.value(&links[i]))
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return err
	}
	return buffered.Flush()
}

func field(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return fmt.Sprint(v)
}
