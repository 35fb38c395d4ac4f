package antenna

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain/fault"
)

// Coax is a class of 50 ohm cable with its attenuation law
//
//	A = K1 sqrt(f) + K2 f
//
// in decibels per metre for f in megahertz: K1 is the loss in the conductors,
// K2 that in the dielectric. At 20 C; about 0.2 % more per kelvin above.
type Coax struct {
	Name   string
	K1     float64 // dB / (m sqrt(MHz))
	K2     float64 // dB / (m MHz)
	Source string  // what the law rests on
}

// Cables are listed by the foot in most tables.
const metresPer100Ft = 30.48

// CoaxClasses returns the cables known by name, thinnest and most lossy first.
// A name stands for a class: makes differ by some 5 %, for RG-58 by 25 %.
func CoaxClasses() []Coax {
	return []Coax{
		// 0.875 dB/m at 850 MHz: a single point, taken as conductor loss.
		{"RG-316", 0.875 / math.Sqrt(850), 0, "RG-188A/U (same line, 2.6 mm PTFE) listed at 26.66 dB/100 ft at 850 MHz; sqrt(f) from there"},
		throughPer100Ft("RG-174", 4.56, 10.3, "2.8 mm; ARRL figures 4.56 and 10.3 dB/100 ft at 30 and 150 MHz, extrapolated"),
		{"100 class", 0.75 / math.Sqrt(868), 0, "low-loss 2.8 mm; 0.75 dB/m at 868 MHz from memory; sqrt(f) from there"},
		{"RG-58 C/U", 0.582 / math.Sqrt(850), 0, "5 mm, stranded; listed at 58.2 dB/100 m at 850 MHz; sqrt(f) from there"},
		throughPer100Ft("RG-58", 2.47, 5.63, "5 mm, better type; ARRL figures 2.47 and 5.63 dB/100 ft at 30 and 150 MHz, "+
			"extrapolated"),
		{"195 class", 0.37 / math.Sqrt(868), 0, "low-loss 5 mm; 0.37 dB/m at 868 MHz from memory; sqrt(f) from there"},
		{"240 class", 0.242080 / metresPer100Ft, 0.000330 / metresPer100Ft, "low-loss foam 6.1 mm; datasheet law 0.242080 sqrt(f) + 0.000330 f dB/100 ft"},
		{"400 class", 0.122290 / metresPer100Ft, 0.000260 / metresPer100Ft, "low-loss foam 10.3 mm; datasheet law 0.122290 sqrt(f) + 0.000260 f dB/100 ft"},
	}
}

// throughPer100Ft returns the cable whose law passes through two listed
// attenuations, at 30 and at 150 MHz, in decibels per 100 ft.
func throughPer100Ft(name string, at30MHz, at150MHz float64, source string) Coax {
	s30, s150 := math.Sqrt(30), math.Sqrt(150)
	det := s30*150 - s150*30
	return Coax{
		Name:   name,
		K1:     (at30MHz*150 - at150MHz*30) / det / metresPer100Ft,
		K2:     (s30*at150MHz - s150*at30MHz) / det / metresPer100Ft,
		Source: source,
	}
}

// CoaxByName finds an entry of CoaxClasses, whatever the case of the letters.
// The error lists the names there are.
func CoaxByName(name string) (Coax, error) {
	all := CoaxClasses()
	names := make([]string, len(all))
	for i, c := range all {
		if strings.EqualFold(name, c.Name) {
			return c, nil
		}
		names[i] = c.Name
	}
	return Coax{}, fault.Found("cable", strconv.Quote(name), strings.Join(names, ", "))
}

// Loss returns the attenuation of a length in metres at a frequency in hertz;
// 0 where either is not above 0. Feeder.Loss checks its input.
func (c Coax) Loss(lengthM, freqHz float64) radio.DB {
	if !(lengthM > 0) || !(freqHz > 0) {
		return 0
	}
	freqMHz := freqHz / 1e6
	return radio.DB(lengthM * (c.K1*math.Sqrt(freqMHz) + c.K2*freqMHz))
}

// Feeder is the cable between radio and antenna; what connectors, leads and arrestors
// lose is stated beside it. Its loss counts twice on a pole, on what it sends and on
// what it hears.
type Feeder struct {
	Coax    Coax
	LengthM float64 // 0 to 200 m
}

var feederLength = fault.Number[Feeder]{Key: "coax_m", Limits: fault.Limits{Max: 200, Unit: "m"},
	At: func(f *Feeder) *float64 { return &f.LengthM }}

// FeederNumbers is Numbers for a feeder.
func FeederNumbers() []fault.Number[Feeder] { return []fault.Number[Feeder]{feederLength} }

// Loss returns the loss of the feeder at a frequency in hertz, MinFreqHz to
// MaxFreqHz, or an error that lists every value out of its range.
func (f Feeder) Loss(freqHz float64) (radio.DB, error) {
	errs := []error{
		fault.Range("feeder: frequency", freqHz, radio.MinFreqHz, radio.MaxFreqHz, "Hz"),
		feederLength.Check("feeder: length", f.LengthM),
		fault.Range("feeder: K1 of the cable", f.Coax.K1, 0, 1, ""),
		fault.Range("feeder: K2 of the cable", f.Coax.K2, 0, 1, ""),
	}
	if f.LengthM > 0 && f.Coax.K1 == 0 && f.Coax.K2 == 0 {
		errs = append(errs, fault.Input("feeder: %g m of cable %q without its loss; take the cable from CoaxByName, or "+
			"state K1 and K2", f.LengthM, f.Coax.Name))
	}
	if err := errors.Join(errs...); err != nil {
		return 0, err
	}
	return f.Coax.Loss(f.LengthM, freqHz), nil
}
