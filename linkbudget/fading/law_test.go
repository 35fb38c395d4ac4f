package fading

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

func rician(kDB radio.DB) Law { return Law{Kind: Rician, KDB: kDB} }

// Outage over the margin (computed from the formulas; Rayleigh also in every
// textbook), to the printed digits.
func TestOutage(t *testing.T) {
	margins := [9]radio.DB{0, 3, 5, 8, 10, 13, 15, 20, 30}
	rows := []struct {
		fading Law
		want   []float64
	}{
		{Law{Kind: Rayleigh}, []float64{.6321, .3942, .2711, .1466, .0952, .0489, .0311, .00995, .0010}},
		{rician(3), []float64{.5854, .2913, .1720, .0775, .0462, .0219, .0135, .0041}},
		{rician(6), []float64{.5651, .2142, .1008, .0329, .0165, .0064, .0036, .0010}},
		{rician(10), []float64{.5431, .0999, .0238, .0028, .0007, .0001}},
	}
	for _, row := range rows {
		for i, want := range row.want {
			check.Near(t, fmt.Sprintf("%v %v dB, margin %v dB", row.fading.Kind, row.fading.KDB, margins[i]),
				row.fading.Outage(margins[i]), want, 1e-4)
		}
	}
	// Without fading the threshold is hard.
	check.Near(t, "steady, 0 dB", Law{}.Outage(0), 0, 0)
	check.Near(t, "steady, short", Law{}.Outage(-0.1), 1, 0)
}

// Marcum's Q function, 1e-9 of the outage. Computed apart, by adaptive
// quadrature in 40 digits over the power instead of the envelope (mpmath 1.3).
func TestRicianOutageIsMarcumQ(t *testing.T) {
	for _, row := range []struct {
		k, margin radio.DB
		want      float64
	}{
		{0, 10, 0.07334638735963}, {3, 3, 0.2912567993953}, {3, 20, 0.00413299774835},
		{6, 0, 0.5650581591267}, {6, 10, 0.01646471507771}, {6, 20, 0.0009991359294161},
		{10, 5, 0.02381348502725}, {10, 13, 0.0001345595430935}, {10, -3, 0.9803718653071},
		{15, 3, 0.01048878549588}, {20, 1, 0.06520927287735}, {-10, 10, 0.09476298776136},
		{20, 6, 7.866653582786e-13},
	} {
		check.Relative(t, fmt.Sprintf("K %v dB, margin %v dB", row.k, row.margin), rician(row.k).Outage(row.margin),
			row.want, 1e-9)
	}
}

// The same by a third way, a double Poisson sum of positive terms: an outage
// is that one Poisson variable of mean (1+K) x exceeds another of mean K.
func TestRicianOutageIsThePoissonSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kDB := radio.DB(rapid.Float64Range(-20, 17).Draw(t, "k"))
		margin := radio.DB(rapid.Float64Range(-10, 40).Draw(t, "margin"))
		k := kDB.Ratio()
		y := (1 + k) * (-margin).Ratio()
		poisson := func(n int, mean float64) float64 {
			gamma, _ := math.Lgamma(float64(n + 1))
			return math.Exp(float64(n)*math.Log(mean) - mean - gamma)
		}
		var want, above float64
		for n := 1200; n >= 0; n-- {
			want += poisson(n, k) * above
			above += poisson(n, y)
		}
		if got := rician(kDB).Outage(margin); !(math.Abs(got-want) <= 1e-9) {
			t.Fatalf("K %v dB, margin %v dB: %v, want %v", kDB, margin, got, want)
		}
	})
}

// Margins for a delivery: textbook 10, 20, 30 dB for Rayleigh, the digits
// computed; Rician computed.
func TestFadeMargin(t *testing.T) {
	for _, row := range []struct {
		fading         Law
		delivery, want float64
		tol            float64
	}{
		{Law{Kind: Rayleigh}, 0.50, 1.59, 0.0051},
		{Law{Kind: Rayleigh}, 0.80, 6.51, 0.0051},
		{Law{Kind: Rayleigh}, 0.90, 9.77, 0.0051},
		{Law{Kind: Rayleigh}, 0.95, 12.90, 0.0051},
		{Law{Kind: Rayleigh}, 0.99, 19.98, 0.0051},
		{Law{Kind: Rayleigh}, 0.999, 30.00, 0.0051},
		{rician(0), 0.90, 8.64, 0.05}, {rician(0), 0.99, 18.67, 0.05}, {rician(0), 0.999, 28.67, 0.05},
		{rician(6), 0.90, 5.02, 0.05}, {rician(6), 0.99, 11.55, 0.05}, {rician(6), 0.999, 20.0, 0.05},
		{rician(10), 0.90, 3.00, 0.05}, {rician(10), 0.99, 6.18, 0.05}, {rician(10), 0.999, 9.52, 0.05},
		{Law{}, 0.9, 0, 0},
	} {
		got, err := row.fading.Margin(row.delivery)
		if err != nil {
			t.Error(err)
		}
		check.Near(t, fmt.Sprintf("%v %v dB, delivery %v", row.fading.Kind, row.fading.KDB, row.delivery), float64(got),
			row.want, row.tol)
	}
}

// Outages lie between 0 and 1 and fall with the margin; Margin turns them
// back; K to nothing is Rayleigh, K to much is no fading.
func TestFadingProperties(t *testing.T) {
	rayleigh := Law{Kind: Rayleigh}
	rapid.Check(t, func(t *rapid.T) {
		f := rician(radio.DB(rapid.Float64Range(-60, 60).Draw(t, "k")))
		margin := radio.DB(rapid.Float64Range(-60, 120).Draw(t, "margin"))
		out := f.Outage(margin)
		if !(out >= 0 && out <= 1) {
			t.Fatalf("%+v at %v dB: %v", f, margin, out)
		}
		if more := f.Outage(margin + 0.01); !(more <= out+1e-12) {
			t.Fatalf("%+v: %v at %v dB, %v at 0.01 dB more", f, out, margin, more)
		}
		if got, want := rician(-60).Outage(margin), rayleigh.Outage(margin); !(math.Abs(got-want) <= 1e-6) {
			t.Fatalf("K -60 dB at %v dB: %v, Rayleigh %v", margin, got, want)
		}
		if got, want := rician(60).Outage(margin), (Law{}).Outage(margin); math.Abs(float64(margin)) > 0.05 &&
			!(math.Abs(got-want) <= 1e-6) {
			t.Fatalf("K 60 dB at %v dB: %v, steady %v", margin, got, want)
		}
		delivery := rapid.Float64Range(1e-6, 0.999999).Draw(t, "delivery")
		for _, law := range []Law{f, rayleigh} {
			m, err := law.Margin(delivery)
			if err != nil {
				t.Fatal(err)
			}
			if got := 1 - law.Outage(m); !(math.Abs(got-delivery) <= 1e-5) {
				t.Fatalf("%+v: margin %v dB for %v delivers %v", law, m, delivery, got)
			}
		}
	})
}

func TestFadingRefuses(t *testing.T) {
	nan := math.NaN()
	for _, f := range []Law{rician(radio.DB(nan)), rician(61), rician(-61), {Kind: 3}} {
		if f.Validate() == nil {
			t.Errorf("%+v passed", f)
		}
		check.Near(t, "outage of a refused law", f.Outage(50), 1, 0)
		if _, err := f.Margin(nan); err == nil || !strings.Contains(err.Error(), "delivery: found NaN") ||
			!strings.Contains(err.Error(), "allowed") {
			t.Errorf("%+v: %v", f, err)
		}
	}
	check.Near(t, "outage at NaN", Law{}.Outage(radio.DB(nan)), 1, 0)
	for _, f := range []Law{{}, rician(6), {Kind: Rayleigh}} {
		check.Near(t, "no margin at all", f.Outage(radio.DB(math.Inf(-1))), 1, 0)
		check.Near(t, "any margin", f.Outage(radio.DB(math.Inf(1))), 0, 0)
		for _, d := range []float64{0, 1, -1, 2} {
			if _, err := f.Margin(d); err == nil {
				t.Errorf("%v: delivery %v passed", f.Kind, d)
			}
		}
	}
	for k, want := range map[Kind]string{None: "none", Rician: "rician", Rayleigh: "rayleigh", 7: "FadingKind(7)"} {
		if k.String() != want {
			t.Errorf("%q, want %q", k.String(), want)
		}
	}
}

func BenchmarkOutage(b *testing.B) {
	f := rician(6)
	for b.Loop() {
		f.Outage(10)
	}
}

// The average over the fades does not depend on its step: of a packet error rate that
// falls from all to nothing within 3 dB, as those of LoRa do.
func TestDeliveryInFinerSteps(t *testing.T) {
	per := func(snr radio.DB) float64 { return 1 / (1 + math.Exp(3*float64(snr+10))) }
	rapid.Check(t, func(t *rapid.T) {
		mean := radio.DB(rapid.Float64Range(-60, 60).Draw(t, "mean"))
		f := rician(radio.DB(rapid.Float64Range(-60, 60).Draw(t, "k")))
		if got, fine := Delivery(per, mean, f), deliveryInSteps(per, mean, f, 0.03); !(math.Abs(got-fine) <= 1e-7) {
			t.Fatalf("%+v at %v dB: %v, in finer steps %v", f, mean, got, fine)
		}
	})
}
