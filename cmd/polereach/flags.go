package main

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/linkbudget/fading"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Headings of help that several groups of flags share.
const packetGroup, terrainGroup, outputGroup = "Packet and modem", "Terrain and settings", "Output"

// modemFlags and the other groups below are shared by the commands. Every flag
// of modemFlags and radioFlags is also a key of the --radio file, with
// underscores.
func modemFlags() []cli.Flag {
	return commandline.Group(packetGroup,
		&cli.Float64Flag{Name: "bw-khz", Value: 125, Usage: "LoRa bandwidth, `KHZ`: 7.8 10.4 15.6 20.8 31.25 41.7 62.5 " +
			"125 250 500", DefaultText: "125, or with --band what its table asks for at a fixed frequency"},
		&cli.IntFlag{Name: "sf", Value: 9, Usage: "spreading `FACTOR`, 5 to 12"},
		&cli.IntFlag{Name: "cr", Value: 5, Usage: "coding rate 4/`N`, 5 to 8"},
		&cli.Float64Flag{Name: "noise-figure-db", Value: float64(linkbudget.DefaultNoiseFigureDB),
			Usage: "receiver noise figure, `DB`"},
	)
}

func radioFlags() []cli.Flag {
	demModels := joined(linkbudget.TerrainErrors(), ", ", func(m linkbudget.TerrainModelError) string { return m.Product })
	return append(append(commandline.Group("Path and terrain's error",
		&cli.Float64Flag{Name: "freq-mhz", Value: defaultFreqMHz, DefaultText: freqDefault,
			Usage: "carrier frequency, `MHZ`, 100 to 3000"},
		&cli.StringFlag{Name: "polarisation", Value: "vertical", Usage: "`WORD` vertical or horizontal"},
		&cli.Float64Flag{Name: "k", Value: radio.KMedian, DefaultText: "4/3", Usage: "effective earth radius `FACTOR` of " +
			"the verdict, 0.5 to 10"},
		&cli.Float64Flag{Name: "surface-refractivity", DefaultText: "320 to 374 by latitude, ITU-R P.835", Usage: "N0 of " +
			"the air at the sea level, `N-UNITS`, 250 to 450; what scatter in the air carries depends on it"},
		&cli.Float64Flag{Name: "time-percent", Value: 50, DefaultText: "50, the median", Usage: "share of time for which " +
			"the loss is not exceeded, `PERCENT`, 1 to 99.9: above 50 the bad nights, below it who else is heard"},
		&cli.Float64Flag{Name: "want-percent", Value: linkbudget.DefaultWantPercent,
			Usage: "probability from which a link reaches, `PERCENT`, 50 to 99.9"},
		&cli.StringFlag{Name: "fading", Value: "none", Usage: "small-scale fading for which delivery is told, `WORD` " +
			"none, rician or rayleigh"},
		&cli.Float64Flag{Name: "rician-k-db", Value: 6, Usage: "direct over scattered power of rician fading, `DB`"},
		&cli.Float64Flag{Name: "noise-rise-db", Usage: "noise floor above thermal, `DB`, for stations that state none"},
		coverFlags()[0], coverFlags()[1],
		&cli.Float64Flag{Name: "town-percent", Usage: "antennas below the roofs (10 m) of which nothing is said stand in " +
			"a town, its loss that of this share of places, `PERCENT`, falling to none at 20 m; 0: none"},
		&cli.StringFlag{Name: "dem-model", Usage: "terrain `PRODUCT`, sets --dem-error-m: " + demModels},
		&cli.Float64Flag{Name: "dem-error-m", Usage: "standard deviation of the terrain heights, `M`",
			DefaultText: "6, or that of --dem-model"},
		&cli.BoolFlag{Name: "bare-earth", Usage: "the terrain holds no canopy and no roofs"},
	), allStationFlags()...), append(packetFlags(), append(modemFlags(), bandFlags()...)...)...)
}

func packetFlags() []cli.Flag {
	return commandline.Group(packetGroup,
		&cli.IntFlag{Name: "payload-b", Value: linkbudget.DefaultPacket.PayloadB, Usage: "radio payload with all headers, " +
			"`BYTES`, 1 to 255"},
		&cli.IntFlag{Name: "preamble", Value: linkbudget.DefaultPacket.PreambleSymbols,
			Usage: "programmed preamble `SYMBOLS`"},
	)
}

func terrainFlags() []cli.Flag {
	return slices.Insert(commandline.Group(terrainGroup,
		&cli.StringSliceFlag{Name: "dem", Usage: "terrain file or folder, `PATH`; repeatable, the first to know a height " +
			"wins; default: the folder dem beside the plan"},
		&cli.StringFlag{Name: "radio", Usage: "settings `FILE` (JSON, keys as the flags with underscores); default: " +
			"radio.json beside the plan"},
		&cli.Float64Flag{Name: "fill-voids-m", Usage: "interpolate over voids in the terrain up to this length, `M`; 0: " +
			"never"},
	), 1, formatFlags()...)
}

// What most commands write, and what those do that tell of many places.
var (
	textOrJSON  = []string{"text", "json"}
	linkFormats = []string{"text", "json", "csv"}
	planFormats = []string{"text", "json", "csv", "geojson", "kml", "gpx"}
)

func outputFlags(formats []string) []cli.Flag {
	return commandline.Group(outputGroup,
		&cli.StringFlag{Name: "format", Value: "text", Usage: "`FORMAT` " + either(formats),
			Action: func(_ *cli.Context, word string) error {
				return formatFault(word, formats)
			}},
		&cli.StringFlag{Name: "out", Usage: "write to `FILE` instead of standard output"},
	)
}

// cautionsFlag is for the commands whose text ends with cautions.
func cautionsFlag() cli.Flag {
	return &cli.BoolFlag{Name: "cautions", Category: outputGroup,
		Usage: "tell the cautions whole on the screen too, as they are in a file"}
}

// modem reads the modem flags; faults are the library's to find.
func modem(c *cli.Context) (linkbudget.Modem, error) {
	hz, err := lora.ParseBandwidthKHz(c.Float64("bw-khz"))
	if err != nil {
		hz = 125e3 // go on, so that all faults are listed at once
	}
	if chosen, _ := chooseBand(c); chosen != "" && !c.IsSet("bw-khz") { // its faults are told by settings
		hz = band.DefaultBandwidthHz(chosen)
	}
	m := linkbudget.Modem{SF: c.Int("sf"), BWHz: hz, CR: c.Int("cr") - 4}
	if m.CR < 1 || m.CR > 4 {
		m.CR = 1
		err = errors.Join(err, fmt.Errorf("cr: found %d, allowed 5 to 8 (4/5 to 4/8)", c.Int("cr")))
	}
	return m, errors.Join(err, m.Validate())
}

// settings reads every flag that a plan can leave out, all faults at once, those of
// the band among them.
func settings(c *cli.Context) (plan.Settings, error) {
	m, err := modem(c)
	if err != nil {
		m = linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}
	}
	freqHz, bandErr := carrierHz(c, m.BWHz)
	st, insideErr := station(c)
	err = errors.Join(err, bandErr, insideErr)
	st.NoiseFigureDB, st.NoiseRiseDB = linkbudget.DB(c.Float64("noise-figure-db")),
		linkbudget.DB(c.Float64("noise-rise-db"))
	s := plan.Settings{
		Station: st,
		Environment: linkbudget.Environment{
			FreqHz: freqHz, Modem: m, K: c.Float64("k"),
			SurfaceRefractivity: c.Float64("surface-refractivity"),
			TimePercent:         timePercent(c), WantPercent: c.Float64("want-percent"),
			TownPercent: c.Float64("town-percent"), BareEarth: c.Bool("bare-earth"),
			Packet: linkbudget.Packet{PayloadB: c.Int("payload-b"), PreambleSymbols: c.Int("preamble")},
		},
		Profile: terrain.ProfileOptions{FillVoidsM: c.Float64("fill-voids-m")},
		Cover:   coverNames(c),
	}
	var wordErr error
	s.Station.Polarisation, wordErr = oneOf(c, "polarisation", "vertical or horizontal",
		map[string]radio.Polarisation{"vertical": radio.Vertical, "horizontal": radio.Horizontal})
	err = errors.Join(err, wordErr)
	if s.Environment.TimePercent == 0 && c.Float64("time-percent") == 0 {
		err = errors.Join(err, errors.New("time-percent: found 0, allowed 1 to 99.9 %"))
	}
	if c.IsSet("surface-refractivity") && s.Environment.SurfaceRefractivity == 0 {
		err = errors.Join(err, errors.New("surface-refractivity: found 0, allowed 250 to 450 N-units"))
	}
	if s.Environment.K == 0 {
		err = errors.Join(err, errors.New("k: found 0, allowed 0.5 to 10"))
	}
	if s.Station.NoiseFigureDB == 0 { // to the budget it would mean the default
		err = errors.Join(err, errors.New("noise-figure-db: found 0, allowed above 0 to 30 dB"))
	}
	if s.Environment.Packet == (linkbudget.Packet{}) { // the same
		err = errors.Join(err, s.Environment.Packet.Validate())
	}
	if c.IsSet("height-m") && !(s.Station.HeightM > 0) {
		err = errors.Join(err, above0(c, "height-m", linkbudget.MaxAntennaHeightM, "m"))
		s.Station.HeightM = 0
	}
	err = errors.Join(err, inRange(c, "fill-voids-m", 0, 10000, "m"), words(c, &s.Environment))
	return s, usage(errors.Join(err, s.Validate()))
}

// timePercent is the share of time asked for, 0 for the median.
func timePercent(c *cli.Context) float64 {
	if p := c.Float64("time-percent"); p != 50 {
		return p
	}
	return 0
}

// words reads the flags of an environment that are words, or have a default
// that depends on one.
func words(c *cli.Context, env *linkbudget.Environment) error {
	var errs []error
	class, _, coverErr := coverClass(c)
	env.Cover, errs = class, append(errs, coverErr)
	rician := fading.Law{Kind: fading.Rician, KDB: linkbudget.DB(c.Float64("rician-k-db"))}
	if c.String("fading") != "rician" { // else it is checked with the rest
		errs = append(errs, wrap("rician-k-db", rician.Validate()))
	}
	law, err := oneOf(c, "fading", "none, rician or rayleigh",
		map[string]fading.Law{"none": {}, "rician": rician, "rayleigh": {Kind: fading.Rayleigh}})
	env.Fading, errs = law, append(errs, err)
	if name := c.String("dem-model"); name != "" {
		model, err := linkbudget.TerrainErrorByName(name)
		errs = append(errs, wrap("dem-model", err))
		env.Terrain.SigmaM = model.SigmaM
		if err == nil && env.BareEarth && model.Surface {
			errs = append(errs, fmt.Errorf("bare-earth: %s is a surface model, which holds canopy and roofs", model.Product))
		}
	}
	if c.IsSet("dem-error-m") {
		env.Terrain.SigmaM = c.Float64("dem-error-m")
		if env.Terrain.SigmaM == 0 {
			errs = append(errs, errors.New("dem-error-m: found 0, allowed above 0 to 50 m"))
		}
	}
	if env.WantPercent == 0 {
		errs = append(errs, errors.New("want-percent: found 0, allowed 50 to 99.9 %"))
	}
	return errors.Join(errs...)
}

func wrap(what string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s: %w", what, err)
}

// inRange is the fault of a flag whose number is not low to high.
func inRange(c *cli.Context, name string, low, high float64, unit string) error {
	return fault.Range(name, c.Float64(name), low, high, unit)
}

// above0 is the fault of a flag whose number is not above 0 to high.
func above0(c *cli.Context, name string, high float64, unit string) error {
	return fault.Limits{Max: high, Unit: unit, Above: true}.Check(name, c.Float64(name))
}

// count is the fault of a flag whose whole number is not low to high.
func count(c *cli.Context, name string, low, high int) error {
	n := c.Int(name)
	switch {
	case n >= low && n <= high:
		return nil
	case high == math.MaxInt:
		return fault.Found(name, n, fmt.Sprint(low, " and more"))
	}
	return fault.Found(name, n, fmt.Sprint(low, " to ", high))
}

// oneOf is what stands for the word of a flag, that of no word beside an error.
func oneOf[T any](c *cli.Context, name, allowed string, of map[string]T) (T, error) {
	value, ok := of[c.String(name)]
	if !ok {
		return value, fmt.Errorf("%s: found %q, allowed %s", name, c.String(name), allowed)
	}
	return value, nil
}

// formatFault refuses a format that is not among those of a command.
func formatFault(word string, formats []string) error {
	if !slices.Contains(formats, word) {
		return usagef("format: found %q, allowed %s", word, either(formats))
	}
	return nil
}

func either(words []string) string {
	if len(words) == 2 {
		return words[0] + " or " + words[1]
	}
	return strings.Join(words, ", ")
}

// asked is the writer of the format asked for: text, JSON or, where there is one, CSV.
func asked[F any](c *cli.Context, writers ...F) F {
	return writers[max(0, slices.Index(linkFormats, c.String("format")))]
}
