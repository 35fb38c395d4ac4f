package power

import "fmt"

// warnings are things that are allowed but look wrong, or beyond the data.
func (s System) warnings(e Exposure) []string {
	var list []string
	say := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	if s.Bank.Chemistry == NMC && s.Bank.CapacityAh > falseLabelAh && s.Bank.CapacityAh <= 12 {
		say("a cell of %.1f Ah: no 18650 holds more than about 3.6 Ah, labels above %.0f are mostly false; a 21700 "+
			"holds 4 to 5", s.Bank.CapacityAh, falseLabelAh)
	}
	coldest := e.Air[0].MinC()
	for i := range e.Air {
		coldest = min(coldest, e.Air[i].MinC())
	}
	curve := s.Bank.curve()
	if known := curve[len(curve)-1].TempC; coldest < known {
		say("down to %.0f C: there is no data on the cells below %.0f C, their capacity there is a guess", coldest, known)
	}
	series := s.Bank.VoltageV() / s.Bank.Chemistry.NominalV()
	for i, p := range s.Panels {
		stallC, stalls := s.Charger.StallsAt(p, s.Bank.Chemistry.FullV()*max(1, series))
		switch {
		case stalls && stallC < 25:
			say("panel %d of %.1f V cannot fill the cell through a linear charger even when cool", i+1, p.VmpV)
		case stalls:
			say("panel %d of %.1f V stalls near full charge once it is %.0f C hot, a sunny summer noon; a 6 V panel is "+
				"safer", i+1, p.VmpV, stallC)
		}
		if s.Charger.Kind == Linear && s.Charger.EfficiencyAt(p, s.Bank.VoltageV()) < 0.45 {
			say("panel %d of %.1f V gives %.0f %% of its power through a linear charger; a tracking charger would take "+
				"most of it", i+1, p.VmpV, 100*s.Charger.EfficiencyAt(p, s.Bank.VoltageV()))
		}
	}
	if s.Load.MeasuredA == 0 && s.Load.Duty == (Load{}).Duty && s.Load.StandingA == 0 {
		say("the load is 0: state what the node draws")
	}
	if s.Box == nil {
		say("no box stated: the heat is not judged")
	}
	if s.Fan != nil && s.Fan.OnWm2() > 900 {
		say("the fan's own panel starts it from %.0f W/m2 only, which few hours reach", s.Fan.OnWm2())
	}
	return list
}

// Cautions are said whatever the verdict, with the rule to check locally. Each says what it is
// about before its colon.
func Cautions() []string {
	return []string{
		"Lithium cells: protected cells or a protection board, a fuse at the cell, the charger for their chemistry (4.20 " +
			"V lithium-ion, 3.65 V iron phosphate, 2.80 V titanate); no damaged, swollen or mixed used cells; vent the box, " +
			"mount it on nothing that burns; join cells in parallel at equal voltage only. IEC 62133-2; UN 38.3 for " +
			"transport. Check your local rules.",
		"Frost: charging a lithium cell below 0 C ruins it and can set it on fire (titanate takes it, by its sheet). The " +
			"sums above charge at 0 to 45 C only (titanate at -30 to 55); the charger must do so too, by a thermistor on the " +
			"cell.",
		"Snow, rime, leaves, trees and theft: not known here, nor fog, damage and houses that the terrain model does not " +
			"hold; snow on the panel unless the climate states it. A tilt of 60 degrees and more sheds dry snow sooner; wet " +
			"or frozen, it stays.",
		"A hard winter: the sun of a month is known to 30 %, of a single winter worse.",
	}
}
