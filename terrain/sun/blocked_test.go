package sun

import (
	"testing"
	"time"

	"github.com/paulmach/orb"
)

// The worked example of the reference (section 9, step 3): hour by hour, the ridge
// takes 1.35478 - 0.89052 kWh/m² of beam, symmetric about south.
func TestBlockedWorkedExample(t *testing.T) {
	got := workedRun(block(15, 120, 240), workedPanel, 15).blocked(11)
	sum := 0.0
	for i, s := range got {
		sum += s.LostWhM2 / 1000
		if s.FromDeg < 120 || s.ToDeg > 240 || s.ToDeg != s.FromDeg+10 {
			t.Errorf("sector %+v", s)
		}
		mirror := got[len(got)-1-i]
		near(t, "mirrored", mirror.LostWhM2, s.LostWhM2, 1e-6)
	}
	near(t, "beam taken", sum, 1.35478-0.89052, 1e-4)
	// Its hour table: 0.1471 at 215.0°, 0.0804 at 227.2°, 0.0046 at 234.1°.
	byStart := map[float64]float64{}
	for _, s := range got {
		byStart[s.FromDeg] = s.LostWhM2 / 1000
	}
	near(t, "210 to 220", byStart[210], 0.1471, 1e-4)
	near(t, "220 to 230", byStart[220], 0.0804, 1e-4)
	near(t, "230 to 240", byStart[230], 0.0046, 1e-4)
}

// What is blocked in each month is what the beam is short of; nothing is blocked
// under a free horizon.
func TestBlockedAddsUp(t *testing.T) {
	r := workedRun(wall(18, 160), workedPanel, 1)
	for m := range 12 {
		sum := 0.0
		for _, s := range r.blocked(m) {
			sum += s.LostWhM2
		}
		kt := r.clearness(m)
		a := newArc(r.method, r.latDeg, meanDays[m], &r.sky, r.panel)
		all := a.over(weather{globalWhM2: kt * a.outsideWhM2, diffuseShare: diffuseOfMonth(kt, a.sunsetDeg), meanK: 280, factor: 1}, r.panel, nil)
		near(t, "beam taken", sum, all.free.beam-all.plane.beam, 1e-6)
	}
	if got := workedRun(uniform(-1), workedPanel, 1).blocked(11); len(got) != 0 {
		t.Errorf("free horizon: %v", got)
	}
	if _, err := Blocked(Site{At: orb.Point{8, 46}}, workedPanel, DefaultClimate(46, 0), 13); err == nil {
		t.Error("month 13: no error")
	}
	got, err := Blocked(Site{At: orb.Point{8, 80}, Skyline: skylineOf(36, uniform(20))}, workedPanel, DefaultClimate(80, 0), time.December)
	if err != nil || len(got) != 0 {
		t.Errorf("polar night: %v, %v", got, err)
	}
}
