package linkbudget

import (
	"fmt"
	"math"
	"strings"
)

// PhaseNoise is the noise of a transmitter beside its carrier.
type PhaseNoise struct {
	Chip   string
	Points []PhaseNoisePoint // by rising offset
	Source string
}

// PhaseNoisePoint is the noise density at one offset from the carrier.
type PhaseNoisePoint struct {
	OffsetHz float64
	DBcPerHz DB // density over the carrier
}

// PhaseNoises returns the published figures at 868 and 915 MHz. A power
// amplifier behind the chip adds to them.
func PhaseNoises() []PhaseNoise {
	return []PhaseNoise{
		{"SX1262", []PhaseNoisePoint{{100e3, -100}, {1e6, -120}, {10e6, -135}}, "SX1261/2 datasheet Rev 1.1, table 3-7"},
		{"SX1276", []PhaseNoisePoint{{50e3, -103}, {400e3, -115}, {1e6, -122}}, "SX1276/77/78/79 datasheet Rev 4, table 9"},
	}
}

// PhaseNoiseByChip finds an entry of PhaseNoises, whatever the case of the
// letters. The error lists the chips there are.
func PhaseNoiseByChip(chip string) (PhaseNoise, error) {
	var names []string
	for _, p := range PhaseNoises() {
		if strings.EqualFold(chip, p.Chip) {
			return p, nil
		}
		names = append(names, p.Chip)
	}
	return PhaseNoise{}, fmt.Errorf("phase noise of %q, known are %s", chip, strings.Join(names, ", "))
}

// At returns the density at an offset in hertz, to either side: straight over
// the logarithm of the offset between the points. Beyond the last one it stays,
// which is careful; below the first there is no figure, an error.
func (p PhaseNoise) At(offsetHz float64) (DB, error) {
	if len(p.Points) == 0 {
		return 0, fmt.Errorf("phase noise of %q: no points", p.Chip)
	}
	offsetHz = math.Abs(offsetHz)
	first, last := p.Points[0], p.Points[len(p.Points)-1]
	if !(offsetHz >= first.OffsetHz && !math.IsInf(offsetHz, 1)) {
		return 0, fmt.Errorf("phase noise of %s at an offset of %v kHz, allowed %v kHz and more", p.Chip, offsetHz/1e3, first.OffsetHz/1e3)
	}
	for i, right := range p.Points[1:] {
		if left := p.Points[i]; offsetHz <= right.OffsetHz {
			return left.DBcPerHz + logShare(offsetHz, left.OffsetHz, right.OffsetHz)*(right.DBcPerHz-left.DBcPerHz), nil
		}
	}
	return last.DBcPerHz, nil
}

// logShare tells where x lies between two offsets on a logarithmic scale.
func logShare(x, left, right float64) DB {
	return DB(math.Log(x/left) / math.Log(right/left))
}
