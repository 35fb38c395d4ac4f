//go:build gdal

package gdal

import (
	"errors"
	"fmt"
	"runtime"
	"sync/atomic"

	"github.com/paulmach/orb"

	binding "github.com/lukeroth/gdal"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/geotiff"
)

// Built reports whether this build reads rasters through GDAL.
const Built = true

// Raster is one raster file as a DEM, safe for concurrent use. Blocks of it are
// read when a place in them is asked for, and kept in the Cache.
type Raster struct {
	id    uint64
	file  *file
	cache *Cache
	info  Info

	band   int // number of the band with the heights
	masked bool
	// A height in metres is (stored·scale + offset)·UnitM; plain tells that
	// this changes nothing.
	scale, offset float64
	plain         bool

	blockCols, blockRows int // shape of the blocks read at a time
	fileBlockPosts       int // posts in a block of the file
	sums                 *checksums
	columns              *columns // of a DTED file

	frame    frame
	col, row int    // of the first post in the frame
	alone    *group // this raster as a group of its own
}

var _ terrain.DEM = (*Raster)(nil)

var lastID atomic.Uint64

// Open opens a raster file. The error names the file and says what is wrong
// with it: GDAL's own words, or why it cannot serve as terrain, all reasons at
// once. Nothing but the head of the file is read.
func Open(path string, opt Options) (*Raster, error) {
	if opt.Cache == nil {
		opt.Cache = sharedCache()
	}
	r, err := open(path, opt)
	if err != nil {
		return nil, fmt.Errorf("gdal: %s: %w", path, err)
	}
	return r, nil
}

func open(path string, opt Options) (*Raster, error) {
	if err := register(); err != nil {
		return nil, err
	}
	if !opt.AllowRemote {
		if err := checkLocal(path, opt.AnyFormat); err != nil {
			return nil, err
		}
	}
	f := &file{path: path, remote: opt.AllowRemote, cache: opt.Cache}
	r := &Raster{id: lastID.Add(1), file: f, cache: opt.Cache}
	if err := f.use(r.inspect); err != nil {
		f.close()
		return nil, err
	}
	r.alone = newGroup(r)
	r.alone.finish()
	runtime.AddCleanup(r, func(p parting) { p.leave() }, parting{f, r.id})
	return r, nil
}

// parting is what is left to do when a raster is no longer wanted.
type parting struct {
	file *file
	id   uint64
}

func (p parting) leave() {
	p.file.close()
	p.file.cache.forget(p.id)
}

// Close closes the file and drops its blocks; later calls of Heights fail. To
// close again does nothing. A raster that is not closed is when it is collected
// as garbage.
func (r *Raster) Close() error {
	parting{r.file, r.id}.leave()
	return nil
}

// Info tells what the raster is.
func (r *Raster) Info() Info { return r.info }

// Extent implements [terrain.DEM].
func (r *Raster) Extent() terrain.Extent { return r.info.Extent }

// Heights implements [terrain.DEM]. It panics if the three slices differ in
// length.
func (r *Raster) Heights(at []orb.Point, heightM []float64, flag []terrain.Flag) error {
	return r.alone.Heights(at, heightM, flag)
}

// inspect reads the head of the file and checks that it can be terrain.
func (r *Raster) inspect(ds binding.Dataset) error {
	var errs []error
	h := head{remote: r.file.remote}
	if err := call(r.file.remote, func() { h.read(ds) }); err != nil && h.cols == 0 {
		return err
	}
	fault := func(err error) { errs = append(errs, err) }
	band, err := h.heights()
	fault(err)
	system, err := readCRS(h.wkt)
	switch {
	case h.wkt == "":
		fault(errors.New("it has no coordinate system; a .prj file beside it, or gdal_edit.py -a_srs, can tell one"))
	case err != nil:
		fault(fmt.Errorf("its coordinate system %.60q is not understood: %w", h.wkt, err))
	}
	if h.transform == noTransform {
		fault(errors.New("it has no geotransform: nothing tells where its pixels lie"))
	}
	r.info = Info{
		Path: r.file.path, Driver: h.driver, Cols: h.cols, Rows: h.rows,
		CRS: system.name, VerticalCRS: system.vertical, Surface: geotiff.SurfaceOf(h.notes),
	}
	if band != nil {
		fault(r.useBand(band, h.cols, h.rows, system))
		r.sums, r.columns = newChecksums(h, band, r.file.remote), newColumns(h, r.file.path, r.file.remote)
	}
	if err := errors.Join(errs...); err != nil {
		return err
	}
	return r.place(h, system)
}

// useBand takes over what matters of the band with the heights.
func (r *Raster) useBand(b *bandHead, cols, rows int, system crs) error {
	r.band, r.masked = b.number, b.masked
	r.scale, r.offset = b.scale, b.offset
	r.info.DataType = b.typeName
	var errUnit, errScale, errShape error
	r.info.VerticalUnit, r.info.UnitM, errUnit = verticalUnit(b.unit, system)
	if !finite(r.scale) || r.scale == 0 || !finite(r.offset) {
		errScale = fmt.Errorf("its heights are scaled by %g and offset by %g, must be finite and the scale not 0",
			r.scale, r.offset)
	}
	r.plain = r.scale == 1 && r.offset == 0 && r.info.UnitM == 1
	r.blockCols, r.blockRows, errShape = blockShape(cols, rows, b.blockCols, b.blockRows, b.pixelBytes)
	r.fileBlockPosts = b.blockCols * b.blockRows
	return errors.Join(errUnit, errScale, errShape)
}
