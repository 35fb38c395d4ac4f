package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"net/url"
	"path/filepath"
	"time"

	"github.com/paulmach/orb"
	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/cmd/polereach/internal/download"
	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain/sun"
)

// weatherService is an open service of weather that asks for no account.
type weatherService struct {
	address, file, credit string
	query                 string // of latitude and longitude
	check                 func(data []byte, at orb.Point) (source string, err error)
}

// mostWeatherB is more than any of the services sends.
const mostWeatherB = 16 << 20

// placeDecimals: a hundredth of a degree is a kilometre, finer than the data.
const placeDecimals = 2

func degrees(deg float64) string { return fmt.Sprintf("%.*f", placeDecimals, deg) }

// weatherServices are those by the word of --what.
var weatherServices = map[string]weatherService{"hours": {
	address: "https://re.jrc.ec.europa.eu/api/v5_3/tmy",
	file:    weatherFileName,
	query:   "lat=%s&lon=%s&outputformat=epw&usehorizon=0", // the hills are ours to count
	check: func(data []byte, _ orb.Point) (string, error) {
		w, err := sun.ReadWeather(bytes.NewReader(data), sun.WeatherOptions{})
		if err != nil {
			return "", err
		}
		return w.Source, nil
	},
	credit: "PVGIS (c) European Union. Reuse is allowed with acknowledgement of the source (Commission Decision " +
		"2011/833/EU).",
}, "means": {
	address: "https://power.larc.nasa.gov/api/temporal/climatology/point",
	file:    climateFileName,
	query:   "community=RE&format=JSON&latitude=%s&longitude=%s&parameters=ALLSKY_SFC_SW_DWN%%2CT2M",
	check: func(data []byte, at orb.Point) (string, error) {
		c, err := parseClimate(data, at.Lat(), "the answer")
		return c.Source, err
	},
	credit: "NASA Langley Research Center, POWER project. Open data of the US government; the project asks to be named " +
		"as the source.",
}}

func sunGetCommand() *cli.Command {
	return &cli.Command{
		Name:      "get",
		Usage:     "fetch a typical year or monthly means of the weather for the plan's place",
		UsageText: "polereach sun get [--pole NAME] PLAN | --at LON,LAT [flags]",
		Description: `Example:
   polereach sun get examples/cumberland/sun.geojson

Goes to the network, as no other command but "dem get" does without
--allow-remote. It asks one open
service, which needs no account, for the pole named or the middle of the plan's
stations; the place, rounded to 0.01 degrees (about 1 km), goes to the service.
What comes is checked and written beside the plan, or here without one, as
weather.epw (hours) or climate.json (means), where "sun" finds it, with a file
of its origin beside it.

Exit code: 0 stored, 1 failed, 2 usage or bad input.`,
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "pole", Usage: "`NAME` of a station of the plan; without, the middle of all"},
			&cli.StringFlag{Name: "at", Usage: "`LON,LAT` of a place"},
			&cli.StringFlag{Name: "what", Usage: "`WORD` hours (a typical year of PVGIS) or means (monthly means of NASA POWER)", Value: "hours"},
			&cli.BoolFlag{Name: "replace", Usage: "replace a file that is there"},
			&cli.StringFlag{Name: "service", Usage: "another address of the same service, `URL`"},
			&cli.Float64Flag{Name: "timeout-s", Usage: "give up after so long, `S`, 1 to 600", Value: 120},
		},
		Action: runSunGet,
	}
}

func runSunGet(c *cli.Context) error {
	p, err := planOrNone(c, "at")
	if err != nil {
		return err
	}
	at, placeErr := weatherPlace(c, p)
	service, serviceErr := chooseService(c)
	if err := errors.Join(placeErr, serviceErr, inRange(c, "timeout-s", 1, 600, "")); err != nil {
		return usage(err)
	}
	path := filepath.Join(filepath.Dir(p.Source), service.file)
	if exists(path) && !c.Bool("replace") {
		return usagef("%s is there already; give --replace to replace it", path)
	}
	address, err := url.Parse(service.address)
	if err != nil {
		return usage(fmt.Errorf("service: %w", err))
	}
	address.RawQuery = fmt.Sprintf(service.query, degrees(at.Lat()), degrees(at.Lon()))
	timeout := time.Duration(c.Float64("timeout-s") * float64(time.Second))
	ctx, stop := context.WithTimeout(c.Context, timeout)
	defer stop()
	data, err := download.Get(ctx, address, download.Options{MostB: mostWeatherB})
	if errors.Is(err, context.DeadlineExceeded) {
		err = fmt.Errorf("%s: no answer in %v", address.Host, timeout)
	}
	if err != nil {
		return failed(err)
	}
	source, err := service.check(data, at)
	if err != nil {
		return failed(fmt.Errorf("what %s sent cannot be used, nothing written: %w", address.Host, err))
	}
	origin := fmt.Sprintf("%s\n%s\nFetched by polereach from\n%s\non %s, for %s, %s.\n", source, service.credit,
		address, time.Now().UTC().Format(time.DateOnly), degrees(at.Lat()), degrees(at.Lon()))
	var set outfile.Set
	defer set.Discard()
	if err := errors.Join(set.Add(path+".origin.txt", outfile.Bytes([]byte(origin))), set.Add(path, outfile.Bytes(data))); err != nil {
		return failed(err)
	}
	if err := set.Commit(); err != nil {
		return failed(err)
	}
	text := fmt.Sprintf("%s: %s\n%s\n", path, source, service.credit)
	if hours := filepath.Join(filepath.Dir(p.Source), weatherFileName); service.file != weatherFileName && exists(hours) {
		text += fmt.Sprintf("note: %s is there too, and goes first: to use these means, give --climate %s\n", hours, path)
	}
	_, err = io.WriteString(c.App.Writer, text)
	return err
}

// weatherPlace is the pole named, the place given, or the middle of the stations.
func weatherPlace(c *cli.Context, p *plan.Plan) (orb.Point, error) {
	if c.String("pole") != "" || c.String("at") != "" {
		pole, err := choosePole(c, p)
		return pole.At, err
	}
	if len(p.Stations) == 0 {
		return orb.Point{}, errors.New("the plan has no stations: give --at LON,LAT")
	}
	places := make(orb.MultiPoint, len(p.Stations))
	for i, s := range p.Stations {
		places[i] = s.At
	}
	if b := places.Bound(); b.Max[0]-b.Min[0] > 3 || b.Max[1]-b.Min[1] > 3 {
		return orb.Point{}, errors.New("the plan is wider than 3 degrees, too wide for one weather: give --pole NAME or " +
			"--at LON,LAT")
	}
	return places.Bound().Center(), nil
}

func chooseService(c *cli.Context) (weatherService, error) {
	s, err := oneOf(c, "what", "hours, means", weatherServices)
	other := c.String("service")
	if err != nil || other == "" {
		return s, err
	}
	u, err := url.Parse(other)
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" || u.RawQuery != "" || u.User != nil {
		return s, fmt.Errorf("service: found %q, want an address such as %s", other, s.address)
	}
	s.address = other
	return s, nil
}

// nextFigures is the line that leads from a default climate to real figures.
func nextFigures(planPath string, at orb.Point) string {
	round := func(deg float64) float64 { return math.Round(deg*100) / 100 }
	place := fmt.Sprintf("%g,%g", round(at.Lon()), round(at.Lat()))
	if planPath != "" {
		place += " " + commandline.Quoted(planPath)
	}
	return fmt.Sprintf("polereach sun get --at %s (asks an open service), or --weather, --climate with your own", place)
}
