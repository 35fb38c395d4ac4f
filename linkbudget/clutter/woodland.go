package clutter

import (
	"errors"
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain/fault"
)

// woodlandRow is the loss measured in a wood at one frequency.
type woodlandRow struct {
	freqHz float64
	gamma  float64 // dB/m, specific attenuation of a short way
	most   float64 // dB, A_m: the signal that goes round or over the trees
}

// woodlandRows is the measured set printed in ITU-R P.833-10 §2.1: deciduous
// trees, vertical polarisation.
var woodlandRows = [...]woodlandRow{
	{105.9e6, 0.04, 9.4},
	{466.475e6, 0.12, 18.0},
	{949.0e6, 0.17, 26.5},
	{1852.2e6, 0.30, 29.0},
	{2117.5e6, 0.34, 34.1},
}

// maxWoodM bounds the way through a wood, m.
const maxWoodM = 100e3

// Woodland is a way through a wood.
//
// Other woods differ by several dB either way: without leaves the loss is about
// a fifth less, wet leaves add some dB (from memory).
type Woodland struct {
	DepthM float64 // way inside the wood, 0 to 100 km
	FreqHz float64 // 105.9 to 2117.5 MHz, the range of the measured set
}

// Validate lists every field out of its range.
func (w Woodland) Validate() error {
	low, high := woodlandRows[0].freqHz, woodlandRows[len(woodlandRows)-1].freqHz
	return errors.Join(
		fault.Range("woodland: depth", w.DepthM, 0, maxWoodM, "m"),
		fault.Range("woodland: frequency", w.FreqHz/1e6, low/1e6, high/1e6, "MHz"))
}

// Loss returns the loss in excess of everything else where one antenna stands
// in the wood and the other outside, ITU-R P.833-10 §2.1:
//
//	A_ev = A_m (1 - exp(-d gamma/A_m))
//
// or an error that lists every field out of range.
func (w Woodland) Loss() (radio.DB, error) {
	if err := w.Validate(); err != nil {
		return 0, err
	}
	return TreesAt(w.FreqHz).Loss(w.DepthM), nil
}

// Nearest is Loss with values out of their ranges taken for the nearest ones allowed.
func (w Woodland) Nearest() radio.DB { return TreesAt(w.FreqHz).Loss(w.DepthM) }

// Trees are woods at one frequency, prepared for many depths. The zero Trees cost nothing.
type Trees struct{ gamma, most float64 }

// TreesAt returns those at freqHz, or at the nearest frequency of the measured set.
func TreesAt(freqHz float64) Trees {
	low, high := woodlandRows[0].freqHz, woodlandRows[len(woodlandRows)-1].freqHz
	gamma, most := Woodland{FreqHz: min(max(freqHz, low), high)}.coefficients()
	return Trees{gamma, most}
}

// Loss is that of [Woodland.Nearest].
func (t Trees) Loss(depthM float64) radio.DB {
	if !(depthM > 0) || t.most == 0 {
		return 0
	}
	return radio.DB(-t.most * math.Expm1(-min(depthM, maxWoodM)*t.gamma/t.most))
}

// coefficients returns gamma and A_m at the frequency, on straight lines
// between the measured ones in log-log scale. The frequency is in range.
func (w Woodland) coefficients() (gamma, most float64) {
	i := 1
	for w.FreqHz > woodlandRows[i].freqHz {
		i++
	}
	a, b := woodlandRows[i-1], woodlandRows[i]
	t := math.Log(w.FreqHz/a.freqHz) / math.Log(b.freqHz/a.freqHz)
	return a.gamma * math.Pow(b.gamma/a.gamma, t), a.most * math.Pow(b.most/a.most, t)
}
