package linkbudget

import "testing"

func TestWaterComputed(t *testing.T) {
	// Reference table 4.4, 868 MHz and 20 °C, computed there from ITU-R P.527-6
	// §5.1; our coefficients for the salt are from memory and these values
	// are what confirms them.
	groundNear(t, "fresh water", FreshWater(868e6, 20), Ground{79.88, 0.1841}, 0.005, 0.00005)
	groundNear(t, "sea water", SeaWater(868e6, 20, 35), Ground{71.556, 4.925}, 0.0005, 0.0005)
}

func TestWaterPublished(t *testing.T) {
	// Conductivity of standard sea water, 35 g/kg at 15 °C: 42.914 mS/cm, the
	// constant of the practical salinity scale 1978 (from memory).
	near(t, "standard sea water", ionicConductivity(15, 35), 4.2914, 0.003)
	// Static permittivity of water, from memory of the tables of Malmberg and
	// Maryott 1956: 80.1 at 20 °C, 78.3 at 25 °C. Far below the relaxation the
	// model must reach them within the 0.3 the fits differ by.
	near(t, "static, 20 °C", FreshWater(1e6, 20).Permittivity, 80.1, 0.3)
	near(t, "static, 25 °C", FreshWater(1e6, 25).Permittivity, 78.3, 0.3)
}

func TestWaterLimits(t *testing.T) {
	for tempC := 0.0; tempC <= 40; tempC += 5 {
		fresh, unsalted := FreshWater(868e6, tempC), SeaWater(868e6, tempC, 0)
		groundNear(t, "no salt", unsalted, fresh, 1e-12, 1e-12)
		sea := SeaWater(868e6, tempC, 35)
		if !(sea.Permittivity < fresh.Permittivity && sea.ConductivitySPerM > fresh.ConductivitySPerM) {
			t.Errorf("%g °C: salt must lower permittivity and raise conductivity: %+v, %+v", tempC, fresh, sea)
		}
	}
	// Pure water does not conduct a steady current.
	near(t, "fresh water, low frequency", FreshWater(1e3, 20).ConductivitySPerM, 0, 1e-9)
	// Far above both relaxations only the electrons follow.
	near(t, "optical limit", FreshWater(1e18, 26.85).Permittivity, 3.52, 0.01)
}
