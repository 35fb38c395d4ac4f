package linkbudget_test

import (
	"errors"
	"math"
	"reflect"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/fading"
	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// fuzzedStation has any number of a station in or out of its range.
func fuzzedStation(name string, b check.Bytes) linkbudget.Station {
	s := linkbudget.DefaultStation(name, 5)
	switch b.Next() % 8 {
	case 1:
		s.Nearby = &lora.NearbyTransmitter{PowerDBm: 30, OffsetHz: 5e6, IsolationDB: 40}
	case 2:
		s.Antenna.Beam, s.Antenna.AzimuthDeg = antenna.BeamSector, new(float64)
	case 3:
		s.Feeder.Coax = antenna.CoaxClasses()[0]
	case 4:
		s.Antenna.Beam = antenna.Beam(b.Next() % 5)
	}
	s.Surroundings.Inside = clutter.Class(b.Next() % 8)
	s.Polarisation = radio.Polarisation(b.Next() % 3)
	s.SideMounted, s.Antenna.LowSideLobes = b.Next()%2 == 1, b.Next()%2 == 1
	check.Numbers(&b, linkbudget.StationNumbers(), &s)
	return s
}

func fuzzedEnvironment(b check.Bytes) linkbudget.Environment {
	e := environment()
	set := func(v *float64, low, high float64) {
		if b.Next()%2 == 1 {
			*v = b.Number(fault.Limits{Min: low, Max: high})
		}
	}
	set(&e.FreqHz, 100e6, 3e9)
	set(&e.K, 0.5, 10)
	set(&e.PessimisticK, 0.5, 10)
	set(&e.SurfaceRefractivity, 250, 450)
	set(&e.WantPercent, 50, 99.9)
	set(&e.Terrain.SigmaM, 0, 50)
	set(&e.Terrain.CorrelationM, 10, 100e3)
	set(&e.TownPercent, 1, 99)
	e.BareEarth, e.Cover = b.Next()%2 == 1, clutter.Class(b.Next()%8)
	e.Modem = linkbudget.Modem{SF: 5 + int(b.Next()%9), BWHz: []float64{125e3, 7812.5, 62.5e3, 500e3, 1e6}[b.Next()%5],
		CR: 1 + int(b.Next()%5)}
	e.Fading.Kind = fading.Kind(b.Next() % 4)
	set((*float64)(&e.Fading.KDB), -60, 60)
	e.Packet = linkbudget.Packet{PayloadB: int(b.Next()), PreambleSymbols: int(b.Next())}
	e.Family = lora.Family(b.Next() % 3)
	return e
}

// fuzzedProfile has a point for every four bytes: a step of an eighth of a metre up to 8 km, so
// that distances turned round are the same numbers, a height, and what is known of it.
func fuzzedProfile(b check.Bytes) terrain.Profile {
	var p terrain.Profile
	d := 0.0
	for n := 0; len(b) > 3 && n < 64; n++ {
		p.DistM, p.HeightM = append(p.DistM, d), append(p.HeightM, float64(int16(b[1])<<8|int16(b[2]))/4)
		flag := terrain.Ground
		if b[3] >= 250 {
			flag = terrain.Flag(b[3] - 250)
		}
		p.Flags = append(p.Flags, flag)
		step := float64(b[0])
		d += step * step / 8
		b = b[4:]
	}
	return p
}

// FuzzEvaluate: any stations, environment and profile give an error of the input, or finite
// figures, and the same loss there and back.
func FuzzEvaluate(f *testing.F) {
	ridge := []byte("\x40\x01\x00\x00\x80\x02\x00\x00\x90\x0a\x00\x00\x80\x01\x80\x00\xff\x01\x00\x00\x10\x00\x00\x00")
	f.Add(ridge, []byte{}, []byte{}, []byte{})
	f.Add(ridge, []byte{1, 4, 1, 1, 1, 1, 60, 1, 200}, []byte{2, 1, 0, 0, 0, 1, 3},
		[]byte{1, 10, 1, 250, 0, 0, 0, 1, 40, 0, 1, 50})
	f.Add(ridge[:8], []byte{3, 0, 0, 0, 0, 1, 250}, []byte{4, 1, 0}, []byte{0, 0, 0, 0, 0, 0, 0, 0, 1, 3, 7, 1, 2, 1})
	f.Add([]byte("0000\xff\x7f\xff\x00\x01\x80\x00\xfb0000"), []byte{0, 9, 9, 9, 9, 1, 254}, []byte{}, []byte{})
	f.Fuzz(func(t *testing.T, ground, stationA, stationB, env []byte) {
		p, e := fuzzedProfile(ground), fuzzedEnvironment(env)
		a, b := fuzzedStation("a", stationA), fuzzedStation("b", stationB)
		there, err := linkbudget.Evaluate(p, a, b, e)
		back, errBack := linkbudget.Evaluate(turned(p), b, a, e)
		if (err == nil) != (errBack == nil) {
			t.Fatalf("there: %v, back: %v", err, errBack)
		}
		if err != nil {
			if !errors.Is(err, fault.ErrInput) {
				t.Fatalf("an error of the input is none: %v", err)
			}
			return
		}
		for _, r := range []*linkbudget.Result{&there, &back} {
			if bad := check.NotFinite(reflect.ValueOf(r), r.From, nil); bad != "" {
				t.Fatal(bad)
			}
		}
		if there.Verdict == linkbudget.Unknown || back.Verdict == linkbudget.Unknown {
			if there.Verdict != back.Verdict {
				t.Fatalf("%v there, %v back", there.Verdict, back.Verdict)
			}
			return
		}
		if math.Abs(float64(there.LossDB-back.LossDB)) > 1e-6 {
			t.Fatalf("loss %v there, %v back", there.LossDB, back.LossDB)
		}
		if math.Abs(float64(there.Forward.MarginDB-back.Backward.MarginDB)) > 1e-6 {
			t.Fatalf("margin %v there, %v back", there.Forward.MarginDB, back.Backward.MarginDB)
		}
		if !(there.Probability >= 0 && there.Probability <= 1) || !(there.SigmaDB > 0) {
			t.Fatalf("chance %v, sigma %v", there.Probability, there.SigmaDB)
		}
	})
}

// turned is a profile seen from its other end, what is known of it too.
func turned(p terrain.Profile) terrain.Profile {
	out := reversed(p)
	for i := len(p.Flags) - 1; i >= 0; i-- {
		out.Flags = append(out.Flags, p.Flags[i])
	}
	return out
}
