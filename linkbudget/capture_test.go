package linkbudget

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Typed from SX1276/77/78/79 datasheet Rev 4, table 10, and SX1261/2 datasheet
// Rev 1.1, table 3-8.
func TestRejections(t *testing.T) {
	want := map[string]DB{
		"SX1276 tone SF7 0": 5, "SX1276 tone SF8 0": 9.5, "SX1276 tone SF9 0": 12, "SX1276 tone SF10 0": 14.4, "SX1276 tone SF11 0": 17, "SX1276 tone SF12 0": 19.5,
		"SX1262 tone SF7 0": 5, "SX1262 tone SF12 0": 19,
		"SX1276 same SF SF0 0": -6, "SX1276 image SF0 0": 66,
		"SX1276 adjacent tone SF7 187500": 60, "SX1276 adjacent tone SF12 187500": 72,
		"SX1262 adjacent tone SF7 187500": 60, "SX1262 adjacent tone SF12 187500": 72,
		"SX1276 blocking SF12 1e+06": 89, "SX1276 blocking SF12 2e+06": 94, "SX1276 blocking SF12 1e+07": 100,
		"SX1262 blocking SF12 1e+06": 88, "SX1262 blocking SF12 2e+06": 90, "SX1262 blocking SF12 1e+07": 99,
	}
	all := Rejections()
	if len(all) != len(want) {
		t.Errorf("%d figures, want %d", len(all), len(want))
	}
	for _, r := range all {
		name := fmt.Sprintf("%s %s SF%d %v", r.Chip, r.Disturbance, r.SF, r.OffsetHz)
		if got, ok := want[name]; !ok || got != r.RejectionDB {
			t.Errorf("%s: %v dB, want %v", name, r.RejectionDB, got)
		}
		if !strings.Contains(r.Source, "datasheet") {
			t.Errorf("%s: source %q", name, r.Source)
		}
	}
}

// Corners and a middle of each table (figures of the papers from secondary
// copies), and two tests that catch a transposed or sign-turned copy: the
// widest spreading factor holds out best, and 1 or 6 dB on the diagonal.
func TestOrthogonality(t *testing.T) {
	for _, row := range []struct {
		table       Orthogonality
		wanted, itf int
		want        DB
	}{
		{MeasuredOrthogonality(), 7, 8, -8}, {MeasuredOrthogonality(), 7, 12, -9}, {MeasuredOrthogonality(), 9, 7, -15},
		{MeasuredOrthogonality(), 8, 11, -13}, {MeasuredOrthogonality(), 12, 7, -25}, {MeasuredOrthogonality(), 12, 11, -23},
		{TheoreticalOrthogonality(), 7, 8, -16}, {TheoreticalOrthogonality(), 7, 12, -20}, {TheoreticalOrthogonality(), 10, 12, -28},
		{TheoreticalOrthogonality(), 8, 7, -24}, {TheoreticalOrthogonality(), 12, 7, -36}, {TheoreticalOrthogonality(), 11, 12, -29},
	} {
		got, err := row.table.MinSIR(row.wanted, row.itf)
		if err != nil || got != row.want {
			t.Errorf("%s, SF%d under SF%d: %v, %v; want %v", row.table.Name, row.wanted, row.itf, got, err, row.want)
		}
	}
	for table, same := range map[string]DB{"measured": 1, "theoretical": 6} {
		o := MeasuredOrthogonality()
		if table == "theoretical" {
			o = TheoreticalOrthogonality()
		}
		for i, row := range o.SIRDB {
			var sum, next DB
			for j, sir := range row {
				if i == j && sir != same || i != j && sir >= 0 {
					t.Errorf("%s: row %d, column %d is %v", table, i, j, sir)
				}
				if i != j {
					sum += sir
				}
			}
			if i < 5 {
				for j, sir := range o.SIRDB[i+1] {
					if i+1 != j {
						next += sir
					}
				}
				if next >= sum {
					t.Errorf("%s: SF%d is no harder to jam than SF%d", table, i+8, i+7)
				}
			}
		}
	}
	_, err := MeasuredOrthogonality().MinSIR(6, 13)
	if err == nil || !strings.Contains(err.Error(), "SF6") || !strings.Contains(err.Error(), "SF13") {
		t.Errorf("SF6 and SF13: %v", err)
	}
}

func TestMinSIR(t *testing.T) {
	modem := func(sf int, bwHz float64) Modem { return Modem{SF: sf, BWHz: bwHz, CR: 1} }
	for _, row := range []struct {
		wanted, interferer Modem
		want               DB
	}{
		{modem(9, 125e3), modem(9, 125e3), 6},
		{modem(5, 125e3), modem(5, 125e3), 6},
		{modem(12, 125e3), modem(7, 125e3), -25},
		{modem(7, 125e3), modem(12, 125e3), -9},
		{modem(7, 125e3), modem(9, 250e3), 6}, // equal chirp rates
		{modem(12, 500e3), modem(8, 125e3), 6},
	} {
		got, err := MinSIR(row.wanted, row.interferer)
		if err != nil || got != row.want {
			t.Errorf("%+v under %+v: %v, %v; want %v", row.wanted, row.interferer, got, err, row.want)
		}
	}
	for _, row := range [][2]Modem{{modem(7, 125e3), modem(8, 250e3)}, {modem(6, 125e3), modem(8, 125e3)}, {modem(4, 125e3), modem(13, 1)}} {
		if _, err := MinSIR(row[0], row[1]); err == nil {
			t.Errorf("%+v passed", row)
		}
	}
}

// The rule in floating point, BW^2/2^SF, is the independent way.
func TestSameChirpRate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyModem(5).Draw(t, "a"), anyModem(5).Draw(t, "b")
		rate := func(m Modem) float64 { return m.BWHz * m.BWHz / float64(int(1)<<m.SF) }
		want := rate(a)/rate(b) > 0.999 && rate(a)/rate(b) < 1.001
		if got := a.SameChirpRate(b); got != want || got != b.SameChirpRate(a) {
			t.Fatalf("%+v and %+v: %v, want %v", a, b, got, want)
		}
	})
	if (Modem{}).SameChirpRate(Modem{}) {
		t.Error("refused settings agree")
	}
}
