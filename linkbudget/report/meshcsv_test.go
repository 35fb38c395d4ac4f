package report_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/report"
)

// pages keeps what is written and how much at a time, until it is full.
type pages struct {
	bytes.Buffer
	sizes []int
	room  int
}

func (p *pages) Write(b []byte) (int, error) {
	p.sizes = append(p.sizes, len(b))
	if p.Len()+len(b) > p.room {
		return 0, errors.New("full")
	}
	return p.Buffer.Write(b)
}

// Many rows, some as long as several pages, go out in whole pages; none is lost, cut or
// told twice.
func TestMeshCSVOfManyRows(t *testing.T) {
	m := &mesh.Mesh{Stations: make([]mesh.Pole, 2)}
	m.Stations[0].Station.Name, m.Stations[1].Station.Name = "a", "b"
	for i := range 3000 {
		p := mesh.Pair{A: 0, B: 1, Link: -1}
		p.DistM, p.Verdict = float64(i), linkbudget.Reaches
		if i%500 == 499 {
			p.PairNotes = &mesh.PairNotes{Reasons: []string{strings.Repeat(fmt.Sprint(i, " "), 4000)}}
		}
		m.Pairs = append(m.Pairs, p)
	}
	out := &pages{room: 1 << 30}
	if err := report.MeshCSV(out, m); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(out.Bytes())).ReadAll() // refuses rows of another width
	if err != nil || len(rows) != 1+len(m.Pairs) {
		t.Fatalf("%d rows, error %v", len(rows), err)
	}
	column := map[string]int{}
	for k, key := range rows[0] {
		column[key] = k
	}
	for i, row := range rows[1:] {
		p := &m.Pairs[i]
		if row[0] != "a" || row[1] != "b" || row[column["distance_m"]] != fmt.Sprint(i) ||
			row[column["reasons"]] != strings.Join(p.Reasons(), "; ") {
			t.Fatalf("row %d: %.200q", i, row)
		}
	}
	for i, n := range out.sizes {
		if last := i == len(out.sizes)-1; !last && n%4096 != 0 {
			t.Errorf("write %d of %d is of %d bytes, no whole pages", i, len(out.sizes), n)
		}
	}
	if len(out.sizes) < 5 {
		t.Errorf("%d writes: too few to say anything", len(out.sizes))
	}
	if err := report.MeshCSV(&pages{room: 200_000}, m); err == nil {
		t.Error("no error of a file that is full")
	}
}
