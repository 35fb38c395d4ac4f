package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/sun"
)

// skyFlags say what is known about weather and what stands before the sun.
func skyFlags() []cli.Flag {
	return commandline.Group("Sun and weather",
		&cli.StringSliceFlag{Name: "obstacle", Usage: "what the terrain does not hold, `WHERE` as az=170..190,elev=12 in " +
			"degrees; repeatable"},
		&cli.StringSliceFlag{Name: "weather", Usage: "hourly weather `FILE`, a year as EPW or as PVGIS gives it (CSV, " +
			"JSON), .gz too, replayed hour by hour; repeatable for several years; default: weather.epw beside the plan"},
		&cli.Float64Flag{Name: "weather-shift-h", Usage: "hours to add to the times of --weather, `H`, -12 to 12"},
		&cli.StringFlag{Name: "climate", Usage: "monthly means in a JSON `FILE`: global_kwh_m2_day, and if known air_c, " +
			"air_swing_k, snow_cm, snow_days, 12 numbers each, and source; default: climate.json beside the plan"},
		&cli.Float64Flag{Name: "clearness", Usage: "part of the sun that gets through the air, all months, `KT`, 0.05 to 0.8", DefaultText: "that of --climate"},
	)
}

// sky is what skyFlags say.
type sky struct {
	obstacles []terrain.Obstacle
	weather   func(groundM float64) power.Weather
}

// Looked for beside the plan when nothing else is given, the weather first.
const (
	weatherFileName = "weather.epw"
	climateFileName = "climate.json"
)

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

// readSky reads skyFlags; beside is the folder of the plan.
func readSky(c *cli.Context, beside string, latDeg float64) (sky, error) {
	s := sky{weather: func(groundM float64) power.Weather { return power.WeatherUnknown(latDeg, groundM) }}
	var errs []error
	for _, text := range c.StringSlice("obstacle") {
		s.obstacles, errs = addObstacle(s.obstacles, errs, text)
	}
	sources := 0
	path, files := c.String("climate"), c.StringSlice("weather")
	if path == "" && len(files) == 0 && !c.IsSet("clearness") {
		if hours, means := filepath.Join(beside, weatherFileName), filepath.Join(beside, climateFileName); exists(hours) {
			files = []string{hours}
		} else if exists(means) {
			path = means
		}
	}
	if len(files) > 0 {
		sources++
		years, err := readYears(files, c.Float64("weather-shift-h"))
		errs = append(errs, err)
		s.weather = func(float64) power.Weather { return power.WeatherOfFiles(years...) }
	}
	if path != "" {
		sources++
		climate, err := readClimate(path, latDeg)
		errs = append(errs, err)
		s.weather = atHeight(climate, latDeg)
	}
	if c.IsSet("clearness") {
		sources++
		kt := c.Float64("clearness")
		errs = append(errs, inRange(c, "clearness", 0.05, 0.8, ""))
		climate := sun.ClimateFromClearness(latDeg, [12]float64{kt, kt, kt, kt, kt, kt, kt, kt, kt, kt, kt, kt})
		climate.Source = fmt.Sprintf("clearness %g in all months", kt)
		s.weather = atHeight(climate, latDeg)
	}
	if sources > 1 {
		errs = append(errs, errors.New("give one of --weather, --climate, --clearness"))
	}
	if c.IsSet("weather-shift-h") && len(c.StringSlice("weather")) == 0 {
		errs = append(errs, errors.New("weather-shift-h: found without --weather"))
	}
	return s, errors.Join(errs...)
}

// atHeight is asked by several workers at once: each gets a climate of its own.
func atHeight(climate sun.Climate, latDeg float64) func(float64) power.Weather {
	return func(groundM float64) power.Weather {
		there := climate
		there.HeightM = groundM
		return power.WeatherOfMeans(there, latDeg)
	}
}

// addObstacle reads az=FROM..TO or elev=DEG, which come one after the other, as two texts.
func addObstacle(list []terrain.Obstacle, errs []error, text string) ([]terrain.Obstacle, []error) {
	key, value, _ := strings.Cut(strings.TrimSpace(text), "=")
	n := len(list)
	switch key {
	case "az":
		fromText, toText, ok := strings.Cut(value, "..")
		from, err1 := strconv.ParseFloat(fromText, 64)
		to, err2 := strconv.ParseFloat(toText, 64)
		if !ok || err1 != nil || err2 != nil || !(from >= 0 && from <= 360) || !(to >= 0 && to <= 360) {
			errs = append(errs, fmt.Errorf("obstacle: found %q, want az=FROM..TO with 0 to 360 degrees, such as "+
				"az=170..190,elev=12", text))
		}
		return append(list, terrain.Obstacle{FromDeg: from, ToDeg: to}), errs
	case "elev":
		elev, err := strconv.ParseFloat(value, 64)
		if err != nil || !(elev > 0 && elev <= 90) || n == 0 || list[n-1].ElevDeg != 0 {
			errs = append(errs, fmt.Errorf("obstacle: found %q, want az=FROM..TO,elev=DEG with above 0 to 90 degrees, such "+
				"as az=170..190,elev=12", text))
			return list, errs
		}
		list[n-1].ElevDeg = elev
		return list, errs
	}
	return list, append(errs, fmt.Errorf("obstacle: found %q, want az=FROM..TO,elev=DEG, such as az=170..190,elev=12",
		text))
}

// mostYears is more than a person would fetch; a year of hours takes 0.6 MiB.
const mostYears = 30

func readYears(paths []string, shiftH float64) ([]*sun.Weather, error) {
	if len(paths) > mostYears {
		return nil, fmt.Errorf("weather: found %d files, allowed up to %d", len(paths), mostYears)
	}
	var years []*sun.Weather
	var errs error
	for _, path := range paths {
		w, err := readFrom("weather", path, func(r io.Reader) (*sun.Weather, error) {
			return sun.ReadWeather(r, sun.WeatherOptions{ShiftH: shiftH})
		})
		years, errs = append(years, w), errors.Join(errs, err)
	}
	return years, errs
}

// climateFile is the JSON of --climate. Absent lists are nil.
type climateFile struct {
	Source      string    `json:"source"`
	GlobalKWhM2 []float64 `json:"global_kwh_m2_day"`
	AirC        []float64 `json:"air_c"`
	AirSwingK   []float64 `json:"air_swing_k"`
	SnowCM      []float64 `json:"snow_cm"`
	SnowDays    []float64 `json:"snow_days"`
	ModelFactor float64   `json:"model_factor"`
}

func readClimate(path string, latDeg float64) (sun.Climate, error) {
	data, err := readFile(path)
	if err != nil {
		return sun.Climate{}, fmt.Errorf("climate: %w", err)
	}
	return parseClimate(data, latDeg, path)
}

// parseClimate reads either form of --climate; name is that of the file.
func parseClimate(data []byte, latDeg float64, name string) (sun.Climate, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if err := oneObject(data); err != nil {
		return sun.Climate{}, fmt.Errorf("%s: %w", name, err)
	}
	var power powerFile
	if json.Unmarshal(data, &power) == nil && power.Properties != nil {
		return power.climate(latDeg, name)
	}
	var f climateFile
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&f); err != nil {
		return sun.Climate{}, fmt.Errorf("%s: want one JSON object with global_kwh_m2_day, air_c, air_swing_k, snow_cm, "+
			"snow_days, source, model_factor: %w", name, err)
	}
	out := sun.Climate{Source: f.Source, ModelFactor: f.ModelFactor}
	if out.Source == "" {
		out.Source = "monthly means of " + filepath.Base(name)
	}
	var errs []error
	for _, list := range []struct {
		key      string
		values   []float64
		required bool
		set      func(m *sun.ClimateMonth, v float64)
	}{
		{"global_kwh_m2_day", f.GlobalKWhM2, true, func(m *sun.ClimateMonth, v float64) { m.GlobalWhM2 = v * 1000 }},
		{"air_c", f.AirC, false, func(m *sun.ClimateMonth, v float64) { m.AirK = v + 273.15 }},
		{"air_swing_k", f.AirSwingK, false, func(m *sun.ClimateMonth, v float64) { m.AirSwingK = v }},
		{"snow_cm", f.SnowCM, false, func(m *sun.ClimateMonth, v float64) { m.SnowCM = v }},
		{"snow_days", f.SnowDays, false, func(m *sun.ClimateMonth, v float64) { m.SnowDays = v }},
	} {
		if list.values == nil && !list.required {
			continue
		}
		if len(list.values) != 12 {
			errs = append(errs, fmt.Errorf("%s: %s: found %d numbers, want 12, January first", name, list.key, len(list.values)))
			continue
		}
		for i, v := range list.values {
			list.set(&out.Months[i], v)
		}
	}
	if len(errs) == 0 {
		errs = append(errs, wrap(name, out.Check(latDeg)))
	}
	return out, errors.Join(errs...)
}
