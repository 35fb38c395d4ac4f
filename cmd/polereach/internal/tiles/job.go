package tiles

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"golang.org/x/sync/errgroup"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/cmd/polereach/internal/download"
)

// mostTileB is more than any distribution needs for a degree.
const mostTileB = 256 << 20

// atOnce is how many tiles are fetched at the same time; open services ask for few.
const atOnce = 2

// Defaults of [Job].
const (
	DefaultWait  = time.Second
	DefaultStall = 30 * time.Second
)

// Job brings the tiles of one distribution into a folder.
type Job struct {
	From   Distribution
	Folder string
	// Check reads a file of terrain whole and tells the box of its posts, degrees; its error refuses the tile.
	Check func(path string) (orb.Bound, error)
	// Wait is the time before the second try, doubled before each further one; Stall is how
	// long nothing may come before a try is given up. 0: the defaults.
	Wait, Stall time.Duration
}

// Found is what is known of the tiles before any is fetched.
type Found struct {
	Wanted  []Tile
	Here    map[Tile]string // files that are in the folder
	Absent  []Tile          // the distribution has none: sea, or ground not surveyed
	Beyond  []Tile          // outside the latitudes of the distribution
	Missing []Tile          // to be fetched
	Bytes   int64           // of them, as far as told
	Untold  int             // of them without a size
}

// Look finds out which tiles are to be fetched and how large they are.
func (j Job) Look(ctx context.Context, wanted []Tile) (Found, error) {
	f := Found{Wanted: wanted, Here: map[Tile]string{}}
	entries, err := os.ReadDir(j.Folder)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return f, err
	}
	var ask []Tile
	for _, t := range wanted {
		switch name := fileOf(entries, t); {
		case name != "":
			f.Here[t] = name
		case !j.From.covers(t):
			f.Beyond = append(f.Beyond, t)
		default:
			ask = append(ask, t)
		}
	}
	sizes, absent := make([]int64, len(ask)), make([]bool, len(ask))
	err = each(ctx, ask, func(ctx context.Context, i int) error {
		address, err := url.Parse(j.From.address(ask[i]))
		if err == nil {
			sizes[i], err = download.SizeB(ctx, address, j.options(nil))
		}
		if absent[i] = errors.Is(err, download.ErrAbsent); absent[i] {
			return nil
		}
		return err
	})
	for i, t := range ask {
		switch {
		case absent[i]:
			f.Absent = append(f.Absent, t)
			continue
		case sizes[i] < 0:
			f.Untold++
		default:
			f.Bytes += sizes[i]
		}
		f.Missing = append(f.Missing, t)
	}
	return f, err
}

// fileOf is the terrain of a tile that lies in the folder, whatever distribution it is of.
func fileOf(entries []os.DirEntry, t Tile) string {
	for _, e := range entries {
		name := strings.ToUpper(e.Name())
		if strings.HasPrefix(name, ".") || strings.HasSuffix(name, ".TXT") || e.IsDir() {
			continue
		}
		if strings.Contains(name, t.String()) || strings.Contains(name, t.lat()+"_00_"+t.lon()+"_00") {
			return e.Name()
		}
	}
	return ""
}

// Fetch brings the missing tiles. Those that came whole stay, also if others fail or ctx
// ends. arrived is told of bytes as they come, stored of each tile in place; neither may
// be nil and both may be called from several goroutines, one at a time.
func (j Job) Fetch(ctx context.Context, missing []Tile, arrived func(bytes int64), stored func(Tile)) error {
	if len(missing) == 0 {
		return nil
	}
	if err := os.MkdirAll(j.Folder, 0o777); err != nil {
		return err
	}
	j.sweep()
	beside, err := os.MkdirTemp(j.Folder, besideName)
	if err != nil {
		return err
	}
	defer os.RemoveAll(beside)
	var one sync.Mutex
	return each(ctx, missing, func(ctx context.Context, i int) error {
		t := missing[i]
		address, err := url.Parse(j.From.address(t))
		if err != nil {
			return err
		}
		data, err := download.Get(ctx, address, j.options(func(change int64) {
			one.Lock()
			defer one.Unlock()
			arrived(change)
		}))
		if err != nil {
			return err
		}
		if j.From.mend != nil {
			if data, err = j.From.mend(t, data); err != nil {
				return fmt.Errorf("what came is no tile: %w", err)
			}
		}
		one.Lock()
		defer one.Unlock()
		if err := j.store(beside, t, data, address); err != nil {
			return err
		}
		stored(t)
		return nil
	})
}

// store puts a tile in place once it has been read.
func (j Job) store(beside string, t Tile, data []byte, from *url.URL) error {
	path := filepath.Join(beside, j.From.file(t))
	if err := os.WriteFile(path, data, 0o666); err != nil {
		return err
	}
	e, err := j.Check(path)
	if err != nil {
		return fmt.Errorf("what came is no tile: %w", errors.New(strings.ReplaceAll(err.Error(), beside+"/", "")))
	}
	const slack = 0.01 // degrees; posts of some products lie half a step inside
	side := j.From.side()
	if e.Min.Lon() > float64(t.LonDeg)+slack || e.Max.Lon() < float64(t.LonDeg+side)-slack ||
		e.Min.Lat() > float64(t.LatDeg)+slack || e.Max.Lat() < float64(t.LatDeg+side)-slack {
		return fmt.Errorf("what came lies at %g to %g E, %g to %g N", e.Min.Lon(), e.Max.Lon(), e.Min.Lat(),
			e.Max.Lat())
	}
	if err := j.credit(t, data, from); err != nil {
		return err
	}
	return os.Rename(path, filepath.Join(j.Folder, j.From.file(t)))
}

// besideName begins the hidden folders in which tiles arrive.
const besideName = ".polereach-fetch-"

// sweep removes what killed runs left: folders that nothing was put into for an hour.
func (j Job) sweep() {
	entries, _ := os.ReadDir(j.Folder)
	for _, e := range entries {
		info, err := e.Info()
		if err == nil && e.IsDir() && strings.HasPrefix(e.Name(), besideName) && time.Since(info.ModTime()) > time.Hour {
			os.RemoveAll(filepath.Join(j.Folder, e.Name()))
		}
	}
}

// options are those of every transfer.
func (j Job) options(arrived func(int64)) download.Options {
	return download.Options{MostB: mostTileB, Tries: 5, Wait: cmp.Or(j.Wait, DefaultWait),
		Stall: cmp.Or(j.Stall, DefaultStall), Arrived: arrived}
}

// each does something with all tiles, two at a time, also if some fail.
func each(ctx context.Context, list []Tile, do func(ctx context.Context, i int) error) error {
	var group errgroup.Group
	group.SetLimit(atOnce)
	errs := make([]error, len(list))
	for i := range list {
		group.Go(func() error {
			if errs[i] = ctx.Err(); errs[i] == nil {
				errs[i] = do(ctx, i)
			}
			return nil
		})
	}
	group.Wait()
	if err := ctx.Err(); err != nil {
		return err
	}
	// What befell several tiles alike is told once.
	var told []error
	alike := map[string][]string{}
	for i, err := range errs {
		if err == nil {
			continue
		}
		text := err.Error()
		if alike[text] == nil {
			told = append(told, err)
		}
		alike[text] = append(alike[text], list[i].String())
	}
	for i, err := range told {
		told[i] = fmt.Errorf("%s: %w", strings.Join(alike[err.Error()], ", "), err)
	}
	return errors.Join(told...)
}
