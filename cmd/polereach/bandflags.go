package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/terrain/fault"
)

// defaultFreqMHz is a channel of the European 868 MHz plan; the output names
// the frequency, so that nobody overlooks it.
const defaultFreqMHz = 868.1

// freqDefault is what help tells of it.
const freqDefault = "868.1, or with --band that band's channel"

const bandGroup = "Rules of the band"

func bandFlags() []cli.Flag {
	return commandline.Group(bandGroup,
		&cli.StringFlag{Name: "band", Usage: "compare with the rules of this `BAND`: " +
			joined(band.Names(), " ", func(b band.Band) string { return string(b) })},
		&cli.Float64Flag{Name: "packets-per-hour", Usage: "what a station sends, `NUMBER`, for the duty cycle"},
	)
}

// strictRulesFlag is no setting: it decides the exit code only.
func strictRulesFlag() cli.Flag {
	return &cli.BoolFlag{Name: "strict-rules", Category: bandGroup,
		Usage: "exit 3 when a station is beyond the table of --band"}
}

// chooseBand reads --band, "" is none, and checks the flags that go with it. Its
// faults are among those of carrierHz and settings.
func chooseBand(c *cli.Context) (band.Band, error) {
	var sending error
	if n := c.Float64("packets-per-hour"); !(n >= 0 && n <= 1e6) {
		sending = fault.Found("packets-per-hour", n, "0 to 1000000")
	}
	if c.String("band") == "" {
		if c.Bool("strict-rules") {
			return "", errors.Join(sending, errors.New("strict-rules: no band to be strict about; give --band"))
		}
		return "", sending
	}
	chosen, err := band.Parse(c.String("band"))
	return chosen, errors.Join(sending, err)
}

// carrierHz is the frequency that was stated or else the own channel of the band. A
// stated one outside the band's rows is a fault, whether from flag or radio file.
func carrierHz(c *cli.Context, bwHz float64) (float64, error) {
	hz := c.Float64("freq-mhz") * 1e6
	chosen, err := chooseBand(c)
	if chosen == "" {
		return hz, err
	}
	own := band.DefaultChannelHz(chosen, bwHz)
	switch {
	case !c.IsSet("freq-mhz"):
		return own, err
	case hz >= radio.MinFreqHz && hz <= radio.MaxFreqHz && !chosen.Covers(hz):
		err = errors.Join(err, fmt.Errorf("freq-mhz: found %.7g, outside the band %s, whose rows cover %s MHz; "+
			"leave the frequency out for its channel %.7g, or choose another --band", hz/1e6, chosen, chosen.Spans(), own/1e6))
	}
	return hz, err
}

// ruleCaution tells which of the stations the table of --band does not allow as they are set
// up, or that no band was chosen.
func ruleCaution(c *cli.Context, env linkbudget.Environment, stations ...linkbudget.Station) (string, error) {
	chosen, err := chooseBand(c)
	if err != nil {
		return "", nil // settings told it
	}
	var beyond []string
	for _, s := range stations {
		if chosen == "" {
			break
		}
		use, err := mesh.BandUse(s, env, c.Float64("packets-per-hour"))
		if err != nil {
			return "", err
		}
		rules, err := band.Check(chosen, use)
		if err != nil {
			return "", err
		}
		if rules.Exceeds() {
			beyond = append(beyond, s.Name)
		}
	}
	text := report.RulesText(string(chosen), beyond)
	return strings.ToLower(text[:1]) + text[1:], nil
}
