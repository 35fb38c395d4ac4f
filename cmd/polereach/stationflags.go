package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/plan"
)

// stationFlag is a number of a station by its key in plans: a flag for all that state
// none, and for each end of link.
type stationFlag struct{ plan.Key }

var (
	stationFlags  = flagsOf("height_m", "tx_dbm", "gain_dbi", "feed_loss_db", "hardware_db")
	radiatedFlags = flagsOf("tx_dbm", "gain_dbi", "feed_loss_db") // what rules of bands ask
	woodFlag      = flagsOf("wood_m")[0]                          // of the ends of link alone
)

func flagsOf(keys ...string) (list []stationFlag) {
	for _, k := range plan.Keys() {
		if k.Feature == "Point" && slices.Contains(keys, k.Name) {
			list = append(list, stationFlag{k})
		}
	}
	return list
}

// of is the name of the flag of one end, such as feed-loss-a-db, or of all with "".
func (f stationFlag) of(end string) string {
	name := strings.ReplaceAll(f.Name, "_", "-")
	if i := strings.LastIndexByte(name, '-'); end != "" {
		return name[:i] + "-" + end + name[i:]
	}
	return name
}

func (f stationFlag) usage() string { return f.Doc + ", `" + strings.ToUpper(f.Limits.Unit) + "`" }

// withDefaults are flags whose values are those of DefaultStation.
func withDefaults(flags []stationFlag, of string) (list []cli.Flag) {
	s := linkbudget.DefaultStation("", 0)
	for _, f := range flags {
		one := &cli.Float64Flag{Name: f.of(""), Value: *f.Model(&s), Usage: f.usage() + of}
		if f.Name == "height_m" {
			one.DefaultText = "none"
		}
		list = append(list, one)
	}
	return list
}

const insideUsage = "`WORD` free (looked at: nothing rises near), open, suburban, wood, urban or dense_urban"

// allStationFlags are for stations that state nothing themselves.
func allStationFlags() []cli.Flag {
	return commandline.Group("Stations that state nothing themselves", append([]cli.Flag{
		&cli.StringFlag{Name: "inside", DefaultText: "open country, assumed",
			Usage: "what antennas stand in of which nothing is said, " + insideUsage}},
		withDefaults(stationFlags, "")...)...)
}

// ends are those of link by the letter in their flags.
var ends = [2]struct{ letter, name string }{{"a", "first"}, {"b", "second"}}

// endFlags are those of each end of link.
func endFlags() []cli.Flag {
	var list []cli.Flag
	for _, end := range ends {
		own := func(f stationFlag, otherwise string) {
			list = append(list, &cli.Float64Flag{Name: f.of(end.letter), DefaultText: otherwise, Usage: "at the " + end.name +
				" end: " + f.usage()})
		}
		for _, f := range stationFlags {
			own(f, "--"+f.of(""))
		}
		own(woodFlag, "0")
		list = append(list, &cli.StringFlag{Name: "inside-" + end.letter, DefaultText: "--inside",
			Usage: "what the " + end.name + " end stands in, " + insideUsage})
	}
	return commandline.Group("Each end", list...)
}

// station is what the flags say of every station; the height is checked elsewhere.
func station(c *cli.Context) (linkbudget.Station, error) {
	var s linkbudget.Station
	for _, f := range stationFlags {
		*f.Model(&s) = c.Float64(f.of(""))
	}
	return s, setInside(c, "inside", &s)
}

// linkEnds gives both ends the settings and what their own flags say. Faults of the
// settings, told already, are not told again for each end.
func linkEnds(c *cli.Context, settings linkbudget.Station, valid bool) (a, b linkbudget.Station, err error) {
	if !valid {
		settings = linkbudget.DefaultStation("", settings.HeightM)
	}
	stations := [2]linkbudget.Station{settings, settings}
	var errs []error
	for i, end := range ends {
		s := &stations[i]
		s.Name = strings.ToUpper(end.letter)
		for _, f := range stationFlags {
			if name := f.of(end.letter); c.IsSet(name) {
				*f.Model(s) = c.Float64(name)
			}
		}
		if m := c.Float64(woodFlag.of(end.letter)); m != 0 { // in the place of --inside: both mean the same trees
			s.Surroundings = linkbudget.Surroundings{WoodM: m}
		}
		errs = append(errs, setInside(c, "inside-"+end.letter, s))
		name := "height-" + end.letter + "-m"
		if h := s.HeightM; !(h > 0 && h <= linkbudget.MaxAntennaHeightM) {
			if c.IsSet(name) || !c.IsSet("height-m") {
				errs = append(errs, fmt.Errorf("%s: found %g, allowed above 0 to %d m above ground; give it or --height-m",
					name, h, linkbudget.MaxAntennaHeightM))
			}
			s.HeightM = 1 // told
		}
		errs = append(errs, s.Validate())
	}
	return stations[0], stations[1], errors.Join(errs...)
}

// setInside reads what an antenna stands in, where it is given.
func setInside(c *cli.Context, name string, s *linkbudget.Station) error {
	word := c.String(name)
	if word == "" {
		return nil
	}
	class, err := clutter.Parse(word)
	s.Surroundings.Inside = class
	return wrap(name, err)
}
