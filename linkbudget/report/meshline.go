package report

import (
	"slices"

	"github.com/polereach/polereach/linkbudget/plan"
)

// lineWriter writes pairs that are no link of the plan as features, whose parts
// that come again and again it makes once.
type lineWriter struct {
	columns   []column
	keys      [][]byte // of the columns, each with the comma before it
	names, at [][]byte // of the stations
	out       []byte
}

func newLineWriter(m *plan.Mesh, columns []column) *lineWriter {
	w := &lineWriter{columns: columns}
	for _, c := range columns {
		w.keys = append(w.keys, slices.Concat([]byte(","), rawJSON(c.key), []byte(":")))
	}
	for i := range m.Stations {
		w.names, w.at = append(w.names, rawJSON(m.Stations[i].Station.Name)), append(w.at, rawJSON(m.Stations[i].At))
	}
	return w
}

// line holds until the next one is made.
func (w *lineWriter) line(l *meshLink) []byte {
	out := append(w.out[:0], `{"type":"Feature","properties":{"from":`...)
	out = append(append(append(out, w.names[l.A]...), `,"to":`...), w.names[l.B]...)
	out = append(out, `,"required":false,"`+schemaKey+`":1`...)
	present := l.present()
	for k := range w.columns {
		f := w.columns[k].value(l, present)
		if f.kind != noFigure {
			out = f.appendJSON(append(out, w.keys[k]...))
		}
	}
	out = append(append(out, `},"geometry":{"type":"LineString","coordinates":[`...), w.at[l.A]...)
	out = append(append(append(out, ','), w.at[l.B]...), `]}}`...)
	w.out = out
	return out
}
