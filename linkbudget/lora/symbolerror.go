package lora

import (
	"math"
	"sync"

	"github.com/polereach/polereach/linkbudget/fading"
	"github.com/polereach/polereach/linkbudget/radio"
)

// SymbolErrorRate returns the probability that a LoRa symbol is received wrong
// at a signal-to-noise ratio in the LoRa bandwidth, without fading. LoRa is
// M = 2^SF orthogonal signals, detected by the largest of M magnitudes: with
// g = M snr,
//
//	SER = int_0^inf 2 r exp(-(r^2+g)) I0(2 r sqrt g) (1 - (1 - exp(-r^2))^(M-1)) dr
//
// Proakis, Digital Communications, non-coherent detection of orthogonal
// signals. The textbook's alternating sum cancels beyond M = 64, the integral
// never does; it is exact to about 1e-7 of the value. Perfect synchronisation
// is assumed, so a real receiver needs somewhat more: PacketError.
//
// A spreading factor outside 5 to 12 or an SNR that is NaN gives 1: nothing is
// received.
func SymbolErrorRate(sf int, snr radio.DB) float64 {
	if sf < minSF || sf > MaxSF || math.IsNaN(float64(snr)) {
		return 1
	}
	m := math.Ldexp(1, sf)
	g := m * snr.Ratio()
	if g > unionTightG {
		return (m - 1) / 2 * math.Exp(-g/2)
	}
	s := math.Sqrt(g)
	wrong := func(r float64) float64 {
		return fading.RiceDensity(r, s) * -math.Expm1((m-1)*math.Log1p(-math.Exp(-r*r)))
	}
	// Outside this range the integrand holds less than 1e-18 of the union bound.
	const reach = 4.6
	// The power of M-1 has its nearest singularity about 0.25 off the real
	// axis, where M exp(-r^2) is 1: hence the narrow panels.
	const panel = 0.4
	return min(fading.GaussLegendre(wrong, max(0, s/2-reach), s/2+reach, panel), (m-1)/m)
}

// unionTightG is the symbol energy over noise density from which the union
// bound is the symbol error rate to 1e-13: its next term is M/3 exp(-g/6) less.
const unionTightG = 240

// symbolErrorTable holds ln SER of one spreading factor at even steps of the
// SNR, for a packet error rate is asked hundreds of times per link.
type symbolErrorTable struct {
	fromDB float64
	ln     [symbolErrorNodes]float64
}

// The tables reach from 17 dB under RequiredSNR, where symbols are right by
// little more than chance, to 8 dB over it, where the rate is below 1e-23.
const (
	symbolErrorStepDB  = 0.1
	symbolErrorUnderDB = 17.0
	symbolErrorNodes   = 251
)

// symbolErrorTables are built in some milliseconds each.
var symbolErrorTables = bySF(func(sf int) *symbolErrorTable {
	table := &symbolErrorTable{fromDB: float64(Modem{SF: sf}.RequiredSNR()) - symbolErrorUnderDB}
	for i := range table.ln {
		table.ln[i] = math.Log(SymbolErrorRate(sf, radio.DB(table.fromDB+symbolErrorStepDB*float64(i))))
	}
	return table
})

// bySF builds a value for each spreading factor when it is first asked for.
func bySF[T any](build func(sf int) T) (values [MaxSF + 1]func() T) {
	for sf := minSF; sf <= MaxSF; sf++ {
		values[sf] = sync.OnceValue(func() T { return build(sf) })
	}
	return values
}

// tabulatedSymbolError returns SymbolErrorRate for a spreading factor within 5
// to 12, within 2e-6 of its value: the cubic through the four nearest nodes,
// and above them the union bound. Below the table it returns what chance gives,
// (M-1)/M: no packet passes there, to 1e-7.
func tabulatedSymbolError(sf int, snr radio.DB) float64 {
	table := symbolErrorTables[sf]()
	x := (float64(snr) - table.fromDB) / symbolErrorStepDB
	m := math.Ldexp(1, sf)
	switch {
	case x < 1:
		return chanceSymbolError(sf)
	case x >= symbolErrorNodes-2:
		return (m - 1) / 2 * math.Exp(-m*snr.Ratio()/2)
	}
	i := int(x)
	u := x - float64(i)
	y := table.ln[i-1 : i+3]
	ln := -u*(u-1)*(u-2)/6*y[0] + (u+1)*(u-1)*(u-2)/2*y[1] - (u+1)*u*(u-2)/2*y[2] + (u+1)*u*(u-1)/6*y[3]
	return math.Exp(ln)
}

// chanceSymbolError is the rate at which symbols are wrong that are guessed.
func chanceSymbolError(sf int) float64 {
	m := math.Ldexp(1, sf)
	return (m - 1) / m
}
