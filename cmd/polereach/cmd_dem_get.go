package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/paulmach/orb"
	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/tiles"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/landcover"
)

// mostTilesAtOnce is a bound on what one run fetches: open services ask for restraint.
const mostTilesAtOnce = 100

func demGetCommand() *cli.Command {
	var known []string
	for _, d := range tiles.Distributions {
		known = append(known, fmt.Sprintf("   %-6s  %s", d.Word, d.Title))
	}
	return &cli.Command{
		Name:      "get",
		Usage:     "fetch the terrain tiles that a plan or a place needs",
		UsageText: "polereach dem get [PLAN | --at LON,LAT | --box W,S,E,N] [flags]",
		Description: `Example:
   polereach dem get --list examples/cumberland/plan.geojson

Goes to the network, as no other command but "sun get" does without
--allow-remote. It asks an open
distribution, which needs no account, for the tiles of one degree around every
station of the plan, and puts them into the folder dem beside the plan, where
every command finds them, with a file of their origin and terms. Each tile is
read before it is put in place. Tiles that lie there already are left alone; a
run that was interrupted goes on where it ended.

` + strings.Join(known, "\n") + `

With --cover it brings what stands on the ground instead, woods, houses, fields,
into the folder cover: ` + tiles.Cover.Title + `
(` + tiles.Cover.Licence + `), tiles of three degrees and up to 150 MB each. Other commands take the
folder by --cover FOLDER.

A tile that a distribution does not have is told: it may be sea, or ground that
was not surveyed. It stays unknown.

Exit code: 0 all there, 1 failed, 2 usage or bad input, 4 some tiles do not exist.`,
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "at", Usage: "`LON,LAT` of a place instead of a plan"},
			&cli.StringFlag{Name: "box", Usage: "`WEST,SOUTH,EAST,NORTH` in degrees instead of a plan"},
			&cli.Float64Flag{Name: "radius-km", Value: 20,
				Usage: "ground around every station or the place, `KM`, 0 to 500"},
			&cli.BoolFlag{Name: "cover", Usage: "fetch what stands on the ground"},
			&cli.StringFlag{Name: "from", DefaultText: tiles.Distributions[0].Word,
				Usage: "distribution, `WORD`, or an address with " +
					"{tile} for N36W085, or {lat} and {lon}"},
			&cli.StringFlag{Name: "into", Usage: "`FOLDER` for the tiles",
				DefaultText: "dem, or cover, beside the plan, or here"},
			&cli.BoolFlag{Name: "list", Usage: "only say what would be fetched"},
			&cli.Float64Flag{Name: "stall-s", Value: 30, Usage: "try again when nothing came for so long, `S`, 1 to 600"},
		},
		Action: runDEMGet,
	}
}

func runDEMGet(c *cli.Context) error {
	wanted, folder, err := wantedTiles(c)
	choose, check := tiles.Choose, wholeTile
	word := cmp.Or(c.String("from"), tiles.Distributions[0].Word)
	if c.Bool("cover") {
		choose, check, word = tiles.ChooseCover, wholeCover, c.String("from")
	}
	from, fromErr := choose(word)
	wanted = from.Of(wanted)
	err = errors.Join(err, wrap("from", fromErr), inRange(c, "stall-s", 1, 600, ""), inRange(c, "radius-km", 0, 500,
		"km"))
	if err == nil && len(wanted) > mostTilesAtOnce {
		err = fmt.Errorf("%d tiles would be needed, allowed %d at once: choose a smaller radius or box", len(wanted),
			mostTilesAtOnce)
	}
	if err != nil {
		return usage(err)
	}
	job := tiles.Job{From: from, Folder: folder, Check: func(path string) (orb.Bound, error) { return check(c, path) },
		Stall: time.Duration(c.Float64("stall-s") * float64(time.Second))}
	say := func(format string, args ...any) { fmt.Fprintf(c.App.ErrWriter, format, args...) }
	say("%s\nlicence: %s\ncredit: %s\n", from.Title, from.Licence, from.Credit)
	found, err := job.Look(c.Context, wanted)
	if err != nil && c.Context.Err() == nil {
		lacks := slices.DeleteFunc(slices.Clone(wanted), func(t tiles.Tile) bool { return found.Here[t] != "" })
		err = fmt.Errorf("%w\nneeded are %s: try again or another --from, or put files of these tiles into the folder %s",
			err, joined(lacks, ", ", tiles.Tile.String), folder)
	}
	if err != nil {
		return failed(err)
	}
	say("%s\n", sizeOf(found))
	if !c.Bool("list") {
		if err := fetchTiles(c, job, found); err != nil {
			return failed(err)
		}
	}
	if _, err := io.WriteString(c.App.Writer, toldTiles(c, found, from, folder)); err != nil {
		return failed(err)
	}
	if len(found.Absent)+len(found.Beyond) > 0 {
		return &exitError{code: exitUnjudged}
	}
	return nil
}

// wantedTiles are those of the plan, the place or the box, and the folder for them.
func wantedTiles(c *cli.Context) (list []tiles.Tile, folder string, err error) {
	at, edges := c.String("at"), c.String("box")
	given := c.NArg()
	for _, s := range []string{at, edges} {
		if s != "" {
			given++
		}
	}
	if given != 1 {
		return nil, "", errors.New("give one of a plan, --at LON,LAT and --box WEST,SOUTH,EAST,NORTH")
	}
	name := map[bool]string{false: demFolderName, true: coverFolderName}[c.Bool("cover")]
	folder = name
	var places []orb.Point
	switch {
	case at != "":
		places = make([]orb.Point, 1)
		places[0], err = coordinate("at", at)
	case edges != "":
		b, boxErr := box("box", edges)
		if err = boxErr; err == nil {
			list = tiles.Within(*b)
		}
	default:
		p, planErr := onePlan(c)
		if planErr != nil {
			return nil, "", planErr
		}
		folder = filepath.Join(filepath.Dir(p.Source), name)
		for _, s := range p.Stations {
			places = append(places, s.At)
		}
		for _, a := range p.Areas {
			for _, ring := range a.Polygon {
				places = append(places, ring...)
			}
		}
		if len(places) == 0 {
			err = errors.New("the plan has no stations and no ground to search: give --at or --box")
		}
	}
	if places != nil && err == nil {
		list = tiles.Around(places, c.Float64("radius-km")*1000)
	}
	if into := c.String("into"); into != "" {
		folder = into
	}
	return list, folder, err
}

// wholeTile reads a file of terrain from its first to its last post.
func wholeTile(c *cli.Context, path string) (orb.Bound, error) {
	files, err := openTerrain(c, []string{path})
	if err != nil {
		return orb.Bound{}, err
	}
	s, err := summarise(c.Context, files)
	return s.Extent.Bound, err
}

// wholeCover is wholeTile for what stands on the ground.
func wholeCover(c *cli.Context, path string) (orb.Bound, error) {
	files, err := terrainOpener(c, terrain.OpenCodes).all([]string{path})
	if err != nil {
		return orb.Bound{}, err
	}
	s, err := summarise(c.Context, files)
	if err == nil && s.Voids < s.Looked && (s.LowestM < 0 || s.HighestM > 100) {
		err = fmt.Errorf("codes of %g to %g, allowed %s, and 0 for unknown", s.LowestM, s.HighestM, landcover.Codes())
	}
	return s.Extent.Bound, err
}

func sizeOf(f tiles.Found) string {
	text := fmt.Sprintf("tiles: %d needed, %d there already, %d to fetch", len(f.Wanted), len(f.Here), len(f.Missing))
	if len(f.Missing) > f.Untold {
		text += fmt.Sprintf(", %.1f MB", float64(f.Bytes)/1e6)
	}
	if f.Untold > 0 {
		text += fmt.Sprintf(", %d of unknown size", f.Untold)
	}
	return text
}

// fetchTiles draws a bar of bytes on a terminal.
func fetchTiles(c *cli.Context, job tiles.Job, found tiles.Found) error {
	update, clear := progress(c.App.ErrWriter, "bytes")
	defer clear()
	var come int64
	err := job.Fetch(c.Context, found.Missing, func(change int64) {
		come += change
		if update != nil && found.Untold == 0 && found.Bytes < math.MaxInt32 {
			update(int(min(come, found.Bytes)), int(found.Bytes))
		}
	}, func(t tiles.Tile) {
		if update == nil {
			fmt.Fprintf(c.App.ErrWriter, "%v\n", t)
		}
	})
	if errors.Is(err, context.Canceled) {
		return interrupted{"the tiles that came whole are in " + job.Folder}
	}
	return err
}

// toldTiles is the answer: a line a tile.
func toldTiles(c *cli.Context, f tiles.Found, from tiles.Distribution, folder string) string {
	var b strings.Builder
	state := map[tiles.Tile]string{}
	for t, name := range f.Here {
		state[t] = "there already: " + filepath.Join(folder, name)
	}
	for _, t := range f.Missing {
		state[t] = map[bool]string{false: "fetched", true: "to be fetched"}[c.Bool("list")]
	}
	for _, t := range f.Absent {
		state[t] = "does not exist there: sea, or ground not surveyed; it stays unknown"
	}
	for _, t := range f.Beyond {
		state[t] = fmt.Sprintf("outside of latitudes %d to %d, which %s has; try --from glo30", from.SouthDeg,
			from.NorthDeg, from.Word)
	}
	for _, t := range f.Wanted {
		fmt.Fprintf(&b, "%v  %s\n", t, plan.Visible(state[t]))
	}
	return b.String()
}
