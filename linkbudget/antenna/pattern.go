package antenna

import (
	"errors"
	"fmt"
	"math"
	"slices"
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

var numbers = []fault.Number[Antenna]{
	{Key: "gain_dbi", Limits: fault.Limits{Min: -20, Max: 30, Unit: "dBi"}, At: func(a *Antenna) *float64 { return (*float64)(&a.PeakDBi) }},
	{Key: "tilt_deg", Limits: fault.Limits{Min: -45, Max: 45, Unit: "deg"}, At: func(a *Antenna) *float64 { return &a.TiltDeg }},
	{Key: "azimuth_deg", Limits: fault.Limits{Max: 360, Unit: "deg"}, At: func(a *Antenna) *float64 { return a.AzimuthDeg }},
	{Key: "beamwidth_deg", Limits: fault.Limits{Min: 5, Max: 180, Unit: "deg"}, Zero: "65",
		At: func(a *Antenna) *float64 { return &a.BeamwidthDeg }},
	{Key: "vertical_beamwidth_deg", Limits: fault.Limits{Min: 1, Max: 180, Unit: "deg"}, Zero: "what the gain implies",
		At: func(a *Antenna) *float64 { return &a.VerticalBeamwidthDeg }},
	{Key: "front_to_back_db", Limits: fault.Limits{Min: 3, Max: 40, Unit: "dB"}, Zero: "20",
		At: func(a *Antenna) *float64 { return (*float64)(&a.FrontToBackDB) }},
}

// Numbers lists the numbers of an antenna with their ranges, by their keys in files.
func Numbers() []fault.Number[Antenna] { return slices.Clone(numbers) }

// Validate lists every field out of its range.
func (a Antenna) Validate() error {
	errs := fault.Numbers(numbers, &a)
	if int(a.Beam) >= len(beamWords) {
		errs = append(errs, fault.Found("beam", a.Beam, strings.Join(beamWords[:], ", ")))
	}
	if a.AzimuthDeg == nil && a.Beam == BeamSector {
		errs = append(errs, fault.Input("azimuth_deg: missing, a sector antenna needs the direction it looks in, 0 to 360 "+
			"deg"))
	}
	for i, err := range errs {
		errs[i] = fmt.Errorf("antenna: %w", err)
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
	if a.Beam == BeamSector && a.AzimuthDeg != nil {
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
