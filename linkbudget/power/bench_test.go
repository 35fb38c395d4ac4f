package power

import "testing"

func BenchmarkSurveyYear(b *testing.B) {
	s, e := worked(2, Tracking), flat(365, 3, 8)
	box := small(0.5)
	box.VentM2, box.VentRiseM = 0.001, 0.1
	s.Box = &box
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Survey(s, e); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAdviseNothingHelps(b *testing.B) {
	s, e := worked(1, Linear), flat(365, 0.01, 8)
	r, err := Survey(s, e)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Advise(s, e, r, AdviceOptions{EquatorAzimuthDeg: 180}); err != nil {
			b.Fatal(err)
		}
	}
}
