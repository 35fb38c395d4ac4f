package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/plan"
)

// stationFlag is a number of a station by its key in plans: a flag for all that state
// none, and for each end of link.
type stationFlag struct {
	plan.Key
	ownOnly bool // of the ends of link alone
}

var stationFlags = flagsOf("height_m", "tx_dbm", "gain_dbi", "feed_loss_db", "hardware_db", "wood_m")

func flagsOf(keys ...string) (list []stationFlag) {
	for _, k := range plan.Keys() {
		if k.Feature == "Point" && slices.Contains(keys, k.Name) {
			list = append(list, stationFlag{k, k.Name == "wood_m"})
		}
	}
	return list
}

// flag is the one for all stations; its value is that of DefaultStation.
func (f stationFlag) flag(of string) *cli.Float64Flag {
	s := linkbudget.DefaultStation("", 0)
	return &cli.Float64Flag{Name: f.of(""), Value: *f.Model(&s), Usage: f.usage() + of}
}

func (f stationFlag) usage() string { return f.Doc + ", `" + strings.ToUpper(f.Limits.Unit) + "`" }

func (f stationFlag) set(s *linkbudget.Station, v float64) {
	if f.Name == "wood_m" && v != 0 { // in the place of --inside: both mean the same trees
		s.Surroundings = linkbudget.Surroundings{}
	}
	*f.Model(s) = v
}

// radiatedFlags are what a band's rules ask of a station where there is none.
func radiatedFlags() (list []cli.Flag) {
	for _, f := range flagsOf("tx_dbm", "gain_dbi", "feed_loss_db") {
		list = append(list, f.flag(" for --band"))
	}
	return list
}

// radiatedStation is what radiatedFlags say.
func radiatedStation(c *cli.Context) (s linkbudget.Station, err error) {
	for _, f := range flagsOf("tx_dbm", "gain_dbi", "feed_loss_db") {
		name := f.of("")
		f.set(&s, c.Float64(name))
		err = errors.Join(err, f.Limits.Check(name, c.Float64(name)))
	}
	return s, err
}

// of is the name of the flag of one end, such as feed-loss-a-db, or of all with "".
func (f stationFlag) of(end string) string {
	name := strings.ReplaceAll(f.Name, "_", "-")
	if i := strings.LastIndexByte(name, '-'); end != "" {
		return name[:i] + "-" + end + name[i:]
	}
	return name
}

const insideUsage = "`WORD` free (looked at: nothing rises near), open, suburban, wood, urban or dense_urban"

// allStationFlags are for stations that state nothing themselves.
func allStationFlags() []cli.Flag {
	list := []cli.Flag{&cli.StringFlag{Name: "inside", DefaultText: "open country, assumed",
		Usage: "what antennas stand in of which nothing is said, " + insideUsage}}
	for _, f := range stationFlags {
		if !f.ownOnly {
			list = append(list, f.flag(", for stations that state none"))
		}
	}
	return list
}

// ends are those of link by the letter in their flags.
var ends = [2]struct{ letter, name string }{{"a", "first"}, {"b", "second"}}

// endFlags are those of each end of link.
func endFlags() []cli.Flag {
	var list []cli.Flag
	for _, end := range ends {
		for _, f := range stationFlags {
			otherwise := "--" + f.of("")
			if f.ownOnly {
				otherwise = "0"
			}
			list = append(list, &cli.Float64Flag{Name: f.of(end.letter), DefaultText: otherwise,
				Usage: "at the " + end.name + " end: " + f.usage()})
		}
		list = append(list, &cli.StringFlag{Name: "inside-" + end.letter, DefaultText: "--inside",
			Usage: "what the " + end.name + " end stands in, " + insideUsage})
	}
	return list
}

// station is what the flags say of every station; the height is checked elsewhere.
func station(c *cli.Context) (linkbudget.Station, error) {
	var s linkbudget.Station
	for _, f := range stationFlags {
		if !f.ownOnly {
			f.set(&s, c.Float64(f.of("")))
		}
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
				f.set(s, c.Float64(name))
			}
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
