package main

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/sun"
)

// powerFile is what is read of the JSON of NASA POWER's climatology at a point: a
// GeoJSON feature with a value for each month of each parameter.
type powerFile struct {
	Geometry struct {
		Coordinates []float64 `json:"coordinates"` // with the height of the ground
	} `json:"geometry"`
	Properties *struct {
		Parameter map[string]map[string]*float64 `json:"parameter"`
	} `json:"properties"`
	Header struct {
		Title string   `json:"title"`
		Fill  *float64 `json:"fill_value"`
	} `json:"header"`
	Parameters map[string]struct {
		Units string `json:"units"`
	} `json:"parameters"`
}

var powerMonths = [12]string{"JAN", "FEB", "MAR", "APR", "MAY", "JUN", "JUL", "AUG", "SEP", "OCT", "NOV", "DEC"}

// climate takes the radiation on level ground, ALLSKY_SFC_SW_DWN, and the air, T2M.
func (f powerFile) climate(latDeg float64, name string) (sun.Climate, error) {
	out := sun.Climate{Source: f.Header.Title}
	if out.Source == "" {
		out.Source = "climatology of " + filepath.Base(name)
	}
	c := f.Geometry.Coordinates
	if len(c) >= 2 {
		out.At = &orb.Point{c[0], c[1]}
	}
	if len(c) >= 3 {
		out.AirAtM = &c[2]
	}
	var errs []error
	months := func(key string, required bool, set func(m *sun.ClimateMonth, v float64)) {
		values, ok := f.Properties.Parameter[key]
		if !ok {
			if required {
				errs = append(errs, fmt.Errorf("%s: properties.parameter has no %s", name, key))
			}
			return
		}
		for i, month := range powerMonths {
			v, ok := values[month]
			switch {
			case !ok || v == nil:
				errs = append(errs, fmt.Errorf("%s: %s: no %s", name, key, month))
			case f.Header.Fill != nil && *v == *f.Header.Fill || math.Abs(*v) >= 999:
				errs = append(errs, fmt.Errorf("%s: %s: %v is missing (%g)", name, key, time.Month(i+1), *v))
			default:
				set(&out.Months[i], *v)
			}
		}
	}
	perDay := 1000.0 // of kWh/m²
	switch unit := f.Parameters["ALLSKY_SFC_SW_DWN"].Units; unit {
	case "kW-hr/m^2/day", "kWh/m^2/day", "":
	case "MJ/m^2/day":
		perDay /= 3.6
	default:
		errs = append(errs, fmt.Errorf("%s: ALLSKY_SFC_SW_DWN in %q, must be kW-hr/m^2/day or MJ/m^2/day", name, unit))
	}
	months("ALLSKY_SFC_SW_DWN", true, func(m *sun.ClimateMonth, v float64) { m.GlobalWhM2 = v * perDay })
	months("T2M", false, func(m *sun.ClimateMonth, v float64) { m.AirK = v + 273.15 })
	if len(errs) == 0 {
		errs = append(errs, wrap(name, out.Check(latDeg)))
	}
	return out, errors.Join(errs...)
}
