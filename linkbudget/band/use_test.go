package band

import (
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget/radio"
)

// TestPowerConversions: reference notes on LoRa, section 5, "Checks [comp]", printed to 0.01 dB.
func TestPowerConversions(t *testing.T) {
	for _, c := range []struct{ milliW, erp, eirp float64 }{
		{5, 6.99, 9.14}, {10, 10.00, 12.15}, {25, 13.98, 16.13}, {500, 26.99, 29.14}, {1000, 30.00, 32.15}, {4000, 36.02, 38.17},
	} {
		erp := milliW(c.milliW)
		if !(math.Abs(float64(erp)-c.erp) <= 0.005) {
			t.Errorf("%g mW = %.4f dBm, want %.2f", c.milliW, erp, c.erp)
		}
		// Backwards through a use: an EIRP of erp + 2.15 has that ERP. The
		// notes round the sum.
		u := Use{TxDBm: 20, FeedLossDB: 1.5, GainDBi: radio.DB(c.eirp) - 18.5}
		if !(math.Abs(float64(u.EIRP())-c.eirp) <= 1e-9 && math.Abs(float64(u.ERP())-c.erp) <= 0.0101) {
			t.Errorf("use of %.2f dBm EIRP: EIRP %.3f, ERP %.3f, want ERP %.2f", c.eirp, u.EIRP(), u.ERP(), c.erp)
		}
		r := Rule{Limit: erp, Reference: ERP}
		if got := r.maxEIRP(125e3); !(math.Abs(float64(got)-c.eirp) <= 0.005) {
			t.Errorf("%g mW ERP = %.4f dBm EIRP, want %.2f", c.milliW, got, c.eirp)
		}
	}
}
