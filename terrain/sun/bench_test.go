package sun

import (
	"testing"
	"time"

	"github.com/paulmach/orb"
)

func BenchmarkAt(b *testing.B) {
	when := time.Date(2025, 12, 10, 12, 0, 0, 0, time.UTC)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := At(when, orb.Point{8, 46.5}, Air{}); err != nil {
			b.Fatal(err)
		}
	}
}

var benchSite = Site{At: orb.Point{8, 46.5}, Skyline: skylineOf(360, wall(12, 180))}

func BenchmarkMonthly(b *testing.B) {
	for b.Loop() {
		if _, err := Monthly(benchSite, workedPanel, DefaultClimate(46.5, 400)); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDaily(b *testing.B) {
	for b.Loop() {
		if _, err := Daily(benchSite, workedPanel, DefaultClimate(46.5, 400)); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReplay(b *testing.B) {
	w, err := readAll(inland.epw(nil))
	if err != nil {
		b.Fatal(err)
	}
	b.ResetTimer()
	for b.Loop() {
		if _, err := Replay(Site{At: inland.at, Skyline: benchSite.Skyline}, workedPanel, w); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadEPW(b *testing.B) {
	text := inland.epw(nil)
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if _, err := readAll(text); err != nil {
			b.Fatal(err)
		}
	}
}
