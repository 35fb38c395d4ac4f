package geotiff

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// ErrRefused is behind the errors about rasters that are sound as far as it was looked at, but of a
// kind this package does not read: a library that reads all kinds, or the command the error
// names, helps.
var ErrRefused = errors.New("the built-in readers do not take it")

// refused is such an error; way is the command that makes a file that can be read.
func refused(way, format string, args ...any) error {
	return fmt.Errorf("%s: %w; run: %s, or use a build with -tags gdal", fmt.Sprintf(format, args...), ErrRefused, way)
}

// The ways out, commands of GDAL.
const (
	wayWarp   = "gdalwarp -t_srs EPSG:4326 OLD.tif NEW.tif"
	wayPack   = "gdal_translate -co COMPRESS=DEFLATE -co TILED=YES OLD.tif NEW.tif"
	wayBand   = "gdal_translate -b 1 OLD.tif NEW.tif, with the number of the band that holds heights"
	wayValues = "gdal_translate -unscale -ot Float32 OLD.tif NEW.tif"
	wayMask   = "gdalwarp -dstnodata -32768 OLD.tif NEW.tif"
	wayMetres = "gdal_calc.py -A OLD.tif --calc='A*0.3048' --type=Float32 --outfile=NEW.tif, with the unit's length " +
		"in metres"
)

// Raster is a raster whose head has been read. It may be read from by several goroutines if
// what it reads from may.
type Raster struct {
	// Place tells where the posts lie.
	Place
	// Cols and Rows count posts, both 1 or more.
	Cols, Rows int
	// BlockCols and BlockRows are the shape of the blocks the file is stored in: tiles,
	// or strips as wide as the raster.
	BlockCols, BlockRows int
	// DataType is GDAL's name of the stored numbers, such as Int16.
	DataType string
	// Surface is what the metadata say about the model, see [SurfaceOf].
	Surface string
	// Codes says that the numbers stand for colours of a list: they are codes of classes, not heights.
	Codes bool

	file      *file
	samples   samples
	void      float32 // the no-data value, NaN for none
	offsets   []uint64
	counts    []uint64
	unpack    func(io.Reader) (io.Reader, error)
	predictor uint64
}

// palette is the photometric interpretation of numbers that are places in a list of colours.
const palette = 3

// NoCodes is the error of a raster of codes where heights are wanted.
func (r *Raster) NoCodes() error {
	if !r.Codes {
		return nil
	}
	return refused(wayValues, "its numbers stand for colours (photometric interpretation %d), must be plain", palette)
}

// mostBlockBytes bounds a block, which is unpacked as a whole.
const mostBlockBytes = 64 << 20

// mostBlocks bounds the lists of blocks, mostPosts the raster.
const (
	mostBlocks = 1 << 20
	mostPosts  = 1 << 32
)

// Open reads the head of a file of the given size. The error tells all that is wrong with what it
// describes, [ErrRefused] among it.
func Open(r io.ReaderAt, size int64) (*Raster, error) {
	f, first, err := openFile(r, size)
	if err != nil {
		return nil, err
	}
	d, err := f.directory(first)
	if err != nil {
		return nil, err
	}
	out := &Raster{file: f}
	if err := errors.Join(out.layout(d), out.values(d), out.place(d)); err != nil {
		return nil, err
	}
	return out, d.others(func(o *directory) error { return out.noMask(o) })
}

// noMask refuses a mask of the raster's own size: it says which posts are none. Masks of
// overviews, and the overviews, do not matter.
func (r *Raster) noMask(d *directory) error {
	var errs []error
	kind, cols, rows := d.one(254, 0, &errs), d.one(256, 0, &errs), d.one(257, 0, &errs)
	if err := errors.Join(errs...); err != nil {
		return fmt.Errorf("directory at byte %d: %w", d.at, err)
	}
	if kind&4 != 0 && cols == uint64(r.Cols) && rows == uint64(r.Rows) {
		return refused(wayMask, "it marks what is no height by a mask")
	}
	return nil
}

// layout reads how the posts are stored: TIFF 6.0, sections 8 and 15, and the notes on DEFLATE.
func (r *Raster) layout(d *directory) error {
	var errs []error
	cols, rows := d.one(256, 0, &errs), d.one(257, 0, &errs)
	blockCols, blockRows, offsets, counts := cols, min(d.one(278, rows, &errs), rows), uint16(273), uint16(279)
	if _, tiled := d.entries[322]; tiled {
		blockCols, blockRows, offsets, counts = d.one(322, 0, &errs), d.one(323, 0, &errs), 324, 325
	}
	if err := errors.Join(errs...); err != nil {
		return err
	}
	for _, n := range []uint64{cols, rows, blockCols, blockRows} {
		if n < 1 || n > math.MaxInt32 {
			return fmt.Errorf("%d by %d posts in blocks of %d by %d, must be 1 to %d each",
				cols, rows, blockCols, blockRows, math.MaxInt32)
		}
	}
	r.Cols, r.Rows, r.BlockCols, r.BlockRows = int(cols), int(rows), int(blockCols), int(blockRows)
	bands, kind, photometric := d.one(277, 1, &errs), d.one(254, 0, &errs), d.one(262, 1, &errs)
	compression, fillOrder := d.one(259, 1, &errs), d.one(266, 1, &errs)
	r.predictor = d.one(317, 1, &errs)
	bits, err := d.numbers(258, 1<<10)
	formats, err2 := d.numbers(339, 1<<10)
	if err := errors.Join(append(errs, err, err2)...); err != nil {
		return err
	}
	switch {
	case bands != 1:
		return refused(wayBand, "%d bands, must be one", bands)
	case kind&5 != 0:
		return refused(wayPack, "its first image is an overview or a mask (kind %d)", kind)
	case photometric > 1 && photometric != palette:
		return refused(wayValues, "its numbers stand for colours (photometric interpretation %d), must be plain", photometric)
	case cols*rows > mostPosts:
		return refused("gdal_translate -projwin WEST NORTH EAST SOUTH OLD.tif NEW.tif",
			"%d by %d posts, must be at most %d in all", cols, rows, uint64(mostPosts))
	case fillOrder != 1:
		return refused(wayPack, "bits in the order %d, must be 1", fillOrder)
	}
	r.Codes = photometric == palette
	if err := r.setSamples(bits, formats); err != nil {
		return err
	}
	if err := r.setPacking(compression); err != nil {
		return err
	}
	if blockCols*blockRows > mostBlockBytes/uint64(r.samples.bytes) {
		return refused(wayPack, "blocks of %d by %d posts, must have at most %d MiB",
			blockCols, blockRows, mostBlockBytes>>20)
	}
	if r.offsets, err = d.numbers(offsets, mostBlocks); err == nil {
		r.counts, err = d.numbers(counts, mostBlocks)
	}
	if err != nil {
		return err
	}
	return r.checkBlocks(compression)
}

// packedMost is how many bytes may come out of one: DEFLATE packs 258 bytes into 2 bits at best
// (RFC 1951, section 3.2.5), LZW 4096 into a code of 9 or more bits, PackBits 128 into 2 bytes.
var packedMost = map[uint64]uint64{1: 1, 5: 4096, 8: 1032, 32946: 1032, 32773: 64}

// checkBlocks compares the lists of blocks with the shape of the raster and with the file. An
// offset and a size of 0 stand for a block that is not stored.
func (r *Raster) checkBlocks(compression uint64) error {
	across, down := r.blocks()
	if n := across * down; len(r.offsets) != n || len(r.counts) != n {
		return fmt.Errorf("%d offsets and %d sizes of blocks, must be %d (%d by %d)", len(r.offsets), len(r.counts), n,
			across, down)
	}
	for i, size := range r.counts {
		what := fmt.Sprintf("block %d of %d", i+1, len(r.counts))
		if size == 0 && r.offsets[i] == 0 {
			continue
		}
		if err := r.file.holds(r.offsets[i], size, what); err != nil {
			return err
		}
		if need := uint64(r.blockBytes(i)); size*packedMost[compression] < need {
			return fmt.Errorf("%s: %d bytes cannot hold the %d of its heights", what, size, need)
		}
	}
	return nil
}

// blocks returns how many blocks lie beside and below each other.
func (r *Raster) blocks() (across, down int) {
	return (r.Cols + r.BlockCols - 1) / r.BlockCols, (r.Rows + r.BlockRows - 1) / r.BlockRows
}

// blockBytes is the size of a block, unpacked: tiles are stored whole, the last strip as far as it goes.
func (r *Raster) blockBytes(i int) int {
	rows := r.BlockRows
	if r.BlockCols == r.Cols {
		rows = min(rows, r.Rows-i*r.BlockRows)
	}
	return r.BlockCols * rows * r.samples.bytes
}

// values reads what turns numbers into heights: the no-data value and the metadata.
func (r *Raster) values(d *directory) error {
	r.void = float32(math.NaN())
	mark, err := d.text(42113)
	if err != nil {
		return err
	}
	if mark = strings.TrimSpace(mark); mark != "" && !strings.EqualFold(strings.TrimLeft(mark, "+-"), "nan") {
		v, err := strconv.ParseFloat(mark, 64)
		if err != nil && !errors.Is(err, strconv.ErrRange) {
			return fmt.Errorf("its no-data value is %.40q, must be a number or nan", mark)
		}
		r.void = float32(v)
	}
	description, err := d.text(270)
	if err != nil {
		return err
	}
	return r.metadata(d, description)
}
