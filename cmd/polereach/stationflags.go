package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
)

// stationFlag is a number of a station: a flag for all that state none, and for
// each end of link.
type stationFlag struct {
	name, usage string
	value       float64 // default
	set         func(s *linkbudget.Station, v float64)
	ownOnly     bool // of the ends of link alone
}

var stationFlags = []stationFlag{
	{name: "height-m", usage: "antenna above ground, `M`", set: func(s *linkbudget.Station, v float64) { s.HeightM = v }},
	{name: "tx-dbm", usage: "transmitter output, `DBM`", value: 14,
		set: func(s *linkbudget.Station, v float64) { s.TxDBm = linkbudget.DBm(v) }},
	{name: "gain-dbi", usage: "antenna gain, `DBI`", value: 2.15,
		set: func(s *linkbudget.Station, v float64) { s.Antenna.PeakDBi = linkbudget.DB(v) }},
	{name: "feed-loss-db", usage: "cable and connectors, `DB`",
		set: func(s *linkbudget.Station, v float64) { s.FeedLossDB = linkbudget.DB(v) }},
	{name: "hardware-db", usage: "lost between data sheets and a real node, each way, `DB`",
		value: float64(linkbudget.DefaultHardwareDB),
		set:   func(s *linkbudget.Station, v float64) { s.HardwareDB = linkbudget.DB(v) }},
	{name: "wood-m", usage: "wood in front of the antenna, `M`", ownOnly: true, set: func(s *linkbudget.Station, v float64) {
		if v != 0 { // in the place of --inside: both mean the same trees
			s.Surroundings = linkbudget.Surroundings{WoodM: v}
		}
	}},
}

// of is the name of the flag of one end: feed-loss-db, feed-loss-a-db.
func (f stationFlag) of(end string) string {
	i := strings.LastIndexByte(f.name, '-')
	return f.name[:i] + "-" + end + f.name[i:]
}

const insideUsage = "`WORD` free (looked at: nothing rises near), open, suburban, wood, urban or dense_urban"

// allStationFlags are for stations that state nothing themselves.
func allStationFlags() []cli.Flag {
	list := []cli.Flag{&cli.StringFlag{Name: "inside", DefaultText: "open country, assumed",
		Usage: "what antennas stand in of which nothing is said, " + insideUsage}}
	for _, f := range stationFlags {
		if !f.ownOnly {
			list = append(list, &cli.Float64Flag{Name: f.name, Value: f.value, Usage: f.usage + ", for stations that state none"})
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
			otherwise := "--" + f.name
			if f.ownOnly {
				otherwise = "0"
			}
			list = append(list, &cli.Float64Flag{Name: f.of(end.letter), DefaultText: otherwise,
				Usage: "at the " + end.name + " end: " + f.usage})
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
			f.set(&s, c.Float64(f.name))
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
