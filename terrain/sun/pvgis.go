package sun

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"time"
)

// The typical year of PVGIS, the photovoltaic service of the European Commission's
// Joint Research Centre, in its two own forms. Rows are stamped in universal time
// at the beginning of an hour; the head states how many hours later the irradiance
// was seen.

// pvgisCredit is asked for by its makers.
const pvgisCredit = "PVGIS (c) European Union"

// pvgisYear is a parser of such a year; without a stated offset the irradiance is
// taken to be that of the middle of the hour.
func pvgisYear() *parser {
	p := &parser{w: &Weather{Typical: true, Source: pvgisCredit}}
	p.irradianceAfter(0.5)
	return p
}

// irradianceAfter takes in how many hours after the stamp of its row, which is when
// its temperature is of, the irradiance was seen.
func (p *parser) irradianceAfter(h float64) { p.w.ZoneH, p.airLateH = 0.5-h, -h }

// readPVGISCSV reads the CSV form: a head of "name: value", a table of the years
// the months are of, and rows under a line that begins with "time(UTC)".
func readPVGISCSV(r io.Reader) (*parser, error) {
	p := pvgisYear()
	var columns []int // nil before the rows
	latitude, longitude, after := false, false, false
	err := p.eachLine(r, func(text string) {
		name, value, _ := strings.Cut(text, ":")
		switch {
		case after:
		case columns != nil && text == "":
			after = true // explanations
		case columns != nil:
			p.rows++
			p.pvgisRow(strings.Split(text, ","), columns)
		case strings.HasPrefix(text, "time(UTC)"):
			columns = p.pvgisColumns(strings.Split(text, ","))
		case strings.HasPrefix(name, "Latitude"):
			p.w.At[1], latitude = p.number(value, "latitude", 90), true
		case strings.HasPrefix(name, "Longitude"):
			p.w.At[0], longitude = p.number(value, "longitude", 180), true
		case strings.HasPrefix(name, "Elevation"):
			p.w.HeightM = p.number(value, "height", 9000)
		case strings.HasPrefix(name, "Irradiance Time Offset"):
			p.irradianceAfter(p.number(value, "offset of the irradiance", 12))
		}
	})
	if err == nil && (!latitude || !longitude) {
		p.fault("latitude and longitude are not both stated in the head")
	}
	return p, err
}

// pvgisNames are the columns that are read, with the least and the greatest value
// of each: air in C, radiation in W/m².
var pvgisNames = [4]struct {
	name        string
	least, most float64
}{{"T2m", -90, 70}, {"G(h)", 0, 1999}, {"Gb(n)", 0, 1999}, {"Gd(h)", 0, 1999}}

// pvgisColumns finds the columns in the line that names them.
func (p *parser) pvgisColumns(fields []string) []int {
	columns := make([]int, len(pvgisNames))
	for i, c := range pvgisNames {
		for k, f := range fields {
			if strings.TrimSpace(f) == c.name {
				columns[i] = k
			}
		}
		if columns[i] == 0 {
			p.fault("line %d: no column %s", p.line, c.name)
		}
	}
	return columns
}

func (p *parser) pvgisRow(fields []string, columns []int) {
	before := len(p.faults) + p.more
	var v [4]float64
	for i, k := range columns {
		if k >= len(fields) {
			p.fault("line %d: %d fields, must be %d or more", p.line, len(fields), k+1)
			return
		}
		v[i] = p.value(fields[k], pvgisNames[i].name, pvgisNames[i].least, pvgisNames[i].most, missingWM2)
	}
	p.pvgisHour(fields[0], v, before)
}

// pvgisHour takes in the values of an hour stamped like 20180101:0000, unless
// there have been faults in it since there were so many.
func (p *parser) pvgisHour(stamp string, v [4]float64, faults int) {
	at, err := time.Parse("20060102:1504", strings.TrimSpace(stamp))
	if err != nil {
		p.fault("line %d: time %.20q, must be like 20180101:0000", p.line, stamp)
	}
	if len(p.faults)+p.more == faults {
		p.hour(WeatherHour{Year: at.Year(), Month: at.Month(), DayOfMonth: at.Day(), Hour: at.Hour() + 1,
			AirK: v[0] + 273.15, GlobalWM2: v[1], BeamWM2: v[2], DiffuseWM2: v[3]})
	}
}

// pvgisJSON is what is read of the JSON form.
type pvgisJSON struct {
	Inputs struct {
		Location struct {
			Latitude  *float64 `json:"latitude"`
			Longitude *float64 `json:"longitude"`
			Elevation float64  `json:"elevation"`
			OffsetH   *float64 `json:"irradiance_time_offset"`
		} `json:"location"`
		Meteo struct {
			Horizon bool `json:"use_horizon"`
		} `json:"meteo_data"`
	} `json:"inputs"`
	Outputs struct {
		Hours []struct {
			Time    string   `json:"time(UTC)"`
			AirC    *float64 `json:"T2m"`
			Global  *float64 `json:"G(h)"`
			Beam    *float64 `json:"Gb(n)"`
			Diffuse *float64 `json:"Gd(h)"`
		} `json:"tmy_hourly"`
	} `json:"outputs"`
}

// readPVGISJSON reads the JSON form.
func readPVGISJSON(r io.Reader) (*parser, error) {
	var j pvgisJSON
	if err := json.NewDecoder(r).Decode(&j); err != nil {
		return nil, fmt.Errorf("sun: weather file: JSON: %w", err)
	}
	p := pvgisYear()
	place := j.Inputs.Location
	switch {
	case place.Latitude == nil || place.Longitude == nil:
		p.fault("inputs.location: latitude and longitude are not both stated")
	case !(*place.Latitude >= -90 && *place.Latitude <= 90 && *place.Longitude >= -180 && *place.Longitude <= 180):
		p.fault("inputs.location: %g, %g is no place", *place.Latitude, *place.Longitude)
	default:
		p.w.At = [2]float64{*place.Longitude, *place.Latitude}
	}
	if p.w.HeightM = place.Elevation; !(p.w.HeightM >= -500 && p.w.HeightM <= 9000) {
		p.fault("inputs.location: elevation %g m, must be -500 to 9000", p.w.HeightM)
	}
	if off := place.OffsetH; off != nil {
		if !(*off >= -12 && *off <= 12) {
			p.fault("inputs.location: irradiance_time_offset %g h, must be within ±12", *off)
		}
		p.irradianceAfter(*off)
	}
	if j.Inputs.Meteo.Horizon {
		p.w.Source += ", behind the hills of its own terrain at its place"
	}
	for _, row := range j.Outputs.Hours {
		if p.rows++; p.rows > mostRows {
			break
		}
		p.line++
		before := len(p.faults) + p.more
		var v [4]float64
		for i, x := range []*float64{row.AirC, row.Global, row.Beam, row.Diffuse} {
			c := &pvgisNames[i]
			if x == nil || !(*x >= c.least && *x <= c.most) {
				p.fault("hour %d: %s is missing or not within %g to %g", p.rows, c.name, c.least, c.most)
				continue
			}
			v[i] = *x
		}
		p.pvgisHour(row.Time, v, before)
	}
	return p, nil
}
