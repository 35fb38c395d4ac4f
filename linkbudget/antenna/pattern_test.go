package antenna

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

func TestAntennaGain(t *testing.T) {
	east := 90.0
	for _, row := range []struct {
		name              string
		a                 Antenna
		azimuth, elevates float64
		want, tol         float64
	}{
		// F.1336 values of rows 9a, 9b, computed; tilt moves them up or down.
		{"omni", Antenna{PeakDBi: 8}, 123, 5, 6.97, 0.005},
		{"omni tilted up", Antenna{PeakDBi: 8, TiltDeg: 5}, 123, 5, 8, 0},
		{"omni tilted down", Antenna{PeakDBi: 8, TiltDeg: -5}, 0, 5, 3.87, 0.005},
		{"omni far off", Antenna{PeakDBi: 8, TiltDeg: -45}, 0, 80, -5.07, 0.005}, // 125 counts as 90
		{"omni from the data sheet", Antenna{PeakDBi: 8, VerticalBeamwidthDeg: 10}, 0, 5, 5, 1e-9},
		{"omni of low side-lobes", Antenna{PeakDBi: 8, LowSideLobes: true}, 0, 90, -14.836, 0.001},
		// A plain rod: half power at 39 degrees (Balanis), not at 33.
		{"plain rod", Antenna{PeakDBi: 2.15}, 0, -39, -0.85, 0.05},
		{"strong rod", Antenna{PeakDBi: 3}, 0, 39, 0, 0.05},
		{"weak rod", Antenna{PeakDBi: -4}, 0, 0, -4, 0},
		{"dipole", Antenna{PeakDBi: 5, Beam: BeamDipole, VerticalBeamwidthDeg: 9}, 0, 39, 2, 0.05},
		// 3GPP parabola by hand.
		{"sector ahead", Antenna{PeakDBi: 9, Beam: BeamSector, AzimuthDeg: &east}, 90, 0, 9, 0},
		{"sector half power", Antenna{PeakDBi: 9, Beam: BeamSector, AzimuthDeg: &east}, 57.5, 0, 6, 1e-9},
		{"sector behind", Antenna{PeakDBi: 9, Beam: BeamSector, AzimuthDeg: &east}, 270, 0, -11, 0},
		{"sector behind, counted on", Antenna{PeakDBi: 9, Beam: BeamSector, AzimuthDeg: &east, FrontToBackDB: 30}, -90, 0, -21, 0},
		{"sector tilted", Antenna{PeakDBi: 9, Beam: BeamSector, AzimuthDeg: &east, TiltDeg: -5, VerticalBeamwidthDeg: 10}, 90, 0, 6, 1e-9},
	} {
		got, err := row.a.Gain(row.azimuth, row.elevates)
		if err != nil {
			t.Errorf("%s: %v", row.name, err)
		}
		check.Near(t, row.name, float64(got), row.want, row.tol)
	}
}

func TestAntennaGainNeverAbovePeak(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		azimuthDeg := rapid.Float64Range(0, 360).Draw(t, "looks")
		a := Antenna{
			PeakDBi:      radio.DB(rapid.Float64Range(-20, 30).Draw(t, "peak")),
			Beam:         rapid.SampledFrom([]Beam{BeamOmni, BeamSector, BeamDipole}).Draw(t, "beam"),
			TiltDeg:      rapid.Float64Range(-45, 45).Draw(t, "tilt"),
			AzimuthDeg:   &azimuthDeg,
			LowSideLobes: rapid.Bool().Draw(t, "low side-lobes"),
		}
		g, err := a.Gain(rapid.Float64Range(-720, 720).Draw(t, "azimuth"), rapid.Float64Range(-90, 90).Draw(t, "elevation"))
		if err != nil || !(g <= a.PeakDBi && g >= a.PeakDBi-60) {
			t.Fatalf("%+v: %v, %v", a, g, err)
		}
		peak, err := a.Gain(azimuthDeg, a.TiltDeg)
		if err != nil || peak != a.PeakDBi {
			t.Fatalf("%+v: %v, %v along its lobe", a, peak, err)
		}
	})
}

func TestAntennaBadValues(t *testing.T) {
	far := 361.0
	bad := Antenna{PeakDBi: 31, Beam: BeamSector, TiltDeg: 46, AzimuthDeg: &far, BeamwidthDeg: 4,
		VerticalBeamwidthDeg: -1, FrontToBackDB: 2}
	_, err := bad.Gain(math.NaN(), 91)
	for _, part := range []string{"gain_dbi: found 31", "tilt_deg: found 46", "azimuth_deg: found 361",
		"antenna: beamwidth_deg: found 4, allowed 5 to 180 deg, or 0 for 65",
		"vertical_beamwidth_deg: found -1", "front_to_back_db: found 2", "azimuth: found NaN", "elevation: found 91"} {
		if err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("%v lacks %q", err, part)
		}
	}
	err = Antenna{Beam: BeamSector, TiltDeg: math.NaN()}.Validate()
	if err == nil || !strings.Contains(err.Error(), "azimuth_deg: missing") || !strings.Contains(err.Error(), "tilt_deg") {
		t.Errorf("sector without azimuth: %v", err)
	}
	if err := (Antenna{}).Validate(); err != nil {
		t.Errorf("omni without azimuth: %v", err)
	}
	if err := (Antenna{Beam: 3}).Validate(); err == nil || !strings.Contains(err.Error(), "beam 3") {
		t.Errorf("beam 3: %v", err)
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if g, err := (Antenna{}).Gain(0, v); err == nil {
			t.Errorf("elevation %v: %v", v, g)
		}
		if g, err := (Antenna{}).Gain(v, 0); err == nil {
			t.Errorf("azimuth %v: %v", v, g)
		}
		if err := (Antenna{PeakDBi: radio.DB(v)}).Validate(); err == nil {
			t.Errorf("gain %v passed", v)
		}
	}
}
