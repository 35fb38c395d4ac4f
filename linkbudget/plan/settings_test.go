package plan

import (
	"testing"

	"github.com/polereach/polereach/linkbudget"
)

func TestResolveFillsInWhatTheStationLeavesOut(t *testing.T) {
	s := Settings{Station: linkbudget.DefaultStation("", 0)}
	st := &Station{Name: "Heron Point"}
	if _, err := s.Resolve(st); err == nil {
		t.Error("a height from nowhere was accepted")
	}
	h := 7.0
	st.HeightM = &h
	got, err := s.Resolve(st)
	if err != nil {
		t.Fatal(err)
	}
	if got.Name != "Heron Point" || got.HeightM != 7 || got.TxDBm != s.Station.TxDBm {
		t.Errorf("found %+v", got)
	}
	h = 900
	if _, err := s.Resolve(st); err == nil {
		t.Error("a height of 900 m was accepted")
	}
}
