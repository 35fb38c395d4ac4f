package clutter

import (
	"math"

	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
)

// Terminal is an antenna below the tops of what stands around it.
//
// Suburban to dense urban describe a terminal deep inside: 15 to 25 dB at 2 m; they
// are not for a mast with a clear view. Open is the height gain of a low
// antenna over open country: 17.6 dB at 1.5 m, 12.9 at 2.5, 6.4 at 5, 2.1 at 8 and
// nothing from 10 m on, at 868 MHz. Measured losses ask for it at both ends beside
// the diffraction over the terrain, which knows nothing of what is smaller than its posts.
type Terminal struct {
	Clutter      Class
	HeightM      float64 // antenna above ground, above 0 to 300 m
	FreqHz       float64 // 30 MHz to 3 GHz
	TopM         float64 // height R of the clutter, up to 100 m; 0 means Clutter.TerminalHeightM
	StreetWidthM float64 // width w_s of the clearing or street, 1 to 1000 m; 0 means 27
}

// Limits of Terminal; the frequencies are those of P.2108-1 §3.1.
const (
	terminalClutterLowHz  = 30e6
	terminalClutterHighHz = 3e9
	MaxTopM               = 100
	streetWidthDefaultM   = 27 // P.2108-1 §3.1
	streetWidthMaxM       = 1000
	terminalClutterLeastM = 0.1 // antennas lower than this count as this high
	openClutterLeastM     = 1.0 // and over open ground: below, formula 2b overshoots what was measured by 20 dB
)

// Loss returns the loss A_h to add at this end, ITU-R P.2108-1 §3.1; 0 where
// the antenna reaches the tops or the class is unstated. Suburban to dense
// urban is formula 2a, diffraction over the nearest row of tops:
//
//	A_h = J(nu) - 6.03, nu = 0.342 sqrt(f) sqrt(h_dif theta_c)
//
// with f in GHz, h_dif = R - h and theta_c = atan(h_dif/w_s) in degrees; open
// ground is formula 2b, A_h = -(21.8 + 6.2 log f) log(h/R).
//
// A value out of its range counts as the nearest one allowed, NaN as the
// default or as the limit with more loss, an antenna below 0.1 m (over open ground
// 1 m) as one at that: the result is finite and never negative.
func (t Terminal) Loss() radio.DB {
	topM := t.Clutter.TerminalHeightM()
	if t.TopM > 0 && topM > 0 {
		topM = min(t.TopM, MaxTopM)
	}
	heightM, freqGHz, widthM := terminalClutterLeastM, terminalClutterHighHz/1e9, float64(streetWidthDefaultM)
	if t.HeightM > heightM {
		heightM = t.HeightM
	}
	if t.FreqHz < terminalClutterHighHz {
		freqGHz = max(t.FreqHz, terminalClutterLowHz) / 1e9
	}
	if t.StreetWidthM > 0 {
		widthM = min(max(t.StreetWidthM, 1), streetWidthMaxM)
	}
	if t.Clutter == Open {
		heightM = max(heightM, openClutterLeastM)
	}
	if heightM >= topM {
		return 0
	}
	if t.Clutter == Open {
		return radio.DB(-(21.8 + 6.2*math.Log10(freqGHz)) * math.Log10(heightM/topM))
	}
	belowM := topM - heightM
	thetaDeg := math.Atan(belowM/widthM) * 180 / math.Pi
	return diffraction.KnifeEdge(0.342*math.Sqrt(freqGHz*belowM*thetaDeg)) - 6.03
}
