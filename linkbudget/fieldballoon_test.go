package linkbudget_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/internal/official"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

// Balloons over south-western France, 24 May 2024: 1901 frames of four
// transmitters up to 32 km high and 58 km away, power as logged, position by
// GPS (Dobler, Donsez, Cordier, "The Balloon LR-FHSS frames dataset", 2025,
// doi:10.18709/perscido.2025.04.ds420, joined to the trackers' positions, ODbL
// 1.0). Nothing stands between, so it is free space against the sky.
//
// Evaluate takes antennas up to 300 m over the ground, so the formulas are used
// by themselves: terrain.Inverse, SlantM, FreeSpace. Assumed: 868 MHz, and a
// receiving antenna 5 m over the lowest place a balloon logged on the launch
// field, where the receiver stood; its height above the sea is not published.
//
// The medians of level - (power - free space) are stated with the data, for
// powers up to 14 dBm and without antenna gains: -13.5 dB at 1 to 5 km, -9.1 at
// 20 to 40 km, -5.4 at 40 to 58 km, standard deviation about 5 dB. They were
// computed in Python from the same frames: a second derivation of distance and
// free space, not a truth about antennas. The tolerance is the printed digit.
// What this catches: a slant distance off by 1 to 2 %, degrees for radians,
// swapped coordinates, a wrong constant of free space beyond the rounding of
// P.525. That every median lies below 0 is the free-space bound: nothing
// arrives above it without gain.
func TestBalloonsInFreeSpace(t *testing.T) {
	gateway := orb.Point{-0.251466, 43.706172} // gateway.csv
	const freqHz = 868e6
	rows := official.Measured(t, ',', "balloon_868", "links.csv")[1:]
	if len(rows) != 1901 {
		t.Errorf("%d frames, the set says 1901", len(rows))
	}
	fieldM := math.Inf(1)
	for _, row := range rows {
		fieldM = math.Min(fieldM, official.Number(t, row[9]))
	}
	antennaM := fieldM + 5
	// Half-wave dipoles hanging and standing upright; nobody says what they were.
	dipole := linkbudget.Antenna{PeakDBi: antenna.HalfWaveDipoleGain, Beam: antenna.BeamDipole}

	classes := []struct {
		fromKm, toKm float64
		medianDB     float64 // NaN: none stated
	}{{0, 1, math.NaN()}, {1, 5, -13.5}, {5, 20, math.NaN()}, {20, 40, -9.1}, {40, 60, -5.4}}
	plain, withDipoles := make([][]float64, len(classes)), make([][]float64, len(classes))
	for _, row := range rows {
		txDBm, level := official.Number(t, row[5]), official.Number(t, row[6])
		if txDBm > 14 {
			continue // as stated with the medians
		}
		altM := official.Number(t, row[9])
		distM := terrain.Inverse(gateway, orb.Point{official.Number(t, row[8]), official.Number(t, row[7])}).DistM
		slantM := radio.SlantM(distM, antennaM, altM)
		off := level - (txDBm - float64(radio.FreeSpace(slantM, freqHz)))
		gain, err := dipole.Gain(0, math.Atan2(altM-antennaM, distM)*180/math.Pi)
		if err != nil {
			t.Fatal(err)
		}
		for i, c := range classes {
			if slantM >= c.fromKm*1e3 && slantM < c.toKm*1e3 {
				plain[i] = append(plain[i], off)
				withDipoles[i] = append(withDipoles[i], off-2*float64(gain))
			}
		}
	}
	for i, c := range classes {
		median, sigma := medianAndSpread(plain[i])
		dipoles, dipoleSigma := medianAndSpread(withDipoles[i])
		t.Logf("%2g to %2g km, %3d frames: median error %+6.2f dB, spread %.2f dB without antenna gains; %+6.2f and %.2f "+
			"dB with half-wave dipoles", c.fromKm, c.toKm, len(plain[i]), median, sigma, dipoles, dipoleSigma)
		if math.IsNaN(c.medianDB) {
			continue
		}
		if !(math.Abs(median-c.medianDB) <= 0.05) {
			t.Errorf("%g to %g km: median error %.2f dB, stated %.1f dB", c.fromKm, c.toKm, median, c.medianDB)
		}
		if !(math.Abs(sigma-5) <= 0.5) { // "about 5 dB"
			t.Errorf("%g to %g km: spread %.2f dB, stated about 5 dB", c.fromKm, c.toKm, sigma)
		}
	}
}
