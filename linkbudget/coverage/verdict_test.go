package coverage

import (
	"math"
	"math/rand/v2"
	"testing"
)

// A shift of the ground that is little against what stands up changes the loss in
// proportion: by what both shifted edges lose, computed in full, within a part of it.
func TestLittleShiftsAgainstShiftedEdges(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	s := scene{perWave: vectorOf(2 / 0.345)}
	loss := func(nu, d float64) float64 { // P.526-15 eq 31, P.1812-6 eq 21
		if nu <= -0.78 {
			return 0
		}
		j := 6.9 + 20*math.Log10(math.Hypot(nu-0.1, 1)+nu-0.1)
		return j + (1-math.Exp(-j/6))*(10+0.02*d/1000)
	}
	most, little := 0.0, 0
	for range 200000 {
		var l lanes
		random := func(from, to float64) float64 { return from * math.Pow(to/from, rng.Float64()) }
		d := random(300, 300e3)
		xA := d * (0.01 + 0.9*rng.Float64())
		restB := (d - xA) * (0.01 + 0.98*rng.Float64())
		qA, qB, shift := random(0.5, 600), random(0.5, 600), random(0.1, 10)
		a, b := qA/xA, qB/restB
		nu := math.Sqrt(2 / 0.345 * d * a * b)
		l.d[0], l.xA[0], l.restB[0], l.a[0], l.b[0], l.nu[0] = float32(d), float32(xA), float32(restB), float32(a), float32(b), float32(nu)
		if part := shift * (qA + qB) / (qA * qB); part >= littleShift {
			continue
		}
		edge, lengthDB := edgeLoss(l.nu[0], lengthDB(l.d[0])), lengthDB(l.d[0])
		got := math.Sqrt(float64(s.groundVariance(&l, 0, float32(shift), edge, lengthDB)))
		ratio := math.Sqrt((qA + shift) * (qB + shift) / (qA * qB))
		up := loss(nu*ratio, d) - loss(nu, d)
		down := loss(nu, d) - loss(min(nu/ratio, nu-shift*(a+b)*2/0.345/nu), d)
		want := math.Sqrt((up*up + down*down) / 2)
		if want < 0.05 { // dB, in a sum of squares with the rest of the doubt
			continue
		}
		little++
		off := got/want - 1
		if !(math.Abs(off) < 0.15) {
			t.Fatalf("%g m of qA %g m and qB %g m, ν %g: %g dB, want %g dB", shift, qA, qB, nu, got, want)
		}
		if math.Abs(off) > math.Abs(most) {
			most = off
		}
	}
	t.Logf("%d shifts, at most %+.1f %% off", little, 100*most)
	if little < 10000 {
		t.Errorf("only %d shifts", little)
	}
}
