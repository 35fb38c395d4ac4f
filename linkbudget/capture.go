package linkbudget

import (
	"errors"
	"fmt"
)

// Rejection is a datasheet figure of how much stronger than the wanted packet
// a disturbance may be, at 1 % lost packets. A negative figure says how much
// stronger the wanted packet must be.
type Rejection struct {
	Chip        string  // "SX1276" or "SX1262"
	Disturbance string  // "tone", "same SF", "adjacent tone", "blocking", "image"
	SF          int     // of the wanted packet, 0 for any
	OffsetHz    float64 // of the disturbance, 0 for co-channel; to either side
	RejectionDB DB
	Source      string
}

// Rejections returns the published figures, at 125 kHz where the bandwidth
// matters. The adjacent tone lies 1.5 bandwidths off. Under a co-channel tone the
// SX1276 is measured
// with the wanted packet 6 dB over sensitivity, the SX1262 with 3 dB.
func Rejections() []Rejection {
	const sx1276, sx1262 = "SX1276/77/78/79 datasheet Rev 4, table 10", "SX1261/2 datasheet Rev 1.1, table 3-8"
	rows := []Rejection{
		{"SX1276", "same SF", 0, 0, -6, sx1276 + ", CCR_LL"},
		{"SX1276", "image", 0, 0, 66, sx1276 + ", calibrated"},
		{"SX1262", "tone", 7, 0, 5, sx1262},
		{"SX1262", "tone", 12, 0, 19, sx1262},
	}
	for i, db := range []DB{5, 9.5, 12, 14.4, 17, 19.5} {
		rows = append(rows, Rejection{"SX1276", "tone", 7 + i, 0, db, sx1276 + ", CCR_LCW"})
	}
	for _, chip := range []struct {
		name, source string
		blocking     [3]DB
	}{{"SX1276", sx1276, [3]DB{89, 94, 100}}, {"SX1262", sx1262, [3]DB{88, 90, 99}}} {
		rows = append(rows,
			Rejection{chip.name, "adjacent tone", 7, 187.5e3, 60, chip.source},
			Rejection{chip.name, "adjacent tone", 12, 187.5e3, 72, chip.source})
		for i, offsetHz := range [3]float64{1e6, 2e6, 10e6} {
			rows = append(rows, Rejection{chip.name, "blocking", 12, offsetHz, chip.blocking[i], chip.source})
		}
	}
	return rows
}

// Orthogonality is the least signal-to-interference ratio at which a packet is
// received under another of the same bandwidth and channel.
type Orthogonality struct {
	Name   string
	SIRDB  [6][6]DB // row: SF7 to SF12 wanted; column: SF7 to SF12 interfering
	Source string
}

// MeasuredOrthogonality returns measured figures, with 1 dB at the same
// spreading factor, which holds for packets that start together.
func MeasuredOrthogonality() Orthogonality {
	return Orthogonality{"measured", [6][6]DB{
		{1, -8, -9, -9, -9, -9},
		{-11, 1, -11, -12, -13, -13},
		{-15, -13, 1, -13, -14, -15},
		{-19, -18, -17, 1, -17, -18},
		{-22, -22, -21, -20, 1, -20},
		{-25, -25, -25, -24, -23, 1},
	}, "Croce et al., Impact of LoRa Imperfect Orthogonality, IEEE Communications Letters 22(4), 2018; from several agreeing secondary copies"}
}

// TheoreticalOrthogonality returns figures of theory, far more optimistic, with
// the datasheets' 6 dB at the same spreading factor.
func TheoreticalOrthogonality() Orthogonality {
	return Orthogonality{"theoretical", [6][6]DB{
		{6, -16, -18, -19, -19, -20},
		{-24, 6, -20, -22, -22, -22},
		{-27, -27, 6, -23, -25, -25},
		{-30, -30, -30, 6, -26, -28},
		{-33, -33, -33, -33, 6, -29},
		{-36, -36, -36, -36, -36, 6},
	}, "Goursaud and Gorce, EAI Transactions on Internet of Things, 2015, sign turned; from a secondary copy"}
}

// MinSIR returns the entry for two spreading factors, 7 to 12 each.
func (o Orthogonality) MinSIR(wantedSF, interfererSF int) (DB, error) {
	var errs []error
	for _, sf := range []int{wantedSF, interfererSF} {
		if sf < 7 || sf > 12 {
			errs = append(errs, fmt.Errorf("orthogonality: SF%d, figures exist for SF7 to SF12", sf))
		}
	}
	if err := errors.Join(errs...); err != nil {
		return 0, err
	}
	return o.SIRDB[wantedSF-7][interfererSF-7], nil
}

// SameChirpSIR is by how much a packet must exceed another of the same
// spreading factor to be received. SX1276/77/78/79 datasheet Rev 4, table 10.
const SameChirpSIR DB = 6

// SameChirpRate tells whether the chirps of two settings rise equally fast,
// BW^2/2^SF. Such signals are not orthogonal, even at different bandwidths:
// SF7 at 125 kHz and SF9 at 250 kHz. Refused settings have no rate in common.
func (m Modem) SameChirpRate(other Modem) bool {
	a, b := m.symbolUS(), other.symbolUS()
	if a == 0 || b == 0 {
		return false
	}
	// BW/Ts, with BW in 500 kHz over the divisor: in integers, exactly.
	divisorA, _ := bandwidthDivisor(m.BWHz)
	divisorB, _ := bandwidthDivisor(other.BWHz)
	return divisorA*a == divisorB*b
}

// MinSIR returns by how much a packet must exceed another one in its channel to
// be received; a negative figure says how much stronger the other may be.
// SameChirpSIR where the chirps rise equally fast, otherwise
// MeasuredOrthogonality, the more careful of the published tables. There is no
// figure for SF5 and SF6 against other spreading factors, nor for different
// bandwidths: an error.
func MinSIR(wanted, interferer Modem) (DB, error) {
	var errs []error
	for _, m := range []struct {
		name  string
		modem Modem
	}{{"wanted", wanted}, {"interferer", interferer}} {
		if err := m.modem.Validate(); err != nil {
			errs = append(errs, fmt.Errorf("%s: %w", m.name, err))
		}
	}
	if err := errors.Join(errs...); err != nil {
		return 0, err
	}
	if wanted.SameChirpRate(interferer) {
		return SameChirpSIR, nil
	}
	divisor, _ := bandwidthDivisor(wanted.BWHz)
	if other, _ := bandwidthDivisor(interferer.BWHz); other != divisor {
		return 0, fmt.Errorf("orthogonality: bandwidths %g and %g kHz, figures exist for equal ones", wanted.BWHz/1e3, interferer.BWHz/1e3)
	}
	return MeasuredOrthogonality().MinSIR(wanted.SF, interferer.SF)
}
