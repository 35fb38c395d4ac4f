package report

import (
	"strconv"

	"github.com/polereach/polereach/linkbudget/plan"
)

// lineWriter writes pairs that are no link of the plan as features, whose parts
// that come again and again it makes once.
type lineWriter struct {
	names, at [][]byte // of the stations
	out       members
	figures   budgetFigures
}

func newLineWriter(m *plan.Mesh) *lineWriter {
	w := &lineWriter{}
	for i := range m.Stations {
		w.names, w.at = append(w.names, rawJSON(m.Stations[i].Station.Name)), append(w.at, rawJSON(m.Stations[i].At))
	}
	return w
}

// line holds until the next one is made.
func (w *lineWriter) line(l *meshLink) []byte {
	out := append(w.out.b[:0], `{"type":"Feature","properties":{"from":`...)
	out = append(append(append(out, w.names[l.A]...), `,"to":`...), w.names[l.B]...)
	w.out.b = append(out, `,"required":false,"`+schemaKey+`":1`...)
	eachColumn(l, &w.figures, &w.out)
	out = append(append(w.out.b, `},"geometry":{"type":"LineString","coordinates":[`...), w.at[l.A]...)
	w.out.b = append(append(append(out, ','), w.at[l.B]...), `]}}`...)
	return w.out.b
}

// ofPlan is the column that is the plan's own in GeoJSON.
const ofPlan = "required"

// members writes figures as members of a JSON object, each with a comma before.
type members struct {
	b  []byte
	on bool
}

func (m *members) when(present bool) { m.on = present }

func (m *members) key(key string) []byte {
	return append(append(append(m.b, `,"`...), key...), `":`...)
}

func (m *members) number(key string, v float64, decimals int) {
	if m.on {
		m.b = appendFixed(m.key(key), v, decimals)
	}
}

func (m *members) budget(v *budgetFigures) {
	for i, key := range budgetKeys {
		m.number(key, v[i], 3)
	}
}

func (m *members) word(key, text string) {
	if m.on {
		m.b = appendText(m.key(key), text)
	}
}

func (m *members) count(key string, n int) {
	if m.on {
		m.b = strconv.AppendInt(m.key(key), int64(n), 10)
	}
}

func (m *members) truth(key string, v bool) {
	if m.on && key != ofPlan {
		m.b = strconv.AppendBool(m.key(key), v)
	}
}

// memberList keeps figures as the members of a rawObject.
type memberList struct {
	list rawObject
	on   bool
}

func (m *memberList) when(present bool) { m.on = present }

func (m *memberList) add(key string, value []byte) {
	if m.on && key != ofPlan {
		m.list = append(m.list, rawMember{key, value})
	}
}

func (m *memberList) number(key string, v float64, decimals int) {
	m.add(key, appendFixed(nil, v, decimals))
}
func (m *memberList) budget(v *budgetFigures) {
	for i, key := range budgetKeys {
		m.number(key, v[i], 3)
	}
}
func (m *memberList) word(key, text string)    { m.add(key, appendText(nil, text)) }
func (m *memberList) count(key string, n int)  { m.add(key, strconv.AppendInt(nil, int64(n), 10)) }
func (m *memberList) truth(key string, v bool) { m.add(key, strconv.AppendBool(nil, v)) }
