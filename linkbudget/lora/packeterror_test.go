package lora

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/fading"
	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

// packetAt125k is a packet with header and checksum at 125 kHz.
func packetAt125k(sf, payloadB, cr int) PacketError {
	return PacketError{
		Modem:  Modem{SF: sf, BWHz: 125e3, CR: cr},
		Packet: Packet{PayloadB: payloadB, PreambleSymbols: 8},
	}
}

func mustTheory(t *testing.T, e PacketError) Waterfall {
	t.Helper()
	w, err := e.theory()
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// SNR for a packet error rate in the model without shift, and the shift to the
// datasheets' required SNR (computed apart from the same formula, so a check
// of the arithmetic: blocks, codes, symbol error rate; printed to 0.01 dB).
// SF5 and SF6 count blocks as the SX126x does; recomputed for that with exact
// sums in 60 digits (mpmath 1.3): by the SX127x count, one block more, 20 B at
// SF5 and 64 B at SF6 would need 0.01 to 0.08 dB more.
func TestTheorySNR(t *testing.T) {
	rows := []struct {
		sf int
		// 64 B 4/5 1 % and 10 %, 64 B 4/8 1 %, 20 B 4/5 1, 10 and 50 %, 255 B 4/5 1 %
		snr   [7]float64
		shift float64
	}{
		{5, [7]float64{-1.20, -2.18, -2.99, -1.63, -2.75, -3.97, -0.73}, -1.30},
		{6, [7]float64{-4.05, -5.01, -5.74, -4.43, -5.51, -6.69, -3.59}, -0.95},
		{7, [7]float64{-6.89, -7.83, -8.50, -7.26, -8.31, -9.46, -6.44}, -0.61},
		{8, [7]float64{-9.73, -10.64, -11.27, -10.11, -11.14, -12.26, -9.30}, -0.27},
		{9, [7]float64{-12.59, -13.48, -14.06, -12.98, -13.99, -15.11, -12.17}, 0.09},
		{10, [7]float64{-15.46, -16.34, -16.87, -15.79, -16.77, -17.85, -15.03}, 0.46},
		{11, [7]float64{-18.25, -19.08, -19.63, -18.61, -19.56, -20.60, -17.85}, 0.75},
		{12, [7]float64{-21.13, -21.96, -22.46, -21.52, -22.47, -23.52, -20.73}, 1.13},
	}
	columns := [7]struct {
		payloadB, cr int
		per          float64
	}{{64, 1, 0.01}, {64, 1, 0.10}, {64, 4, 0.01}, {20, 1, 0.01}, {20, 1, 0.10}, {20, 1, 0.50}, {255, 1, 0.01}}
	for _, row := range rows {
		for i, c := range columns {
			w := mustTheory(t, packetAt125k(row.sf, c.payloadB, c.cr))
			check.Near(t, fmt.Sprintf("SF%d, %d B, CR %d, PER %v", row.sf, c.payloadB, c.cr, c.per), float64(w.snrFor(c.per)),
				row.snr[i], 0.0051)
		}
		check.Near(t, fmt.Sprintf("SF%d shift", row.sf), float64(waterfallShifts[row.sf]()), row.shift, 0.0101)
	}
	// The whole waterfall of 64 B at 4/5 (computed).
	for i, per := range []float64{0.01, 0.10, 0.50, 0.90, 0.99} {
		check.Near(t, fmt.Sprintf("SF7 PER %v", per), float64(mustTheory(t, packetAt125k(7, 64, 1)).snrFor(per)),
			[5]float64{-6.89, -7.83, -8.81, -9.62, -10.19}[i], 0.0051)
		check.Near(t, fmt.Sprintf("SF12 PER %v", per), float64(mustTheory(t, packetAt125k(12, 64, 1)).snrFor(per)),
			[5]float64{-21.13, -21.96, -22.83, -23.55, -24.06}[i], 0.0051)
	}
}

// The formula written out plainly, with the blocks counted by hand, against
// what PER arrives at through logarithms.
func TestTheoryPERByHand(t *testing.T) {
	rows := []struct {
		sf, payloadB, cr int
		snr              radio.DB
		blocks           int
	}{
		{7, 64, 1, -7.5, 19},    // (512+28+16-28)/28 = 18.9
		{7, 20, 1, -9, 7},       // (160+28+16-28)/28 = 6.3
		{7, 64, 4, -9, 19},      //
		{10, 20, 3, -17, 5},     // (160+28+16-40)/40 = 4.1
		{12, 64, 2, -22, 13},    // (512+28+16-48)/40 = 12.7, optimised
		{11, 255, 1, -18.5, 57}, // (2040+28+16-44)/36 = 56.7, optimised
		{12, 1, 1, -23, 1},      // (8+28+16-48)/40 = 0.1
	}
	for _, row := range rows {
		p, l := SymbolErrorRate(row.sf, row.snr), float64(row.cr+4)
		first := math.Pow(1-p, 8) + 8*p*math.Pow(1-p, 7)
		block := math.Pow(1-p, l)
		if row.cr >= 3 {
			block += l * p * math.Pow(1-p, l-1)
		}
		want := 1 - first*math.Pow(block, float64(row.blocks))
		got, err := theoryPER(packetAt125k(row.sf, row.payloadB, row.cr), row.snr)
		if err != nil {
			t.Error(err)
		}
		check.Relative(t, fmt.Sprintf("%+v", row), got, want, 1e-5)
	}
}

// The shifted model (computed).
func TestPER(t *testing.T) {
	for _, row := range []struct {
		sf, payloadB int
		snr          radio.DB
		want         float64
	}{
		{7, 64, -8.5, 0.1148}, {7, 20, -8.5, 0.0439}, {7, 64, -9, 0.2841}, {7, 20, -9, 0.1160},
		{10, 64, -16, 0.1308}, {10, 20, -16, 0.0526}, {12, 64, -21, 0.1480}, {12, 20, -21, 0.0482},
		{12, 64, -22, 0.6960}, {12, 20, -22, 0.3108},
	} {
		got, err := packetAt125k(row.sf, row.payloadB, 1).PER(row.snr)
		if err != nil {
			t.Error(err)
		}
		check.Near(t, fmt.Sprintf("SF%d, %d B at %v dB", row.sf, row.payloadB, row.snr), got, row.want, 0.003)
	}
	// By definition of sensitivity, 64 bytes at 4/5 lose 1 % at RequiredSNR.
	for sf := 5; sf <= 12; sf++ {
		e := packetAt125k(sf, 64, 1)
		got, err := e.PER(e.Modem.RequiredSNR())
		if err != nil {
			t.Error(err)
		}
		check.Near(t, fmt.Sprintf("SF%d at the required SNR", sf), got, 0.01, 1e-8)
	}
}

// A measured waterfall: RAK4260 module datasheet (a chip of the SX1276 class),
// SF7, 868 MHz. It states neither payload nor bandwidth, and the noise figure
// of 5.3 dB is fitted: the shape is the check, within 5 points.
func TestPERShapeAgainstMeasurement(t *testing.T) {
	e := packetAt125k(7, 64, 1)
	floor := radio.DBm(-174 + 10*math.Log10(125e3) + 5.3)
	for _, row := range []struct {
		level           radio.DBm
		measured, model float64 // %; the model's was computed
	}{{-124, 0, 0.15}, {-125, 3, 2.75}, {-126, 20, 23.2}, {-127, 78, 76.0}, {-128, 100, 99.4}} {
		per, err := theoryPER(e, row.level.Sub(floor))
		if err != nil {
			t.Error(err)
		}
		check.Near(t, fmt.Sprintf("%v dBm, measured", row.level), 100*per, row.measured, 5)
		check.Near(t, fmt.Sprintf("%v dBm, model", row.level), 100*per, row.model, 0.5)
	}
}

func anyPacketError() *rapid.Generator[PacketError] {
	return rapid.Custom(func(t *rapid.T) PacketError {
		return PacketError{Modem: anyModem(7).Draw(t, "modem"), Packet: anyPacket().Draw(t, "packet"),
			Family: rapid.SampledFrom([]Family{FamilySX126x, FamilySX127x}).Draw(t, "family")}
	})
}

// PER falls with the SNR and rises with the payload; snrFor turns it back;
// stronger codes never lose more at the same number of blocks, where symbols are
// better than nearly guessed: of 8 symbols at most one is bad with (1-p)^7 (1+7p), of
// 6 none with (1-p)^6, which is less up to p = 6/7. Beyond, less than (1/7)^6 of the
// packets at 4/6 arrive.
func TestPERProperties(t *testing.T) {
	per := func(t *rapid.T, e PacketError, snr radio.DB) float64 {
		p, err := e.PER(snr)
		if err != nil {
			t.Fatal(err)
		}
		if !(p >= 0 && p <= 1) {
			t.Fatalf("%+v at %v dB: PER %v", e, snr, p)
		}
		return p
	}
	rapid.Check(t, func(t *rapid.T) {
		e := anyPacketError().Draw(t, "packet")
		snr := radio.DB(rapid.Float64Range(-40, 20).Draw(t, "snr"))
		p := per(t, e, snr)
		if more := per(t, e, snr+0.05); !(more <= p+1e-12) {
			t.Fatalf("PER %v at %v dB, %v at 0.05 dB more", p, snr, more)
		}
		longer := e
		longer.Packet.PayloadB = min(255, e.Packet.PayloadB+rapid.IntRange(0, 60).Draw(t, "more bytes"))
		if q := per(t, longer, snr); !(q >= p) {
			t.Fatalf("PER %v, %v with %d bytes for %d", p, q, longer.Packet.PayloadB, e.Packet.PayloadB)
		}
		detecting, correcting := e, e
		detecting.Modem.CR, correcting.Modem.CR = 2, 4
		if q, r := per(t, detecting, snr), per(t, correcting, snr); 1-q > math.Pow(1.0/7, 6) && !(r <= q+1e-12) {
			t.Fatalf("PER %v at 4/6, %v at 4/8", q, r)
		}
		wanted := math.Pow(10, rapid.Float64Range(-9, -0.001).Draw(t, "log per"))
		at, err := snrFor(e, wanted)
		if err != nil {
			t.Fatal(err)
		}
		check.Relative(t, "PER at snrFor", per(t, e, at), wanted, 1e-6)
	})
}

func TestPacketErrorRefuses(t *testing.T) {
	bad := PacketError{Modem: Modem{SF: 13, BWHz: 1, CR: 9}}
	nan := radio.DB(math.NaN())
	for name, call := range map[string]func() error{
		"PER":      func() error { _, err := bad.PER(nan); return err },
		"Delivery": func() error { _, err := bad.Delivery(nan, fading.Law{Kind: 9}); return err },
	} {
		err := call()
		if err == nil {
			t.Errorf("%s passed", name)
			continue
		}
		for _, want := range []string{"sf: found 13", "bw_khz", "coding rate", "payload: found 0", "found NaN"} {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %q lacks %q", name, err, want)
			}
		}
	}
	good := packetAt125k(9, 20, 1)
	w, err := good.Waterfall()
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, "PER at NaN", w.PER(nan), 1, 0)
	check.Near(t, "PER of nothing", w.PER(radio.DB(math.Inf(-1))), 1, 1e-9)
	check.Near(t, "PER of plenty", w.PER(radio.DB(math.Inf(1))), 0, 0)
	check.Near(t, "PER of the zero Waterfall", Waterfall{}.PER(50), 1, 0)
}

// Where surely says so, 1 - PER is 1 to the last bit, for every modem and the longest
// packets; nearer to what is required it says nothing.
func TestWaterfallSurely(t *testing.T) {
	for sf := minSF; sf <= MaxSF; sf++ {
		for cr := 1; cr <= 4; cr++ {
			packet := Packet{PayloadB: 255, PreambleSymbols: 12}
			w, err := PacketError{Modem: Modem{SF: sf, BWHz: 125e3, CR: cr}, Packet: packet}.Waterfall()
			if err != nil {
				t.Fatal(err)
			}
			from := Modem{SF: sf}.RequiredSNR() + w.shift + 8
			if w.Surely(from-0.01) || !w.Surely(from+0.01) {
				t.Errorf("SF%d: surely does not begin at %g dB", sf, from)
			}
			for above := radio.DB(0); above < 60; above += 0.25 {
				if got := 1 - w.PER(from+above); got != 1 {
					t.Errorf("SF%d CR%d, %g dB: 1 - PER is 1 - %g", sf, cr, from+above, 1-got)
				}
			}
		}
	}
	if (&Waterfall{}).Surely(100) || (&Waterfall{sf: 7}).Surely(radio.DB(math.NaN())) {
		t.Error("sure of nothing at all")
	}
}

func BenchmarkPER(b *testing.B) {
	e := packetAt125k(12, 20, 1)
	b.Run("PER", func(b *testing.B) {
		for b.Loop() {
			if _, err := e.PER(-20.5); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("Waterfall", func(b *testing.B) {
		w, err := e.Waterfall()
		if err != nil {
			b.Fatal(err)
		}
		for b.Loop() {
			w.PER(-20.5)
		}
	})
}

// theoryPER is what an ideal receiver loses, without the shift of PER.
func theoryPER(e PacketError, snr radio.DB) (float64, error) {
	w, err := e.theory()
	return w.PER(snr), err
}

// snrFor is the signal-to-noise ratio at which a share per of the packets is lost.
func snrFor(e PacketError, per float64) (radio.DB, error) {
	w, err := e.Waterfall()
	return w.snrFor(per), err
}
