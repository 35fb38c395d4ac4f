package terrain

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/geotiff"
)

// Source is a tile not yet loaded: only its lattice is known, from its name or
// its header.
type Source struct {
	// Name is the path of the file inside the file system it was found in.
	Name string
	// Lattice is where the posts lie.
	Lattice Lattice
	// Format names the file format, CRS and VerticalCRS the coordinate systems and Surface
	// the kind of model, as in a Summary; they may be empty.
	Format, CRS, VerticalCRS, Surface string
	// Part counts from 0 the sources that one large file is served as; all have its name.
	Part int
	// Load reads the heights. It opens and closes the file itself and may be
	// called more than once and from several goroutines.
	Load func() (*Grid, error)
	// LoadBytes reads a part of a raster of bytes, cells that begin at a column and a row, as they are
	// stored, row by row from the north, and tells which number stands for none, -1 for no one. As
	// Load, but for a raster of another kind it is nil.
	LoadBytes func(col, row, cols, rows int) (cells []uint8, void int, err error)
}

// ErrNotBuiltIn is behind the errors about terrain that the readers of this
// package do not take but package terrain/gdal may: another format, or a grid
// in projected coordinates.
var ErrNotBuiltIn = geotiff.ErrRefused

// errChanged is that of a file that is not the one that was opened.
var errChanged = errors.New("changed since it was opened")

// inFile opens a file and lets read have it and its size. Errors name the file.
func inFile[T any](fsys fs.FS, name string, read func(f fs.File, size int64) (T, error)) (T, error) {
	var none T
	f, err := fsys.Open(name)
	if err != nil {
		return none, fmt.Errorf("terrain: %w", err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return none, fmt.Errorf("terrain: %w", err)
	}
	out, err := read(f, info.Size())
	if err != nil {
		return none, fmt.Errorf("terrain: %s: %w", name, err)
	}
	return out, nil
}

// accepted names the built-in formats in messages.
const accepted = ".hgt, .hgt.gz and .hgt.zip (SRTM tiles named like N36W085), .tif (GeoTIFF in degrees) and .asc " +
	"(ESRI ASCII grid in degrees); other formats need a build with -tags gdal"

// openers maps the end of a file name, lower case, to its reader. The longer
// end comes first.
var openers = []struct {
	suffix string
	open   opener
}{
	{".hgt", single(openHGT)},
	{".hgt.zip", single(openHGTZip)},
	{".hgt.gz", single(openHGTGzip)},
	{".asc", single(openASCIIGrid)},
	{".tif", openGeoTIFF},
	{".tiff", openGeoTIFF},
	{".gtiff", openGeoTIFF},
}

// opener reads the head of a file.
type opener func(fsys fs.FS, name string) ([]Source, error)

// single is the opener of a format whose files hold one tile.
func single(open func(fs.FS, string) (Source, error)) opener {
	return func(fsys fs.FS, name string) ([]Source, error) {
		s, err := open(fsys, name)
		if err != nil {
			return nil, err
		}
		return []Source{s}, nil
	}
}

// openerOf returns the reader for a file name, nil if no reader takes it.
func openerOf(name string, codes bool) opener {
	lower := strings.ToLower(name)
	for _, o := range openers {
		if strings.HasSuffix(lower, o.suffix) {
			if codes && strings.Contains(o.suffix, "tif") {
				return openCodes
			}
			return o.open
		}
	}
	if _, named := cornerOf(name); named && strings.HasSuffix(lower, ".zip") {
		return single(openHGTZip) // N36W085.zip
	}
	return nil
}

// OpenSources finds the tiles behind a name: one file, or a folder whose files are all looked at
// ("." is the root of fsys; folders inside are not entered). The sources are sorted by name. Files
// in a folder that are no terrain, or none for these readers, are passed over; a broken tile is an
// error, and all of them are reported together. If there is no tile at all the error says what was
// found and what is accepted, and wraps ErrNotBuiltIn. All of them are [ErrRead]; no file system is
// [fault.ErrInput].
func OpenSources(fsys fs.FS, name string) ([]Source, error) { return open(fsys, name, false) }

// OpenCodes is OpenSources for rasters whose numbers are no heights of ground but may be codes of
// classes, as what stands on it: also those that stand for colours of a list.
func OpenCodes(fsys fs.FS, name string) ([]Source, error) { return open(fsys, name, true) }

func open(fsys fs.FS, name string, codes bool) ([]Source, error) {
	if fsys == nil {
		return nil, fault.Input("terrain: no file system given")
	}
	sources, err := openSources(fsys, name, codes)
	return sources, unread(err)
}

func openSources(fsys fs.FS, name string, codes bool) ([]Source, error) {
	info, err := fs.Stat(fsys, name)
	if err != nil {
		return nil, fmt.Errorf("terrain: %w", err)
	}
	if info.IsDir() {
		return openFolder(fsys, name, codes)
	}
	open := openerOf(name, codes)
	if open == nil {
		return nil, fmt.Errorf("terrain: %s: %w; accepted: %s", name, ErrNotBuiltIn, accepted)
	}
	return open(fsys, name)
}

// openFolder opens every tile directly inside a folder.
func openFolder(fsys fs.FS, folder string, codes bool) ([]Source, error) {
	entries, err := fs.ReadDir(fsys, folder)
	if err != nil {
		return nil, fmt.Errorf("terrain: %w", err)
	}
	var (
		sources []Source
		errs    []error
		refused []error
		others  []string
	)
	for _, e := range entries {
		open := openerOf(e.Name(), codes)
		hidden := strings.HasPrefix(e.Name(), ".") // "._N36W085.hgt" is a shadow some systems leave, no tile
		switch {
		case e.IsDir():
			others = append(others, e.Name()+"/")
		case hidden || open == nil:
			others = append(others, e.Name())
		default:
			found, err := open(fsys, path.Join(folder, e.Name()))
			if errors.Is(err, ErrNotBuiltIn) {
				others, refused, err = append(others, e.Name()), append(refused, err), nil
			}
			sources, errs = append(sources, found...), append(errs, err)
		}
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	if len(sources) == 0 {
		return nil, errors.Join(append(refused, fmt.Errorf("terrain: folder %s: no tile in it, found %s: %w; accepted: %s",
			folder, shortList(others), ErrNotBuiltIn, accepted))...)
	}
	slices.SortStableFunc(sources, func(a, b Source) int { return strings.Compare(a.Name, b.Name) })
	return sources, nil
}

// shortList names up to eight things, and how many more there are.
func shortList(names []string) string {
	const most = 8
	switch {
	case len(names) == 0:
		return "nothing"
	case len(names) > most:
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	return strings.Join(names, ", ")
}
