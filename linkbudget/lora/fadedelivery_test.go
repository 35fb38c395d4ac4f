package lora

import (
	"fmt"
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/fading"
	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

// The average of the symbol error rate over Rayleigh fading has a closed form,
// an alternating sum without exponentials (Proakis): exact rationals here. The
// same function averages packet error rates.
func TestDeliveryOverRayleighIsTheSymbolErrorSum(t *testing.T) {
	for _, sf := range []int{5, 6, 7, 8} {
		for _, mean := range []radio.DB{-20, -10, -5, 0, 10, 25} {
			m := int64(1) << sf
			g := new(big.Float).SetPrec(2000).SetFloat64(float64(m) * mean.Ratio())
			sum := new(big.Float).SetPrec(2000)
			for k := int64(1); k < m; k++ {
				den := new(big.Float).SetPrec(2000).SetInt64(k)
				den.Mul(den, g).Add(den, big.NewFloat(float64(1+k)))
				term := new(big.Float).SetPrec(2000).SetInt(new(big.Int).Binomial(m-1, k))
				term.Quo(term, den)
				if k%2 == 0 {
					term.Neg(term)
				}
				sum.Add(sum, term)
			}
			want, _ := sum.Float64()
			got := 1 - fading.Delivery(func(snr radio.DB) float64 { return SymbolErrorRate(sf, snr) }, mean,
				fading.Law{Kind: fading.Rayleigh})
			check.Near(t, fmt.Sprintf("SF%d at %v dB", sf, mean), got, want, 1e-7)
		}
	}
}

// Against the hard threshold of Rayleigh fading, the waterfall acts like a
// threshold below the 1 % point: 1.8 dB for 64 B at 4/5 and SF7, 2.1 for 20 B,
// 1.4 for 64 B at 4/8, 1.6 to 1.9 at SF12 (computed, printed to 0.1 dB).
func TestEffectiveThreshold(t *testing.T) {
	for _, row := range []struct {
		sf, payloadB, cr int
		low, high        float64
	}{{7, 64, 1, 1.8, 1.8}, {7, 20, 1, 2.1, 2.1}, {7, 64, 4, 1.4, 1.4}, {12, 64, 1, 1.6, 1.9}, {12, 20, 1, 1.6, 1.9}} {
		e := packetAt125k(row.sf, row.payloadB, row.cr)
		onePercent, err := snrFor(e, 0.01)
		if err != nil {
			t.Fatal(err)
		}
		delivery, err := e.Delivery(onePercent+30, fading.Law{Kind: fading.Rayleigh})
		if err != nil {
			t.Fatal(err)
		}
		// exp(-10^(-M/10)) = delivery
		below := -10*math.Log10(-math.Log(delivery)) - 30
		if !(below >= row.low-0.0501 && below <= row.high+0.0501) {
			t.Errorf("SF%d, %d B, CR %d: threshold %.3f dB under the 1 %% point, want %v to %v", row.sf, row.payloadB, row.cr,
				below, row.low, row.high)
		}
	}
}

// riceOf is a direct wave, kDB over the scattered ones.
func riceOf(kDB radio.DB) fading.Law { return fading.Law{Kind: fading.Rician, KDB: kDB} }

// Delivery lies between 0 and 1, grows with the mean, and meets its limits: K to nothing Rayleigh, K to much no fading.
func TestDeliveryProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := anyPacketError().Draw(t, "packet")
		w, err := e.Waterfall()
		if err != nil {
			t.Fatal(err)
		}
		mean := radio.DB(rapid.Float64Range(-60, 60).Draw(t, "mean"))
		f := riceOf(radio.DB(rapid.Float64Range(-60, 60).Draw(t, "k")))
		got := fading.Delivery(w.PER, mean, f)
		if more := fading.Delivery(w.PER, mean+0.5, f); !(got >= 0 && more >= got-1e-9 && more <= 1) {
			t.Fatalf("%+v at %v dB: %v, and %v at 0.5 dB more", f, mean, got, more)
		}
		if few, none := fading.Delivery(w.PER, mean, riceOf(-60)),
			fading.Delivery(w.PER, mean, fading.Law{Kind: fading.Rayleigh}); !(math.Abs(few-none) <= 1e-5) {
			t.Fatalf("K -60 dB at %v dB: %v, Rayleigh %v", mean, few, none)
		}
		if much, steady := fading.Delivery(w.PER, mean, riceOf(60)),
			fading.Delivery(w.PER, mean, fading.Law{}); !(math.Abs(much-steady) <= 1e-4) {
			t.Fatalf("K 60 dB at %v dB: %v, steady %v", mean, much, steady)
		}
		if steady := fading.Delivery(w.PER, mean, fading.Law{}); steady != 1-w.PER(mean) {
			t.Fatalf("steady %v, PER %v", steady, w.PER(mean))
		}
	})
}

func TestDeliveryOfNonsense(t *testing.T) {
	nan := math.NaN()
	all := func(v float64) func(radio.DB) float64 { return func(radio.DB) float64 { return v } }
	for _, f := range []fading.Law{{}, riceOf(6), {Kind: fading.Rayleigh}} {
		check.Near(t, "NaN counts as lost", fading.Delivery(all(nan), 0, f), 0, 0)
		check.Near(t, "above 1 counts as lost", fading.Delivery(all(3), 0, f), 0, 0)
		check.Near(t, "below 0 counts as received", fading.Delivery(all(-3), 0, f), 1, 1e-12)
		check.Near(t, "mean NaN", fading.Delivery(all(0), radio.DB(nan), f), 0, 0)
		check.Near(t, "mean -Inf", fading.Delivery(mustTheory(t, packetAt125k(7, 20, 1)).PER, radio.DB(math.Inf(-1)), f), 0,
			1e-9)
		check.Near(t, "mean +Inf", fading.Delivery(mustTheory(t, packetAt125k(7, 20, 1)).PER, radio.DB(math.Inf(1)), f), 1,
			1e-12)
	}
	check.Near(t, "refused law", fading.Delivery(all(0), 0, fading.Law{Kind: 8}), 0, 0)
}

func BenchmarkDelivery(b *testing.B) {
	w, err := packetAt125k(9, 20, 1).Waterfall()
	if err != nil {
		b.Fatal(err)
	}
	for name, f := range map[string]fading.Law{"Rayleigh": {Kind: fading.Rayleigh}, "Rician": riceOf(6)} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				fading.Delivery(w.PER, -5, f)
			}
		})
	}
}
