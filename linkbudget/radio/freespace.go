package radio

import "math"

// SpeedOfLightMS is the speed of light in vacuum, m/s: exact by definition of
// the metre (SI).
const SpeedOfLightMS = 299792458

// WavelengthM returns the wavelength in vacuum, c/f, of a frequency above 0 Hz.
func WavelengthM(freqHz float64) float64 { return SpeedOfLightMS / freqHz }

// FreeSpace returns the free-space basic transmission loss between isotropic
// antennas: 20 log(4 pi d/lambda), ITU-R P.525-4 §2.3.
//
// distM is the slant distance (see [SlantM]), freqHz the frequency in Hz: MHz given for Hz
// put both ends within a wavelength, and the result is 0. Whoever takes a frequency from
// others asks [MinFreqHz] and [MaxFreqHz], as the environment of a path does. The constant
// is the exact one: for MHz and km it is 32.4478 dB where the text of P.525
// rounds to 32.4, so a figure from a table may lie 0.048 dB lower. The formula
// holds in the far field, from a few wavelengths on; nearer than
// lambda/(4 pi), 2.7 cm at 868 MHz, where it would promise a gain, the result
// is 0. Gas absorption, below 0.01 dB/km under 1 GHz, is left out.
func FreeSpace(distM, freqHz float64) DB {
	ratio := 4 * math.Pi * distM / WavelengthM(freqHz)
	if ratio < 1 {
		return 0
	}
	return DB(20 * math.Log10(ratio))
}

// SlantM returns the distance from antenna to antenna: distM along the ground,
// both antenna heights over the same datum. ITU-R P.1812-6 eq (8a), in metres.
func SlantM(distM, aHeightM, bHeightM float64) float64 {
	return math.Hypot(distM, aHeightM-bHeightM)
}
