package linkbudget

import "testing"

// 14 dBm ERP is 16.15 dBm EIRP and 25 mW: ETSI limits at 868 MHz, published.
func TestRadiatedPower(t *testing.T) {
	near(t, "EIRP of 14 dBm ERP", float64(EIRPFromERP(14)), 16.15, 1e-12)
	near(t, "ERP of 16.15 dBm EIRP", float64(ERPFromEIRP(16.15)), 14, 1e-12)
	near(t, "25 mW", DBm(14).MilliW(), 25, 0.15)
	near(t, "0 dBd", float64(DBiFromDBd(0)), 2.15, 1e-12)
	near(t, "5.15 dBi", float64(DBdFromDBi(5.15)), 3, 1e-12)
}
