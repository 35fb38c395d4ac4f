package timepercent

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/polereach/polereach/linkbudget/radio"
)

// The table is the law, over all that a sweep may meet: farthest off where a hair of diffraction
// decides the last hours of a year. The worst is printed.
func TestFadeTableIsTheLaw(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	for _, percent := range []float64{60, 90, 99, 99.9} {
		table := NewFadeTable(percent)
		for _, lat := range []float64{-5, 36, 67} {
			var off []float64
			worst, at := 0.0, FadesOf{}
			for range 20000 {
				f := FadesOf{DistM: 50 * math.Pow(6e3, r.Float64()), FreqHz: 868e6, AHeightM: 2000 * r.Float64(), LatDeg: lat,
					DiffractionDB: radio.DB(80 * r.Float64() * r.Float64())}
				f.BHeightM = f.AHeightM + min(1500, f.DistM)*(r.Float64()-0.5)
				law := f.Fades()
				diff := math.Abs(float64(table.NotExceeded(f) - law.NotExceeded(percent)))
				if off = append(off, diff); diff > worst {
					worst, at = diff, f
				}
			}
			slices.Sort(off)
			t.Logf("%g %%, %g degrees: 95 %% within %.3f dB, worst %.3f dB (%+v)", percent, lat, off[len(off)*95/100], worst, at)
			if !(off[len(off)*95/100] < 0.1 && worst < 1.5) {
				t.Error("too far off")
			}
		}
	}
}
