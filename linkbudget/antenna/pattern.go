package antenna

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain/fault"
)

// Beam is the shape of an antenna's pattern.
type Beam uint8

// The shapes. The plan file knows the words omni and sector.
const (
	BeamOmni   Beam = iota // all round
	BeamSector             // towards one side
	BeamDipole             // all round, a plain half-wave rod
)

var beamWords = [...]string{BeamOmni: "omni", BeamSector: "sector", BeamDipole: "dipole"}

// String returns the word.
func (b Beam) String() string {
	if int(b) >= len(beamWords) {
		return fmt.Sprintf("beam %d", uint8(b))
	}
	return beamWords[b]
}

// plainOmniMaxDBi is the gain up to which an omni counts as a plain rod with
// the pattern of a half-wave dipole: the omni envelope is too narrow there.
const plainOmniMaxDBi radio.DB = 3

// Antenna is an antenna on its pole: how strong, which way, how wide.
type Antenna struct {
	PeakDBi radio.DB // gain in the main lobe, -20 to 30 dBi
	Beam    Beam
	// TiltDeg is the main lobe over the horizontal, below it negative; -45 to
	// 45. Of an omni it is the same all round, as from electrical tilt.
	TiltDeg float64
	// AzimuthDeg is where a sector looks, clockwise from true north, 0 to 360;
	// nil means nobody said, which a sector does not allow. An omni ignores it.
	AzimuthDeg *float64
	// BeamwidthDeg is the horizontal half-power beamwidth of a sector, 5 to 180;
	// 0 means 65. An omni ignores it.
	BeamwidthDeg float64
	// VerticalBeamwidthDeg is the vertical one, from the data sheet, 1 to 180; 0
	// means what the gain implies. An omni that states it is not taken for a
	// plain rod; a dipole ignores it.
	VerticalBeamwidthDeg float64
	// FrontToBackDB is the loss of a sector behind it, 3 to 40 dB; 0 means 20.
	FrontToBackDB radio.DB
	// LowSideLobes marks an omni built for low side-lobes.
	LowSideLobes bool
}

// Validate lists every field out of its range.
func (a Antenna) Validate() error {
	var errs []error
	check := func(key string, x, low, high float64, unit string) {
		errs = append(errs, fault.Range("antenna: "+key, x, low, high, unit))
	}
	check("gain_dbi", float64(a.PeakDBi), -20, 30, "dBi")
	check("tilt_deg", a.TiltDeg, -45, 45, "deg")
	if int(a.Beam) >= len(beamWords) {
		errs = append(errs, fault.Found("antenna", a.Beam, strings.Join(beamWords[:], ", ")))
	}
	if a.AzimuthDeg != nil {
		check("azimuth_deg", *a.AzimuthDeg, 0, 360, "deg")
	} else if a.Beam == BeamSector {
		errs = append(errs, fault.Input("antenna: azimuth_deg: missing, a sector antenna needs the direction it looks in, 0 to 360 deg"))
	}
	if a.BeamwidthDeg != 0 {
		check("horizontal beamwidth", a.BeamwidthDeg, 5, 180, "deg, or 0 for 65")
	}
	if a.VerticalBeamwidthDeg != 0 {
		check("vertical beamwidth", a.VerticalBeamwidthDeg, 1, 180, "deg, or 0 for what the gain implies")
	}
	if a.FrontToBackDB != 0 {
		check("front-to-back ratio", float64(a.FrontToBackDB), 3, 40, "dB, or 0 for 20")
	}
	return errors.Join(errs...)
}

// Gain returns the gain towards a direction: azimuthDeg clockwise from true
// north, any finite turn, and elevationDeg the angle above the horizontal at
// the antenna, -90 to 90. The error lists everything out of range, the fields
// of Validate too.
//
// A plain omni up to 3 dBi and a dipole have the pattern of a half-wave dipole,
// scaled to PeakDBi, other omnis that of [OmniPattern], sectors that of
// [SectorPattern].
func (a Antenna) Gain(azimuthDeg, elevationDeg float64) (radio.DB, error) {
	errs := []error{a.Validate(), fault.Range("antenna: elevation", elevationDeg, -90, 90, "deg")}
	if math.IsNaN(azimuthDeg) || math.IsInf(azimuthDeg, 0) {
		errs = append(errs, fault.Found("antenna: azimuth", azimuthDeg, "any finite angle"))
	}
	if err := errors.Join(errs...); err != nil {
		return 0, err
	}
	return a.Towards(azimuthDeg, elevationDeg), nil
}

// Towards is Gain of a valid antenna towards a direction in range.
func (a *Antenna) Towards(azimuthDeg, elevationDeg float64) radio.DB {
	// A tilted lobe has nothing farther off than its own axis.
	off := min(math.Abs(elevationDeg-a.TiltDeg), 90)
	if a.Beam == BeamSector {
		s := SectorPattern{a.PeakDBi, a.BeamwidthDeg, a.VerticalBeamwidthDeg, a.FrontToBackDB}
		return s.Gain(azimuthDeg-*a.AzimuthDeg, off)
	}
	if a.Beam == BeamDipole || a.PeakDBi <= plainOmniMaxDBi && a.VerticalBeamwidthDeg == 0 {
		return a.PeakDBi - DipolePattern(off)
	}
	k := TypicalSideLobes
	if a.LowSideLobes {
		k = ImprovedSideLobes
	}
	return OmniPattern{a.PeakDBi, a.VerticalBeamwidthDeg, k}.Gain(off)
}
