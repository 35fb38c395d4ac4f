package lora

import (
	"fmt"
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

// The exact rates were computed apart, as the textbook's alternating sum in
// arithmetic of up to 1300 digits (mpmath 1.3). The closed forms are the
// approximation of Elshabrawy and Robert, IEEE Communications Letters 22(9),
// 2018, formula from memory, computed.
var symbolErrorRows = []struct {
	sf        int
	snr       radio.DB
	ser, ber  float64
	full, low float64 // closed forms of the BER, 0 where none was computed
}{
	{5, -2.5, 1.477533605e-3, 7.6259799e-4, 9.01e-4, 4.00e-4},
	{6, -5, 9.392922747e-4, 4.7710084e-4, 5.57e-4, 2.55e-4},
	{7, -6, 5.988410641e-6, 3.0177817e-6, 2.44e-6, 5.78e-7},
	{7, -7.5, 5.221474893e-4, 2.6312944e-4, 3.01e-4, 1.39e-4},
	{7, -9, 9.919715244e-3, 4.9989116e-3, 6.25e-3, 4.30e-3},
	{7, -10, 3.799456676e-2, 1.9146868e-2, 2.39e-2, 1.94e-2},
	{8, -10, 2.507488333e-4, 1.2586608e-4, 1.40e-4, 6.39e-5},
	{9, -12.5, 1.02231516e-4, 5.1215789e-5, 5.49e-5, 2.44e-5},
	{10, -15, 3.461856682e-5, 1.7326204e-5, 1.77e-5, 7.52e-6},
	{11, -17.5, 9.484414348e-6, 4.7445238e-6, 4.54e-6, 1.82e-6},
	{12, -20, 2.03895933e-6, 1.0197286e-6, 8.96e-7, 3.35e-7},
	{12, -22, 1.78941003e-3, 8.949235e-4, 1.08e-3, 7.39e-4},
	{12, -23, 1.437934096e-2, 7.1914262e-3, 8.81e-3, 7.13e-3},
	{5, -20, 0.9352780688, 0.48272416, 0, 0},
	{12, -30, 0.8750618797, 0.43763779, 0, 0},
	{7, 0, 1.018419892e-26, 5.1321947e-27, 0, 0},
	{12, -12.2, 5.217463323e-51, 2.6093687e-51, 0, 0},
}

func TestSymbolErrorRate(t *testing.T) {
	for _, row := range symbolErrorRows {
		name := fmt.Sprintf("SF%d at %v dB", row.sf, row.snr)
		check.Relative(t, name+" SER", SymbolErrorRate(row.sf, row.snr), row.ser, 1e-7)
	}
	// SNR of a rate of 1e-2 and 1e-3, computed, printed to 0.001 dB: 0.0005 dB
	// is 0.07 % of the rate at most here.
	for _, row := range []struct {
		sf  int
		snr radio.DB
		ser float64
	}{{7, -9.005, 1e-2}, {7, -7.780, 1e-3}, {12, -22.799, 1e-2}, {12, -21.771, 1e-3}} {
		check.Relative(t, fmt.Sprintf("SF%d at %v dB", row.sf, row.snr), SymbolErrorRate(row.sf, row.snr), row.ser, 1e-3)
	}
}

// alternatingSum is the textbook form. Proakis, Digital Communications.
func alternatingSum(sf int, snr radio.DB) float64 {
	m := int64(1) << sf
	g := float64(m) * snr.Ratio()
	sum, sign := 0.0, 1.0
	for k := int64(1); k < m; k++ {
		choose, _ := new(big.Float).SetInt(new(big.Int).Binomial(m-1, k)).Float64()
		sum += sign * choose / float64(k+1) * math.Exp(-g*float64(k)/float64(k+1))
		sign = -sign
	}
	return sum
}

// The sum cancels: its terms reach 1e7 at M = 32 and 1e16 at M = 64, times
// exp(-g), each with a rounding error of some 1e-15 of itself. So SF5 serves
// at any SNR up to the table's end, SF6 from where g is 22.
func TestSymbolErrorRateIsTheAlternatingSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		snr := radio.DB(rapid.Float64Range(-30, -3).Draw(t, "snr"))
		check.Relative(t, fmt.Sprintf("SF5 at %v dB", snr), SymbolErrorRate(5, snr), alternatingSum(5, snr), 1e-5)
		snr = radio.DB(rapid.Float64Range(-4.6, -2.6).Draw(t, "snr of SF6"))
		check.Relative(t, fmt.Sprintf("SF6 at %v dB", snr), SymbolErrorRate(6, snr), alternatingSum(6, snr), 1e-3)
	})
	// Without signal one of M symbols is right by chance.
	for sf := 5; sf <= 12; sf++ {
		m := math.Ldexp(1, sf)
		check.Relative(t, fmt.Sprintf("SF%d in noise", sf), SymbolErrorRate(sf, radio.DB(math.Inf(-1))), (m-1)/m, 1e-9)
	}
}

// Within 0 to the union bound, falling with the SNR, meeting the union bound
// where the integral hands over to it.
func TestSymbolErrorRateProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sf := rapid.IntRange(5, 12).Draw(t, "sf")
		snr := radio.DB(rapid.Float64Range(-60, 20).Draw(t, "snr"))
		m := math.Ldexp(1, sf)
		rate := SymbolErrorRate(sf, snr)
		union := (m - 1) / 2 * math.Exp(-m*snr.Ratio()/2)
		if !(rate >= 0 && rate <= (m-1)/m && rate <= union*(1+1e-7)) {
			t.Fatalf("SF%d at %v dB: %v, union bound %v", sf, snr, rate, union)
		}
		if more := SymbolErrorRate(sf, snr+0.1); !(more <= rate*(1+1e-9)) {
			t.Fatalf("SF%d: %v at %v dB, %v at 0.1 dB more", sf, rate, snr, more)
		}
	})
	for sf := 5; sf <= 12; sf++ {
		at := radio.DB(10 * math.Log10(unionTightG/math.Ldexp(1, sf)))
		check.Relative(t, fmt.Sprintf("SF%d at the switch-over", sf), SymbolErrorRate(sf, at-1e-9),
			SymbolErrorRate(sf, at+1e-9), 1e-6)
	}
}

func TestSymbolErrorRateOfNonsense(t *testing.T) {
	for _, row := range []struct {
		sf   int
		snr  radio.DB
		want float64
	}{{4, 10, 1}, {13, 10, 1}, {-1, 0, 1}, {7, radio.DB(math.NaN()), 1}, {7, radio.DB(math.Inf(1)), 0}} {
		check.Near(t, fmt.Sprintf("SF%d at %v", row.sf, row.snr), SymbolErrorRate(row.sf, row.snr), row.want, 0)
	}
}

// The table stays within its stated 2e-6 of the integral, over its range and
// above. Below it, the shortest packet, nothing but the first eight symbols,
// fails as surely with the rate of chance.
func TestTabulatedSymbolError(t *testing.T) {
	for sf := 5; sf <= 12; sf++ {
		from := float64(Modem{SF: sf}.RequiredSNR()) - symbolErrorUnderDB
		var worst float64
		for x := 1.0; x < symbolErrorNodes+20; x += 0.37 {
			snr := radio.DB(from + symbolErrorStepDB*x)
			worst = max(worst, math.Abs(tabulatedSymbolError(sf, snr)/SymbolErrorRate(sf, snr)-1))
		}
		if !(worst <= 2e-6) {
			t.Errorf("SF%d: off by up to %g of the rate", sf, worst)
		}
		edge := radio.DB(from + symbolErrorStepDB)
		p := SymbolErrorRate(sf, edge)
		if arrives := math.Pow(1-p, 8) + 8*p*math.Pow(1-p, 7); !(arrives <= 1e-7) {
			t.Errorf("SF%d: %v of the shortest packets arrive at the lower end", sf, arrives)
		}
		check.Near(t, "far below", tabulatedSymbolError(sf, -200), SymbolErrorRate(sf, -200), 1e-9)
	}
}

func BenchmarkSymbolErrorRate(b *testing.B) {
	for _, sf := range []int{7, 12} {
		b.Run(fmt.Sprintf("SF%d", sf), func(b *testing.B) {
			snr := Modem{SF: sf}.RequiredSNR()
			for b.Loop() {
				SymbolErrorRate(sf, snr)
			}
		})
	}
	b.Run("table", func(b *testing.B) {
		for b.Loop() {
			tabulatedSymbolError(12, -20.03)
		}
	})
}
