package coverage

import "testing"

func TestEndsOfAScaleSayThatValuesLieBeyond(t *testing.T) {
	for _, q := range []Quantity{Margin, Loss} {
		s := scaleOf(q)
		low, high := s.Label(min(s.Low, s.High)), s.Label(max(s.Low, s.High))
		if low[:len("≤")] != "≤" || high[:len("≥")] != "≥" {
			t.Errorf("%s: the ends are %q and %q, want them to say that values lie beyond", q, low, high)
		}
	}
}
