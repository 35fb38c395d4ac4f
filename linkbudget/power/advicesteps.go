package power

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// kinds lists the changes worth trying: those for energy where energy is short, those for the box
// where it is too hot, in the order in which they cost least: lower load, better direction, larger
// panel, charger, cells.
func (a *adviser) kinds(r Result, opt AdviceOptions) ([]kind, error) {
	var all []kind
	add := func(k kind) {
		if len(k.steps) > 0 {
			all = append(all, k)
		}
	}
	hot, _ := r.Heat.finding()
	short := func(f Finding) bool { return f.Verdict != Lives && (!r.Heat.Known || f.Text != hot.Text) }
	if slices.ContainsFunc(r.Findings, short) {
		load, err := a.lowerLoad()
		if err != nil {
			return nil, err
		}
		add(load)
		plane, err := a.betterPlane(r, opt.EquatorAzimuthDeg)
		if err != nil {
			return nil, err
		}
		if len(plane.steps) == 0 { // tried, though nothing was better than now
			a.counsel.Tried = append(a.counsel.Tried, plane.name)
		}
		add(plane)
		add(a.largerPanel(cmp.Or(opt.MaxPanelW, DefaultMaxPanelW)))
		add(a.tracking())
		add(a.moreCells(cmp.Or(opt.MaxCells, DefaultMaxCells)))
		if r.frosty() {
			add(a.warmerCells())
			add(a.coldCells())
		}
	}
	if r.Heat.Known && r.Heat.Verdict != Lives {
		add(a.shade())
		add(a.paint())
		add(a.vents())
		add(a.fan())
	}
	return all, nil
}

// lowerLoad proposes an average current to get down to.
func (a *adviser) lowerLoad() (kind, error) {
	k := kind{name: "lower load"}
	now, err := a.s.Load.AverageA(a.s.Bank.VoltageV())
	if err != nil || now == 0 {
		return k, err
	}
	for _, share := range []float64{0.75, 0.5, 0.35, 0.25} {
		mA := roundTo(1000*now*share, 2)
		k.steps = append(k.steps, step{
			Change{fmt.Sprintf("a load of %g mA on average instead of %.3g (sleep between packets, less relaying, screen and "+
				"positioning off)", mA, 1000*now), []Setting{{"load_ma", mA}}},
			func(s *System) { s.Load = Load{MeasuredA: mA / 1000} },
		})
	}
	return k, nil
}

// roundTo keeps so many digits after the first, rounding down: the advice must
// be at least as good as what was tried.
func roundTo(v float64, digits int) float64 {
	if v == 0 {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-float64(digits))
	rounded := math.Floor(v/unit) * unit
	return math.Round(rounded*1e9) / 1e9
}

// betterPlane turns all panels to the plane with the best poorest month: a
// coarse grid first, then the neighbours of its best.
func (a *adviser) betterPlane(r Result, equatorDeg float64) (kind, error) {
	k := kind{name: "steeper or turned panel"}
	best := r
	var plane Plane
	found := false
	try := func(p Plane) error {
		if p.AzimuthDeg = math.Mod(p.AzimuthDeg+360, 360); !(p.TiltDeg >= 0 && p.TiltDeg <= 90) {
			return nil
		}
		s := a.s.clone()
		facing(p)(&s)
		result, _, err := s.surveyed(a.e)
		if err == nil && better(result, best) {
			best, plane, found = result, p, true
		}
		return err
	}
	for _, turn := range []float64{0, -45, 45, -90, 90} {
		for _, tilt := range []float64{60, 30, 90} {
			if err := try(Plane{TiltDeg: tilt, AzimuthDeg: equatorDeg + turn}); err != nil {
				return k, err
			}
		}
	}
	coarse := plane
	for _, by := range []Plane{{15, 0}, {-15, 0}, {0, 20}, {0, -20}} {
		if !found {
			break
		}
		if err := try(Plane{TiltDeg: coarse.TiltDeg + by.TiltDeg, AzimuthDeg: coarse.AzimuthDeg +
			by.AzimuthDeg}); err != nil {
			return k, err
		}
	}
	if !found {
		return k, nil
	}
	what := "the panel"
	if len(a.s.Panels) > 1 {
		what = "all panels"
	}
	text := fmt.Sprintf("%s at a tilt of %g deg facing %g deg true", what, plane.TiltDeg, plane.AzimuthDeg)
	var set []Setting
	for i := range a.s.Panels {
		prefix := panelPrefix(i)
		set = append(set, Setting{prefix + "tilt_deg", plane.TiltDeg}, Setting{prefix + "azimuth_deg", plane.AzimuthDeg})
	}
	k.steps = []step{{Change{text, set}, facing(plane)}}
	return k, nil
}

func facing(p Plane) func(*System) {
	return func(s *System) {
		for i := range s.Panels {
			s.Panels[i].Plane = p
		}
	}
}

// largerPanel enlarges all panels alike.
func (a *adviser) largerPanel(maxW float64) kind {
	k := kind{name: "larger panel"}
	total := 0.0
	for _, p := range a.s.Panels {
		total += p.PeakW
	}
	for _, factor := range []float64{1.5, 2, 3, 4} {
		if total*factor > maxW {
			break
		}
		text := fmt.Sprintf("a panel of %.3g W instead of %.3g", total*factor, total)
		if len(a.s.Panels) > 1 {
			text = fmt.Sprintf("panels of %.3g W together instead of %.3g", total*factor, total)
		}
		var set []Setting
		for i, p := range a.s.Panels {
			set = append(set, Setting{panelPrefix(i) + "w", p.PeakW * factor})
		}
		k.steps = append(k.steps, step{Change{text, set}, func(s *System) {
			for i := range s.Panels {
				s.Panels[i].PeakW *= factor
			}
		}})
	}
	return k
}

func (a *adviser) tracking() kind {
	if a.s.Charger.Kind != Linear {
		return kind{}
	}
	return single("tracking charger", "a tracking charger instead of a linear one",
		func(s *System) { s.Charger.Kind = Tracking }, Setting{"charger", Tracking.String()})
}

// single is a kind of one step.
func single(name, text string, apply func(*System), set ...Setting) kind {
	return kind{name, []step{{Change{text, set}, apply}}}
}

func (a *adviser) moreCells(most int) kind {
	k := kind{name: "more cells"}
	for n := a.s.Bank.Cells + 1; n <= most; n++ {
		text := fmt.Sprintf("%d cells instead of %d", n, a.s.Bank.Cells)
		if n == 2 {
			text = "a second cell"
		}
		k.steps = append(k.steps, step{Change{text, []Setting{{"cells", n}}}, func(s *System) { s.Bank.Cells = n }})
	}
	return k
}

// warmCellsK is how much warmer advice keeps the cells.
const warmCellsK = 5.0

// warmerCells keeps the cells above the cold of the air.
func (a *adviser) warmerCells() kind {
	warmer := a.s.Bank.WarmerK + warmCellsK
	if warmer > MaxWarmerK {
		return kind{}
	}
	text := fmt.Sprintf("the cells kept %g K warmer than the air in frost (buried, insulated, or in a house)", warmer)
	return single("warmer cells", text, func(s *System) { s.Bank.WarmerK = warmer }, Setting{"cell_warmer_k", warmer})
}

// coldCells are of titanate, two in series where one now stands, with the same
// energy, behind a tracking charger: a linear one would need another panel.
func (a *adviser) coldCells() kind {
	b := a.s.Bank
	if b.Chemistry == LTO {
		return kind{}
	}
	volt := 2 * LTO.NominalV()
	mah := roundTo(1000*b.CapacityAh*b.VoltageV()/volt, 3)
	text := fmt.Sprintf("lithium titanate cells of %g mAh, two in series (%.1f V), which take charge in frost, behind "+
		"a tracking charger for them", mah, volt)
	return single("lithium titanate cells", text, func(s *System) {
		s.Bank.Chemistry, s.Bank.NominalV, s.Bank.CapacityAh, s.Charger.Kind = LTO, volt, mah/1000, Tracking
		s.Bank.Curve = nil
	}, Setting{"cell_chemistry", LTO.String()}, Setting{"cell_v", volt}, Setting{"cell_mah", mah},
		Setting{"cell_wh", nil}, Setting{"charger", Tracking.String()})
}

func (a *adviser) shade() kind {
	k := kind{name: "shade plate"}
	for _, shade := range []Shade{ShadeRoof, ShadeRoofSides} {
		if shade <= a.s.Box.Shade && a.s.Box.Shade.Factor(cmp.Or(a.s.Box.ShadeGapM, DefaultShadeGapM)) > 0 {
			continue
		}
		text := "a shade plate over the box"
		if shade == ShadeRoofSides {
			text = "a shade plate over the top and the sides of the box"
		}
		k.steps = append(k.steps, step{
			Change{fmt.Sprintf("%s with an open gap of %.0f mm", text, DefaultShadeGapM*1000),
				[]Setting{{"box_shade", shade.String()}, {"box_shade_gap_m", DefaultShadeGapM}}},
			func(s *System) { s.Box.Shade, s.Box.ShadeGapM = shade, DefaultShadeGapM },
		})
	}
	return k
}

// dirtyWhite is white paint after some years outdoors.
const dirtyWhite = 0.35

func (a *adviser) paint() kind {
	if !(a.s.Box.Absorptance > dirtyWhite) {
		return kind{}
	}
	return single("white box", "a white box", func(s *System) { s.Box.Absorptance = dirtyWhite },
		Setting{"box_absorptance", dirtyWhite})
}

func (a *adviser) vents() kind {
	const areaM2 = 0.001
	rise := a.s.Box.HeightM * 0.8
	if !(a.s.Box.VentM2 < areaM2) {
		return kind{}
	}
	text := fmt.Sprintf("vents of %.0f cm2 below and above, with insect mesh on top of that", areaM2*1e4)
	return single("vents", text, func(s *System) { s.Box.VentM2, s.Box.VentRiseM = areaM2, rise },
		Setting{"box_vent_cm2", areaM2 * 1e4}, Setting{"box_vent_rise_m", rise})
}

// fan proposes a 40 mm fan of 0.55 W and 11.9 m3/h (CUI CFM-4010V-058) on a
// panel of its own.
func (a *adviser) fan() kind {
	if a.s.Fan != nil {
		return kind{}
	}
	fan := Fan{FreeFlowM3h: 11.9, PowerW: 0.55, PanelW: 1}
	return single("fan on its own panel", "a 40 mm fan on a 1 W panel of its own", func(s *System) { s.Fan = &fan },
		Setting{"fan_m3h", fan.FreeFlowM3h}, Setting{"fan_w", fan.PowerW}, Setting{"fan_panel_w", fan.PanelW})
}
