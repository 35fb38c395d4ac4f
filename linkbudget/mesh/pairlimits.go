package mesh

import (
	"errors"
	"fmt"
	"math"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain/fault"
)

// What no path has more of, whatever the plan: half a great ellipse of the earth rounded
// up, levels far beyond any budget, ground beyond every summit and trench.
const (
	mostPathM   = 20.1e6
	mostLevelDB = 10000
	mostGroundM = 20000 // above and below the sea
)

// pairLimits are what the figures of a pair may be. A forged part could say anything.
var pairLimits = func() (list []fault.Number[Pair]) {
	add := func(key string, low, high float64, unit string, at func(*Pair) *float64) {
		list = append(list, fault.Number[Pair]{Key: key, Limits: fault.Limits{Min: low, Max: high, Unit: unit}, At: at})
	}
	db := func(key string, low float64, at func(*Pair) *linkbudget.DB) {
		add(key, low, mostLevelDB, "dB", func(p *Pair) *float64 { return (*float64)(at(p)) })
	}
	add("probability", 0, 1, "", func(p *Pair) *float64 { return &p.Probability })
	add("pessimistic_probability", 0, 1, "", func(p *Pair) *float64 { return &p.PessimisticProbability })
	add("time_percent_held", 0, 100, "%", func(p *Pair) *float64 { return &p.TimePercentHeld })
	add("delivery", 0, 1, "", func(p *Pair) *float64 { return &p.Delivery })
	add("distance_m", 0, mostPathM, "m", func(p *Pair) *float64 { return &p.DistM })
	add("azimuth_deg", 0, 360, "deg", func(p *Pair) *float64 { return &p.AzimuthDeg })
	add("back_azimuth_deg", 0, 360, "deg", func(p *Pair) *float64 { return &p.BackAzimuthDeg })
	add("elevation_deg", -90, 90, "deg", func(p *Pair) *float64 { return &p.ElevationDeg })
	add("back_elevation_deg", -90, 90, "deg", func(p *Pair) *float64 { return &p.BackElevationDeg })
	db("sigma_db", 0, func(p *Pair) *linkbudget.DB { return &p.SigmaDB })
	db("cover_db", 0, func(p *Pair) *linkbudget.DB { return &p.CoverDB })
	db("doubt.model_db", 0, func(p *Pair) *linkbudget.DB { return &p.Doubt.ModelDB })
	db("doubt.ripple_db", 0, func(p *Pair) *linkbudget.DB { return &p.Doubt.RippleDB })
	db("doubt.terrain_db", 0, func(p *Pair) *linkbudget.DB { return &p.Doubt.TerrainDB })
	db("doubt.hardware_db", 0, func(p *Pair) *linkbudget.DB { return &p.Doubt.HardwareDB })
	db("doubt.other_db", 0, func(p *Pair) *linkbudget.DB { return &p.Doubt.OtherDB })
	db("margin_db", -mostLevelDB, func(p *Pair) *linkbudget.DB { return &p.MarginDB })
	db("pessimistic_margin_db", -mostLevelDB, func(p *Pair) *linkbudget.DB { return &p.PessimisticMarginDB })
	db("loss_db", -mostLevelDB, func(p *Pair) *linkbudget.DB { return &p.LossDB })
	db("free_space_db", -mostLevelDB, func(p *Pair) *linkbudget.DB { return &p.FreeSpaceDB })
	db("diffraction_db", -mostLevelDB, func(p *Pair) *linkbudget.DB { return &p.DiffractionDB })
	db("troposcatter_db", -mostLevelDB, func(p *Pair) *linkbudget.DB { return &p.TroposcatterDB })
	db("clutter_db", -mostLevelDB, func(p *Pair) *linkbudget.DB { return &p.ClutterDB })
	for _, way := range []struct {
		key string
		of  func(*Pair) *linkbudget.Level
	}{
		{"forward.", func(p *Pair) *linkbudget.Level { return &p.Forward }},
		{"backward.", func(p *Pair) *linkbudget.Level { return &p.Backward }},
	} {
		db(way.key+"margin_db", -mostLevelDB, func(p *Pair) *linkbudget.DB { return &way.of(p).MarginDB })
		db(way.key+"snr_db", -mostLevelDB, func(p *Pair) *linkbudget.DB { return &way.of(p).SNRDB })
		db(way.key+"eirp_dbm", -mostLevelDB, func(p *Pair) *linkbudget.DB { return (*linkbudget.DB)(&way.of(p).EIRPDBm) })
		db(way.key+"rx_dbm", -mostLevelDB, func(p *Pair) *linkbudget.DB { return (*linkbudget.DB)(&way.of(p).RxDBm) })
		db(way.key+"sensitivity_dbm", -mostLevelDB,
			func(p *Pair) *linkbudget.DB { return (*linkbudget.DB)(&way.of(p).SensitivityDBm) })
	}
	return list
}()

// limits tells the figures of a pair that no path has.
func (p *Pair) limits() error {
	errs := fault.Numbers(pairLimits, p)
	within := func(key string, v, low, high float64, unit string) {
		errs = append(errs, fault.Range(key, v, low, high, unit))
	}
	within("filled_points", float64(p.FilledPoints), 0, math.MaxInt32, "")
	if p.PairNotes != nil && p.Rise != nil {
		within("rise.tenth_db", float64(p.Rise.TenthDB), -mostLevelDB, mostLevelDB, "dB")
		within("rise.hundredth_db", float64(p.Rise.HundredthDB), -mostLevelDB, mostLevelDB, "dB")
	}
	if w := p.Worst; w != nil {
		within("worst.clearance_at_m", w.AtM, 0, mostPathM, "m")
		within("worst.lon_deg", w.LonDeg, -180, 180, "deg")
		within("worst.lat_deg", w.LatDeg, -90, 90, "deg")
	}
	if g := p.Gap(); g != nil {
		within("gap.from_m", g.FromM, 0, mostPathM, "m")
		within("gap.to_m", g.ToM, g.FromM, mostPathM, "m")
		within("gap.lon_deg", g.LonDeg, -180, 180, "deg")
		within("gap.lat_deg", g.LatDeg, -90, 90, "deg")
		within("gap.count", float64(g.Count), 1, math.MaxInt32, "")
	}
	return errors.Join(errs...)
}

// limits tells the first pair or pole of a part with figures that there are not.
func (p *Part) limits() error {
	for i := range p.Pairs {
		if err := p.Pairs[i].limits(); err != nil {
			return fmt.Errorf("pair %d: %w", i, err)
		}
	}
	for i, g := range p.Ground {
		if err := fault.Range("ground_m", g.M, -mostGroundM, mostGroundM, "m"); err != nil {
			return fmt.Errorf("ground %d: %w", i, err)
		}
	}
	return nil
}
