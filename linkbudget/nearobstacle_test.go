package linkbudget

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestNearObstacle(t *testing.T) {
	// Section 10 of the reference, computed: 1 m above the line at 10 m, 868
	// MHz: nu 0.761, 12.3 dB.
	o := NearObstacle{HeightM: 1, DistM: 10, FreqHz: 868e6}
	nu := math.Sqrt(2 / (WavelengthM(868e6) * 10))
	near(t, "nu", nu, 0.761, 0.0005)
	got, err := o.Loss()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "1 m at 10 m", float64(got), 12.3, 0.05)
	// The same edge by its angle, atan(1/10).
	byAngle, err := NearObstacleAt(5.710593, 10, 868e6).Loss()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "5.71 degrees at 10 m", float64(byAngle), float64(got), 0.0001)
}

func TestNearObstacleShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := NearObstacle{
			HeightM: rapid.Float64Range(-99, 99).Draw(t, "heightM"),
			DistM:   rapid.Float64Range(0.5, 500).Draw(t, "distM"),
			FreqHz:  rapid.Float64Range(MinFreqHz, MaxFreqHz).Draw(t, "freqHz"),
		}
		loss, err := o.Loss()
		if err != nil || !(loss >= 0 && loss < 100) {
			t.Fatalf("%+v: %v, %v", o, loss, err)
		}
		// The limit of an edge on a long path: 100 km further end.
		far := KnifeEdge(Edge{o.HeightM, o.DistM, 1e8, WavelengthM(o.FreqHz)}.Nu())
		if !(math.Abs(float64(loss-far)) <= 0.001) {
			t.Fatalf("%+v: %v, edge %v", o, loss, far)
		}
		o.HeightM += 0.5
		if taller, _ := o.Loss(); !(taller >= loss) {
			t.Fatalf("%+v: %v, lower %v", o, taller, loss)
		}
	})
}

func TestNearObstacleBadValues(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		_, err := NearObstacle{v, v, v}.Loss()
		for _, part := range []string{"edge above the line", "distance", "frequency"} {
			if err == nil || !strings.Contains(err.Error(), part) {
				t.Errorf("%v lacks %q", err, part)
			}
		}
	}
	for _, o := range []NearObstacle{{1, 0, 868e6}, {1, 501, 868e6}, {101, 10, 868e6}, NearObstacleAt(90, 10, 868e6), NearObstacleAt(math.NaN(), 10, 868e6)} {
		if got, err := o.Loss(); err == nil {
			t.Errorf("%+v: %v", o, got)
		}
	}
}
