package plan

import (
	"math"
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

// ITU-R F.1336-5 recommends 2.1: 12 (4/10)^2 = 1.92 dB below the peak, 4 degrees off the
// lobe of an omni of 10 degrees; the beamwidth that 8 dBi imply, 17.05 degrees, leaves
// 0.66 dB.
func TestVerticalBeamwidth(t *testing.T) {
	for text, want := range map[string]float64{`"gain_dbi":8,"vertical_beamwidth_deg":10`: 6.08, `"gain_dbi":8`: 7.34} {
		p := mustRead(t, collection(point("Gate", text)))
		antenna := (Settings{}).Fill(&p.Stations[0]).Antenna
		if got := float64(antenna.Towards(0, -4)); math.Abs(got-want) > 0.005 {
			t.Errorf("%s: %.3f dBi, want %.2f", text, got, want)
		}
	}
}
