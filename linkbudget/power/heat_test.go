package power

import (
	"math"
	"strings"
	"testing"
)

// small is the box of the rows below; the sun sees 0.035 m2 of it.
func small(absorptance float64) Box {
	return Box{HeightM: 0.20, WidthM: 0.15, DepthM: 0.10, Absorptance: absorptance, SunlitM2: 0.035}
}

// Computed by hand from the formula above RiseK.
func TestRiseOfSealedBox(t *testing.T) {
	for _, c := range []struct {
		name      string
		box       Box
		in        HeatInput
		want, tol float64
	}{
		{"black", small(0.90), HeatInput{IrradianceWm2: 1000}, 24.2, 0.05},
		{"grey", small(0.50), HeatInput{IrradianceWm2: 1000}, 13.5, 0.05},
		{"white", small(0.25), HeatInput{IrradianceWm2: 1000}, 6.7, 0.05},
		{"0.3 W inside", small(0.90), HeatInput{InsideW: 0.3}, 0.66, 0.005},
		{"both", small(0.90), HeatInput{IrradianceWm2: 1000, InsideW: 0.3}, 24.2 + 0.66, 0.06},
	} {
		near(t, c.name, c.box.RiseK(c.in), c.want, c.tol)
	}
	shaded := small(0.90)
	shaded.Shade = ShadeRoofSides
	near(t, "roof and sides", shaded.RiseK(HeatInput{IrradianceWm2: 1000}), 13.3, 0.05)
	shaded.ShadeGapM = 0.005
	near(t, "gap too narrow", shaded.RiseK(HeatInput{IrradianceWm2: 1000}), 24.2, 0.05)
	plate := Box{HeightM: 1e-9, WidthM: 1, DepthM: 0.5, Absorptance: 0.9, FilmWm2K: 17, SunlitM2: 1}
	near(t, "flat dark plate in wind, both sides count", plate.RiseK(HeatInput{IrradianceWm2: 1000}), 52.9, 0.05)
	plate.Absorptance = 0.25
	near(t, "flat white plate", plate.RiseK(HeatInput{IrradianceWm2: 1000}), 14.7, 0.05)
}

// 10 W carried off by 2, 5 and 10 m3/h alone; computed from rho cp V.
func TestAirCarriesHeat(t *testing.T) {
	for _, c := range []struct{ flow, want, tol float64 }{{2, 14.9, 0.05}, {5, 5.97, 0.005}, {10, 2.99, 0.005}} {
		near(t, "rise", 10/airWPerK(c.flow, 0), c.want, c.tol)
	}
	near(t, "per m3/h", airWPerK(1, 0), 0.335, 0.0005)
	near(t, "thin air at 8434 m", airWPerK(1, 8434), 0.335/math.E, 0.0005)
}

// The largest shadow of a cube is that along its diagonal, sqrt 3 of a face.
func TestLargestShadow(t *testing.T) {
	near(t, "cube", Box{HeightM: 1, WidthM: 1, DepthM: 1}.LargestShadowM2(), math.Sqrt(3), 1e-12)
	b := small(1)
	best := 0.0
	for az := 0.0; az <= 90; az++ { // the sum of faces times cosines, every direction
		for el := 0.0; el <= 90; el++ {
			sa, ca := math.Sincos(az * math.Pi / 180)
			se, ce := math.Sincos(el * math.Pi / 180)
			best = max(best, b.WidthM*b.DepthM*se+ce*(b.HeightM*b.WidthM*ca+b.HeightM*b.DepthM*sa))
		}
	}
	near(t, "small box", b.LargestShadowM2(), best, 1e-4)
}

// Stack effect, solved again by plain iteration: the rise must be its own cause.
func TestVentsBalanceTheirOwnDraught(t *testing.T) {
	b := small(0.9)
	b.VentM2, b.VentRiseM = 0.001, 0.15
	in := HeatInput{AirC: 30, IrradianceWm2: 1000, InsideW: 0.3}
	got := b.RiseK(in)
	speed := math.Sqrt(2 * 9.81 * 0.15 * got / (303.15 + got))
	carried := 1.2 * 1005 * 0.65 * 0.001 / math.Sqrt2 * speed
	near(t, "rise", got, 0.9*1000*0.035/(10*0.13+carried)+0.3/(3.5*0.13+carried), 1e-6)
	sealed := b
	sealed.VentM2 = 0
	if !(got < sealed.RiseK(in)) {
		t.Error("vents did not cool")
	}
}

// Published sheets: 0.55 W, 11.9 m3/h; from 655 W/m2 on a 1 W panel (computed).
func TestFanThreshold(t *testing.T) {
	f := Fan{FreeFlowM3h: 11.9, PowerW: 0.55, PanelW: 1}
	near(t, "on", f.OnWm2(), 655, 0.5)
	near(t, "just below", f.FlowM3h(654), 0, 0)
	near(t, "above", f.FlowM3h(656), 11.9*0.4, 1e-9)
	f.PanelW = 0
	near(t, "on the cell", f.OnWm2(), 400, 0)
}

func TestBoxAndFanFaults(t *testing.T) {
	b := Box{HeightM: 0, WidthM: 9, DepthM: math.Inf(1), Absorptance: 2, ShadeGapM: -1, VentM2: 3, VentRiseM: 8,
		SunlitM2: -1, Shade: 9, FilmWm2K: 1, WallWm2K: 0.1, ElectronicsMaxC: 5}
	if err := b.Validate(); err == nil || strings.Count(err.Error(), "found") != 12 {
		t.Errorf("want twelve faults, got %v", err)
	}
	if err := (Fan{PanelW: -1, InstalledShare: 2}).Validate(); err == nil || strings.Count(err.Error(), "found") != 4 {
		t.Errorf("want four faults, got %v", err)
	}
}
