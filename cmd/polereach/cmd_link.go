package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/paulmach/orb"
	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/linkbudget/report/picture"
	"github.com/polereach/polereach/terrain"
)

func linkCommand() *cli.Command {
	flags := append(endFlags(),
		&cli.StringFlag{Name: "ground", Usage: "the path's ground from `FILE` in the place of coordinates and terrain: " +
			"CSV with " +
			"the columns dist_m, ground_m and perhaps top_m, the top of what stands there; how well it is known is " +
			"--dem-error-m"},
		&cli.StringFlag{Name: "plan", Usage: "the plan `FILE` whose Polygons say what stands on the ground"},
		&cli.BoolFlag{Name: "profile", Usage: "add the sampled path to JSON"},
		pictureFlag("the section of the path"),
		strictRulesFlag(),
	)
	return &cli.Command{
		Name:      "link",
		Usage:     "does one path between two coordinates close?",
		UsageText: "polereach link LON,LAT LON,LAT --height-m M [flags]\npolereach link --ground FILE --height-m M [flags]",
		Description: `Example:
   polereach link -84.2405,36.5565 -84.1500,36.6500 --height-m 8 --freq-mhz 915 --dem examples/cumberland/dem

--format csv gives a row for the path; site, link and plan have the same columns.

Exit code: 0 it reaches, 1 failed, 2 usage or bad input, 3 it does not reach,
4 terrain missing.`,
		Flags: append(append(append(flags, radioFlags()...), terrainFlags()...), append(outputFlags(linkFormats),
			cautionsFlag())...),
		Action: runLink,
	}
}

func runLink(c *cli.Context) error {
	radioErr := applyRadioFile(c, "")
	path, pathErr := linkPath(c)
	path.plan = &plan.Plan{}
	var planErr error
	if file := c.String("plan"); file != "" {
		path.plan, planErr = readPlan(c, file)
	}
	s, settingsErr := settings(c)
	a, b, endsErr := linkEnds(c, s.Station, settingsErr == nil)
	chosen, _ := chooseBand(c) // settings told its faults
	_, pictureErr := pictureFormat(c)
	if err := errors.Join(radioErr, pathErr, planErr, settingsErr, endsErr, pictureErr); err != nil {
		return usage(err)
	}
	s.Cover = path.plan.CoverText(s.Cover)
	opt := mesh.SiteOptions{Settings: s, Band: chosen, PacketsPerHour: c.Float64("packets-per-hour"), OwnModem: true}
	one := report.Link{A: a, B: b, AtA: path.a, AtB: path.b, Settings: s, Date: now(), WithProfile: c.Bool("profile")}
	var err error
	if one.PathCheck, one.Warnings, err = path.check(c, a, b, opt); err != nil {
		return err
	}
	var files outfile.Set
	defer files.Discard()
	err = addPicture(c, &files, func(w io.Writer, format string) error {
		return picture.Path(w, format, &one.Profile, &one.Result, s.Environment.FreqHz)
	})
	if err != nil {
		return err
	}
	err = emitWith(c, &files, func(w io.Writer) error {
		return asked(c, report.LinkText, report.LinkJSON, report.LinkCSV)(w, one)
	})
	if err != nil {
		return err
	}
	return verdictError(one.Result.Verdict, false, c.Bool("strict-rules") && one.BeyondRules())
}

// givenPath is what link looks at: two places over the terrain, or ground of one's own.
type givenPath struct {
	a, b   orb.Point
	ground *terrain.Profile
	plan   *plan.Plan // of what stands on the ground
}

// linkPath reads the coordinates or the file of --ground, all faults at once.
func linkPath(c *cli.Context) (givenPath, error) {
	file := c.String("ground")
	if file == "" {
		if meant := commandline.Numbers(strings.Join(c.Args().Slice(), ";"), 4); c.NArg() == 4 && meant != nil {
			return givenPath{}, fmt.Errorf("link: found 4 arguments, want LON,LAT LON,LAT: write %s,%s %s,%s", meant[0],
				meant[1], meant[2], meant[3])
		}
		if c.NArg() != 2 {
			return givenPath{},
				fmt.Errorf("link: want two coordinates LON,LAT LON,LAT, or --ground FILE, found %d arguments; "+
					"paths between poles of a plan: polereach site --pole NAME PLAN", c.NArg())
		}
		a, errA := coordinate("first end", c.Args().Get(0))
		b, errB := coordinate("second end", c.Args().Get(1))
		if errA == nil && errB == nil && a == b {
			errB = fmt.Errorf("both ends are at %g,%g", a.Lon(), a.Lat())
		}
		return givenPath{a: a, b: b}, errors.Join(errA, errB)
	}
	var errs []error
	if c.NArg() != 0 {
		errs = append(errs, fmt.Errorf("ground: found %d arguments beside it; the ends are those of the file: "+
			"give no coordinates", c.NArg()))
	}
	for _, name := range []string{"dem", "fill-voids-m", "plan"} {
		if c.IsSet(name) {
			errs = append(errs, fmt.Errorf("%s: found beside --ground, which is all the ground of the path; give one", name))
		}
	}
	profile, err := readGround(file)
	if coverGiven(c) {
		errs = append(errs,
			errors.New("cover: rasters found beside --ground, which has no places; give a class, or top_m in the file"))
	} else if err == nil && profile.TopM != nil && c.String("cover") != "" {
		err = fmt.Errorf("cover: found beside top_m of %s, which says what stands there; give one", file)
	}
	return givenPath{ground: &profile}, errors.Join(append(errs, err)...)
}

// readGround reads a profile; every fault of it begins with the name of the file.
func readGround(file string) (terrain.Profile, error) {
	return readFrom("ground", file, func(r io.Reader) (terrain.Profile, error) {
		profile, err := terrain.ReadProfile(r)
		if err != nil {
			err = errors.New(strings.ReplaceAll(err.Error(), "\n", "\n"+file+": "))
		}
		return profile, err
	})
}

// check answers for the path, and says which terrain is missing.
func (p givenPath) check(c *cli.Context, a, b linkbudget.Station,
	opt mesh.SiteOptions) (mesh.PathCheck, []string, error) {
	if p.ground != nil {
		checked, err := mesh.CheckProfile(*p.ground, a, b, opt)
		if err != nil {
			err = computeError("link", err)
		}
		return checked, nil, err
	}
	dem, err := openDEM(c, ".", p.plan)
	if err != nil {
		return mesh.PathCheck{}, nil, err
	}
	checked, err := mesh.CheckPath(c.Context, a, b, p.a, p.b, dem, opt)
	if err != nil {
		return checked, nil, computeError("link", err)
	}
	if checked.Verdict != linkbudget.Unknown {
		return checked, nil, nil
	}
	var gaps []orb.Point
	for _, g := range checked.Gaps {
		gaps = append(gaps, g.Place)
	}
	lacking(c, dem, "", gaps)
	missing, err := missingGround(dem, []namedPlace{{"A", p.a}, {"B", p.b}})
	if g := checked.Gaps[0]; err == nil && len(missing) == 0 && g.FromM > 0 && g.Place != (orb.Point{}) {
		missing, err = missingGround(dem, []namedPlace{{fmt.Sprintf("the path %.2f km from A", g.FromM/1000), g.Place}})
	}
	return checked, missing, err
}

type namedPlace struct {
	what string
	at   orb.Point
}

type namedPlaces []namedPlace

func (list namedPlaces) at() (at []orb.Point) {
	for _, place := range list {
		at = append(at, place.at)
	}
	return at
}

// missingGround says of each place whose ground is unknown what is missing there.
func missingGround(dem terrain.DEM, places []namedPlace) (list []string, err error) {
	for _, place := range places {
		text, err := plan.MissingGround(dem, place.what, place.at)
		if err != nil {
			return nil, failed(err)
		}
		if text != "" {
			list = append(list, text)
		}
	}
	return list, nil
}
