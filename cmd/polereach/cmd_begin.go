package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/paulmach/orb"
	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/linkbudget/waypoints"
)

// planFileName is what begin writes.
const planFileName = "plan.geojson"

func beginCommand() *cli.Command {
	return &cli.Command{
		Name:      "begin",
		Usage:     "make a plan of one's own, also of waypoints",
		UsageText: "polereach begin (--from FILE | --at LON,LAT) --band BAND FOLDER [flags]",
		Description: `Example:
   polereach begin --from examples/begin/walk.gpx --band eu868 hills

Makes the folder with plan.geojson, a proposed pole at each place, and
radio.json, the settings that all poles share until the plan says otherwise: the
channel of the band, a plain antenna, how high it stands. Both are text to be
changed; the plan can be drawn on in any GIS. Nothing that is there is replaced.

Waypoints are read from GPX, KML and CSV (columns lon, lat and name).

Exit code: 0 written, 1 failed, 2 usage or bad input.`,
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "from", Usage: "waypoints in a `FILE` of GPX, KML or CSV"},
			&cli.StringFlag{Name: "at", Usage: "`LON,LAT` of a pole"},
			&cli.StringFlag{Name: "band", Usage: "`BAND` whose channel is used and whose rules are shown: " +
				joined(band.Names(), " ", func(b band.Band) string { return string(b) })},
			&cli.Float64Flag{Name: "height-m", Value: 5, Usage: "antennas above ground, `M`"},
		},
		Action: runBegin,
	}
}

func runBegin(c *cli.Context) error {
	places, placesErr := beginningPlaces(c)
	settings, within, bandErr := beginningSettings(c)
	var folderErr error
	if c.NArg() != 1 {
		folderErr = fmt.Errorf("begin: want one folder to make, found %d arguments", c.NArg())
	}
	err := errors.Join(folderErr, placesErr, bandErr, inRange(c, "height-m", 0.1, linkbudget.MaxAntennaHeightM, "m"))
	if err != nil {
		return usage(err)
	}
	folder := c.Args().First()
	planPath, radioPath := filepath.Join(folder, planFileName), filepath.Join(folder, radioFileName)
	for _, path := range []string{planPath, radioPath} {
		if exists(path) {
			return usagef("%s is there already; name another folder", path)
		}
	}
	p := plan.Plan{Source: planPath}
	for _, w := range places {
		p.Stations = append(p.Stations, plan.Station{Name: w.Name, At: w.At, Status: plan.Proposed, Feature: -1})
	}
	text, err := p.GeoJSON()
	if err != nil {
		return usage(err)
	}
	settingsText, err := json.MarshalIndent(settings, "", "  ")
	if err != nil {
		return failed(err)
	}
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return failed(err)
	}
	var set outfile.Set
	defer set.Discard()
	if err := errors.Join(set.Add(radioPath, outfile.Bytes(append(settingsText, '\n'))),
		set.Add(planPath, outfile.Bytes(text))); err != nil {
		return failed(err)
	}
	if err := set.Commit(); err != nil {
		return failed(err)
	}
	_, err = io.WriteString(c.App.Writer, plan.Visible(fmt.Sprintf("%s: proposed poles: %d, %s\n%s: %s, %.7g MHz, SF%d, "+
		"%g kHz, %g dBm, %g dBi, %g m up\nnext:\n  polereach dem get %s\n  polereach plan %s\n", planPath, len(places),
		whereabouts(places), radioPath, settings.Band, settings.FreqMHz, settings.SF, settings.BWkHz, settings.TxDBm,
		settings.GainDBi,
		settings.HeightM, commandline.Quoted(planPath), commandline.Quoted(planPath))))
	if err == nil && !within {
		_, err = fmt.Fprintf(c.App.Writer, "caution: the table of %s has no row that fits these settings; every answer "+
			"will say "+
			"that they are beyond it: find out what is allowed and change %s\n", settings.Band, plan.Visible(radioPath))
	}
	return err
}

// whereabouts tells where the poles lie, so that who exchanged longitude and latitude sees it;
// whoever gets into Antarctica is asked.
func whereabouts(places []waypoints.Waypoint) string {
	var all orb.MultiPoint
	for _, w := range places {
		all = append(all, w.At)
	}
	b := all.Bound()
	text := fmt.Sprintf("longitude %.4f to %.4f, latitude %.4f to %.4f", b.Min.Lon(), b.Max.Lon(), b.Min.Lat(),
		b.Max.Lat())
	if b.Min.Lat() < -60 {
		text += ", in Antarctica: are longitude and latitude exchanged?"
	}
	return text
}

// starter is a settings file to begin with.
type starter struct {
	Band    string  `json:"band"`
	FreqMHz float64 `json:"freq_mhz"`
	BWkHz   float64 `json:"bw_khz"`
	SF      int     `json:"sf"`
	TxDBm   float64 `json:"tx_dbm"`
	GainDBi float64 `json:"gain_dbi"`
	HeightM float64 `json:"height_m"`
}

// beginningSettings are a plain node's, on the channel and with the power that the table of the
// band knows for a fixed frequency; without such a row, within is false, those of any band,
// which every answer then tells to be beyond it.
func beginningSettings(c *cli.Context) (s starter, within bool, err error) {
	s = starter{SF: 9, TxDBm: 14, GainDBi: 2.15, HeightM: c.Float64("height-m")}
	if c.String("band") == "" {
		return s, false, fmt.Errorf("band: give --band, one of: %s", joined(band.Names(), " ", func(b band.Band) string {
			return string(b)
		}))
	}
	chosen, err := band.Parse(c.String("band"))
	if err != nil {
		return s, false, err
	}
	s.Band = string(chosen)
	s.BWkHz = band.DefaultBandwidthHz(chosen) / 1e3
	s.FreqMHz = band.DefaultChannelHz(chosen, s.BWkHz*1e3) / 1e6
	for txDBm := s.TxDBm; txDBm >= 0; txDBm-- {
		report, err := band.Check(chosen, band.Use{FreqHz: s.FreqMHz * 1e6, BWHz: s.BWkHz * 1e3, TxDBm: radio.DBm(txDBm),
			GainDBi: radio.DB(s.GainDBi)})
		if err != nil {
			return s, false, err
		}
		if report.Verdict() == band.Within {
			s.TxDBm = txDBm
			return s, true, nil
		}
	}
	return s, false, nil
}

// beginningPlaces are the waypoints of --from and the places of --at, each with a name of its own.
func beginningPlaces(c *cli.Context) (list []waypoints.Waypoint, err error) {
	if path := c.String("from"); path != "" {
		data, err := readFile(path)
		if err == nil {
			list, err = waypoints.Read(data)
		}
		if err != nil {
			return nil, errors.New(path + ": " + strings.ReplaceAll(err.Error(), "\n", "\n"+path+": "))
		}
	}
	if text := c.String("at"); text != "" {
		at, atErr := coordinate("at", text)
		list, err = append(list, waypoints.Waypoint{At: at}), atErr
	}
	if len(list) == 0 && err == nil {
		err = errors.New("give the places of poles: --from FILE with waypoints, or --at LON,LAT")
	}
	names := map[string]bool{}
	for i := range list {
		w := &list[i]
		name := strings.Join(strings.Fields(w.Name), " ")
		if name == "" {
			name = fmt.Sprintf("Pole %d", i+1)
		}
		w.Name = name
		for n := 2; names[strings.ToLower(w.Name)]; n++ {
			w.Name = fmt.Sprintf("%s (%d)", name, n)
		}
		names[strings.ToLower(w.Name)] = true
	}
	return list, err
}
