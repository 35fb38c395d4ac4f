package clutter

import (
	"math"
	"path/filepath"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/internal/official"
)

func TestTerminalClutter(t *testing.T) {
	const rounding = 0.0005 // three decimals
	for _, row := range []struct {
		name      string
		clutter   Class
		freqHz    float64
		want, tol float64
	}{
		// 6a, 6b: ITU clutter workbook, published, two decimals.
		{"6a", Open, 1.5e9, 16.0, 0.01},
		{"6b suburban", Suburban, 1.5e9, 20.45, 0.01},
		{"6b urban", Urban, 1.5e9, 24.5, 0.01},
		{"6b dense urban", DenseUrban, 1.5e9, 27.1, 0.01},
		// 6c, 6d: computed from the formulas apart from this program.
		{"6c open", Open, 1.5e9, 16.001, rounding},
		{"6c suburban", Suburban, 1.5e9, 20.453, rounding},
		{"6c urban", Urban, 1.5e9, 24.496, rounding},
		{"6c wood", Wood, 1.5e9, 24.496, rounding},
		{"6c dense urban", DenseUrban, 1.5e9, 27.096, rounding},
		{"6d open", Open, 868e6, 14.971, rounding},
		{"6d suburban", Suburban, 868e6, 18.089, rounding},
		{"6d urban", Urban, 868e6, 22.112, rounding},
		{"6d dense urban", DenseUrban, 868e6, 24.709, rounding},
	} {
		c := Terminal{Clutter: row.clutter, HeightM: 2, FreqHz: row.freqHz}
		check.Near(t, row.name, float64(c.Loss()), row.want, row.tol)
		// The defaults said aloud change nothing.
		c.TopM, c.StreetWidthM = row.clutter.TerminalHeightM(), 27
		check.Near(t, row.name+" in full", float64(c.Loss()), row.want, row.tol)
	}
}

// Every row of the height-gain table of the ITU clutter workbook.
func TestITUTerminalClutter(t *testing.T) {
	class := map[string]Class{
		"water/sea": Open, "open/rural": Open, "suburban": Suburban,
		"urban/trees/forest": Urban, "dense urban": DenseUrban,
	}
	worst, rows := official.Worst{}, official.Rows(t, filepath.Join(official.Folder(t, "p2108"),
		"sect3_1_height_gain.csv"))[1:]
	for _, row := range rows {
		clutter, ok := class[row[0]]
		if !ok {
			t.Fatalf("class %q", row[0])
		}
		c := Terminal{
			Clutter: clutter, FreqHz: 1e9 * official.Number(t, row[1]), HeightM: official.Number(t, row[2]),
			TopM: official.Number(t, row[3]), StreetWidthM: official.Number(t, row[4]),
		}
		worst.Check(t, row[0], "A_h", float64(c.Loss()), official.Number(t, row[5]), 0.01) // as printed
	}
	worst.Log(t, "P.2108-1 §3.1", len(rows))
}

// Lower antennas and higher frequencies lose more; at the tops the loss ends,
// but for the 0.003 dB by which 6.03 rounds J(0).
func TestTerminalClutterShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Terminal{
			Clutter:      Class(rapid.IntRange(0, int(DenseUrban)).Draw(t, "clutter")),
			HeightM:      rapid.Float64Range(0.01, 30).Draw(t, "heightM"),
			FreqHz:       rapid.Float64Range(30e6, 2.9e9).Draw(t, "freqHz"),
			TopM:         rapid.Float64Range(0, 100).Draw(t, "topM"),
			StreetWidthM: rapid.Float64Range(1, 1000).Draw(t, "widthM"),
		}
		loss := c.Loss()
		if !(loss >= 0 && loss < 120) {
			t.Fatalf("%+v: %v dB", c, loss)
		}
		higher, faster := c, c
		higher.HeightM *= 1.1
		faster.FreqHz *= 1.03
		if !(higher.Loss() <= loss+1e-9) || !(faster.Loss() >= loss-1e-9) {
			t.Fatalf("%+v: %v dB, higher %v, at more hertz %v", c, loss, higher.Loss(), faster.Loss())
		}
		top := c.TopM
		if top == 0 || c.Clutter == Unstated {
			top = c.Clutter.TerminalHeightM()
		}
		for _, at := range []struct{ factor, most float64 }{{1 - 1e-9, 0.004}, {1, 0}, {1.5, 0}} {
			c.HeightM = top * at.factor
			if loss := c.Loss(); c.HeightM > terminalClutterLeastM && !(loss >= 0 && float64(loss) <= at.most) {
				t.Fatalf("%+v at %v of the tops: %v dB", c, at.factor, loss)
			}
		}
	})
}

func TestTerminalClutterBadValues(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, v := range []float64{nan, inf, -inf, -1} {
		for _, c := range []Terminal{
			{Urban, v, 868e6, 0, 0}, {Urban, 2, v, 0, 0}, {Urban, 2, 868e6, v, 0}, {Urban, 2, 868e6, 0, v},
			{Open, v, v, v, v},
		} {
			if loss := float64(c.Loss()); !(loss >= 0 && loss < 200) {
				t.Errorf("%+v: %v dB", c, loss)
			}
		}
	}
}
