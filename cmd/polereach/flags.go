package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// modemFlags and the other groups below are shared by the commands. Every flag
// of modemFlags and radioFlags is also a key of the --radio file, with
// underscores.
func modemFlags() []cli.Flag {
	return []cli.Flag{
		&cli.Float64Flag{Name: "bw-khz", Value: 125, Usage: "LoRa bandwidth, `KHZ`: 7.8 10.4 15.6 20.8 31.25 41.7 62.5 125 250 500"},
		&cli.IntFlag{Name: "sf", Value: 9, Usage: "spreading `FACTOR`, 5 to 12"},
		&cli.IntFlag{Name: "cr", Value: 5, Usage: "coding rate 4/`N`, 5 to 8"},
		&cli.Float64Flag{Name: "noise-figure-db", Value: float64(linkbudget.DefaultNoiseFigureDB), Usage: "receiver noise figure, `DB`"},
	}
}

func radioFlags() []cli.Flag {
	return append([]cli.Flag{
		&cli.Float64Flag{Name: "freq-mhz", Value: 868.1, Usage: "carrier frequency, `MHZ`, 100 to 3000"},
		&cli.Float64Flag{Name: "tx-dbm", Value: 14, Usage: "transmitter output, `DBM`"},
		&cli.Float64Flag{Name: "gain-dbi", Value: 2.15, Usage: "antenna gain, `DBI`"},
		&cli.Float64Flag{Name: "feed-loss-db", Value: 0, Usage: "cable and connectors, `DB`"},
		&cli.Float64Flag{Name: "height-m", Usage: "antenna above ground, `M`, for stations that state none"},
		&cli.StringFlag{Name: "polarisation", Value: "vertical", Usage: "`WORD` vertical or horizontal"},
		&cli.Float64Flag{Name: "k", Value: linkbudget.KMedian, DefaultText: "4/3", Usage: "effective earth radius `FACTOR` of the verdict, 0.5 to 10"},
	}, modemFlags()...)
}

func terrainFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringSliceFlag{Name: "dem", Usage: "terrain file or folder, `PATH`; repeatable, the first to know a height wins; default: the folder dem beside the plan"},
		allowRemoteFlag(),
		&cli.StringFlag{Name: "radio", Usage: "settings `FILE` (JSON, keys as the flags with underscores); default: radio.json beside the plan"},
		&cli.Float64Flag{Name: "fill-voids-m", Usage: "interpolate over voids in the terrain up to this length, `M`; 0: never"},
	}
}

func outputFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "format", Value: "text", Usage: "`FORMAT` text or json"},
		&cli.StringFlag{Name: "out", Usage: "write to `FILE` instead of standard output"},
	}
}

// modem reads the modem flags; faults are the library's to find.
func modem(c *cli.Context) (linkbudget.Modem, error) {
	hz, err := linkbudget.ParseBandwidthKHz(c.Float64("bw-khz"))
	if err != nil {
		hz = 125e3 // go on, so that all faults are listed at once
	}
	m := linkbudget.Modem{SF: c.Int("sf"), BWHz: hz, CR: c.Int("cr") - 4}
	if m.CR < 1 || m.CR > 4 {
		m.CR = 1
		err = errors.Join(err, fmt.Errorf("cr: found %d, allowed 5 to 8 (4/5 to 4/8)", c.Int("cr")))
	}
	return m, errors.Join(err, m.Validate())
}

// settings reads every flag that a plan can leave out, all faults at once.
func settings(c *cli.Context) (plan.Settings, error) {
	m, err := modem(c)
	if err != nil {
		m = linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}
	}
	s := plan.Settings{
		Station: linkbudget.Station{
			HeightM: c.Float64("height-m"), TxDBm: linkbudget.DBm(c.Float64("tx-dbm")),
			GainDBi: linkbudget.DB(c.Float64("gain-dbi")), FeedLossDB: linkbudget.DB(c.Float64("feed-loss-db")),
			NoiseFigureDB: linkbudget.DB(c.Float64("noise-figure-db")),
		},
		Environment: linkbudget.Environment{FreqHz: c.Float64("freq-mhz") * 1e6, Modem: m, K: c.Float64("k")},
		Profile:     terrain.ProfileOptions{FillVoidsM: c.Float64("fill-voids-m")},
	}
	switch word := c.String("polarisation"); word {
	case "vertical":
	case "horizontal":
		s.Environment.Polarisation = linkbudget.Horizontal
	default:
		err = errors.Join(err, fmt.Errorf("polarisation: found %q, allowed vertical or horizontal", word))
	}
	if s.Environment.K == 0 {
		err = errors.Join(err, fmt.Errorf("k: found 0, allowed 0.5 to 10"))
	}
	if given(c, "height-m") && !(s.Station.HeightM > 0) {
		err = errors.Join(err, fmt.Errorf("height-m: found %g, allowed above 0 to %d m", s.Station.HeightM, linkbudget.MaxAntennaHeightM))
		s.Station.HeightM = 0
	}
	if f := s.Profile.FillVoidsM; !(f >= 0 && f <= 10000) {
		err = errors.Join(err, fmt.Errorf("fill-voids-m: found %g, allowed 0 to 10000 m", f))
	}
	return s, usage(errors.Join(err, s.Validate()))
}

// given reports whether a flag was set on the command line or in the radio file.
func given(c *cli.Context, name string) bool { return c.IsSet(name) }

// format checks the output format before any work is done.
func format(c *cli.Context) (string, error) {
	f := c.String("format")
	if f != "text" && f != "json" {
		return "", usagef("format: found %q, allowed text or json", f)
	}
	return f, nil
}

// coordinate reads LON,LAT in degrees.
func coordinate(what, text string) (orb.Point, error) {
	lonText, latText, ok := strings.Cut(text, ",")
	if !ok {
		return orb.Point{}, usagef("%s: found %q, want LON,LAT in degrees, such as -84.2,36.6", what, text)
	}
	lon, err1 := strconv.ParseFloat(strings.TrimSpace(lonText), 64)
	lat, err2 := strconv.ParseFloat(strings.TrimSpace(latText), 64)
	switch {
	case err1 != nil || err2 != nil:
		return orb.Point{}, usagef("%s: found %q, want LON,LAT in degrees, such as -84.2,36.6", what, text)
	case !(math.Abs(lat) <= 90) && math.Abs(lon) <= 90:
		return orb.Point{}, usagef("%s: latitude %g is out of range -90 to 90; longitude comes first, are they swapped?", what, lat)
	case !(math.Abs(lon) <= 180) || !(math.Abs(lat) <= 90):
		return orb.Point{}, usagef("%s: found %q, allowed longitude -180 to 180, latitude -90 to 90", what, text)
	}
	return orb.Point{lon, lat}, nil
}
