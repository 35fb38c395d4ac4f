package geotiff

import (
	"bufio"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"golang.org/x/image/tiff/lzw"

	"github.com/polereach/polereach/terrain/fault"
)

// compressions names those that are known but not built in.
var compressions = map[uint64]string{2: "CCITT", 3: "CCITT", 4: "CCITT", 6: "JPEG", 7: "JPEG", 34712: "JPEG 2000",
	34887: "LERC", 34925: "LZMA", 50000: "ZSTD", 50001: "WEBP", 50002: "JPEG XL"}

// setPacking settles how blocks are unpacked.
func (r *Raster) setPacking(compression uint64) error {
	switch compression {
	case 1:
		r.unpack = func(in io.Reader) (io.Reader, error) { return in, nil }
	case 5:
		r.unpack = func(in io.Reader) (io.Reader, error) { return lzw.NewReader(in, lzw.MSB, 8), nil }
	case 8, 32946:
		r.unpack = func(in io.Reader) (io.Reader, error) { return zlib.NewReader(in) }
	case 32773:
		r.unpack = func(in io.Reader) (io.Reader, error) { return &packBits{in: bufio.NewReader(in)}, nil }
	default:
		name := compressions[compression]
		if name == "" {
			name = fmt.Sprintf("number %d", compression)
		}
		return refused(wayPack, "compression %s; built in are none, LZW, DEFLATE and PackBits", name)
	}
	switch {
	case r.predictor < 1 || r.predictor > 3:
		return fmt.Errorf("predictor %d, must be 1 to 3", r.predictor)
	case r.predictor == 3 && !r.samples.float:
		return fmt.Errorf("predictor 3 over %s, must be over floating-point numbers", r.DataType)
	case compression == 1 || compression == 32773:
		r.predictor = 1 // it belongs to LZW and DEFLATE alone, as in the TIFF library
	}
	return nil
}

// Read reads the heights of a window, row by row from the north, each row from the west, in
// metres: NaN where there is none. The window has as many posts as out and lies in the raster.
// Blocks are read one at a time on each core. The error is that of the first block that cannot
// be read.
func (r *Raster) Read(out []float32, col, row, cols, rows int) error {
	if err := r.check(len(out), col, row, cols, rows); err != nil {
		return err
	}
	return r.read(window{out: out, col: col, row: row, cols: cols, rows: rows})
}

// Bytes reports whether the raster's numbers are bytes that [Raster.ReadBytes] reads, and which of
// them stands for none, -1 for no one.
func (r *Raster) Bytes() (void int, ok bool) {
	void = -1
	if r.void >= 0 && r.void <= math.MaxUint8 && r.void == float32(uint8(r.void)) {
		void = int(r.void)
	}
	return void, r.DataType == "Byte" && (void >= 0 || !slices.Contains(r.counts, 0))
}

// ReadBytes is Read for a raster of bytes, which it leaves as they are stored; a block that is not
// stored holds what stands for none.
func (r *Raster) ReadBytes(out []uint8, col, row, cols, rows int) error {
	void, ok := r.Bytes()
	if !ok {
		return fault.Input("geotiff: samples of the kind %s, or blocks not stored, must be bytes", r.DataType)
	}
	if err := r.check(len(out), col, row, cols, rows); err != nil {
		return err
	}
	return r.read(window{bytes: out, void: uint8(max(void, 0)), col: col, row: row, cols: cols, rows: rows})
}

func (r *Raster) check(room, col, row, cols, rows int) error {
	if col < 0 || row < 0 || cols < 1 || rows < 1 || cols > r.Cols-col || rows > r.Rows-row || room != cols*rows {
		return fault.Input("geotiff: a window of %d by %d posts at %d, %d with room for %d heights, must lie in %d by %d",
			cols, rows, col, row, room, r.Cols, r.Rows)
	}
	return nil
}

// read fills a window.
func (r *Raster) read(w window) error {
	across, _ := r.blocks()
	col, row, cols, rows := w.col, w.row, w.cols, w.rows
	first, last := col/r.BlockCols, (col+cols-1)/r.BlockCols
	wide, above := last-first+1, row/r.BlockRows
	errs := make([]error, wide*((row+rows-1)/r.BlockRows-above+1))
	var next atomic.Int64
	var group sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(errs)) {
		group.Go(func() {
			b := block{Raster: r}
			for {
				k := int(next.Add(1)) - 1
				if k >= len(errs) {
					return
				}
				i := (above+k/wide)*across + first + k%wide
				if errs[k] = fault.Guarded(func() error { return b.read(i, w) })(); errs[k] != nil {
					errs[k] = fmt.Errorf("block %d of %d at byte %d: %w", i+1, len(r.offsets), r.offsets[i], errs[k])
					next.Store(int64(len(errs))) // no more; the ones before are under way
				}
			}
		})
	}
	group.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// window is a part of the raster and where its heights go, or its bytes.
type window struct {
	out                  []float32
	bytes                []uint8
	void                 uint8 // of bytes
	col, row, cols, rows int
}

// block is the memory in which one block after the other is unpacked.
type block struct {
	*Raster
	raw, scratch []byte
}

// read unpacks a block and puts what of it lies in the window there.
func (b *block) read(i int, w window) error {
	across, _ := b.blocks()
	left, top := i%across*b.BlockCols, i/across*b.BlockRows
	from, end := max(left, w.col), min(left+b.BlockCols, w.col+w.cols)
	stored := b.counts[i] != 0
	if stored && w.bytes != nil && w.col == left && w.cols == b.BlockCols && w.row <= top &&
		top+b.BlockRows <= w.row+w.rows {
		return b.readInPlace(i, w.bytes[(top-w.row)*w.cols:][:b.BlockRows*w.cols])
	}
	if stored {
		if err := b.fill(i); err != nil {
			return err
		}
	}
	size, rowBytes := b.samples.bytes, b.BlockCols*b.samples.bytes
	for row := max(top, w.row); row < min(top+b.BlockRows, w.row+w.rows); row++ {
		n, m := (row-w.row)*w.cols+from-w.col, (row-w.row)*w.cols+end-w.col
		if w.bytes != nil {
			b.bytes(w.bytes[n:m], row-top, from-left, stored, w.void)
			continue
		}
		out := w.out[n:m]
		if !stored {
			for k := range out {
				out[k] = float32(math.NaN())
			}
			continue
		}
		raw := b.raw[(row-top)*rowBytes : (row-top+1)*rowBytes]
		b.unpredict(raw)
		b.samples.heights(out, raw[(from-left)*size:(end-left)*size])
		for k, h := range out {
			if h == b.void {
				out[k] = float32(math.NaN())
			}
		}
	}
	return nil
}

// readInPlace unpacks a block of bytes of which all lies in the window, row by row as there.
func (b *block) readInPlace(i int, out []uint8) error {
	memory := b.raw
	b.raw = out
	err := b.fill(i)
	for b.raw = memory; len(out) > 0; out = out[b.BlockCols:] {
		b.unpredict(out[:b.BlockCols])
	}
	return err
}

// bytes copies a part of a row of the block.
func (b *block) bytes(out []uint8, row, from int, stored bool, void uint8) {
	if !stored {
		for k := range out {
			out[k] = void
		}
		return
	}
	raw := b.raw[row*b.BlockCols : (row+1)*b.BlockCols]
	b.unpredict(raw)
	copy(out, raw[from:])
}

// unpredict makes samples of a row, least significant byte first.
func (b *block) unpredict(row []byte) {
	if b.predictor == 3 {
		if b.scratch == nil {
			b.scratch = make([]byte, len(row))
		}
		undoFloatPrediction(row, b.scratch, b.samples.bytes)
		return
	}
	if b.file.order == binary.ByteOrder(binary.BigEndian) {
		swap(row, b.samples.bytes)
	}
	if b.predictor == 2 {
		undoDifferences(row, b.samples.bytes)
	}
}

// fill unpacks a block into b.raw. A stream of DEFLATE is read to its end, where its checksum
// stands; some programs store the last strip as long as the others.
func (b *block) fill(i int) error {
	if b.raw == nil {
		b.raw = make([]byte, b.BlockCols*b.BlockRows*b.samples.bytes)
	}
	in, err := b.unpack(io.NewSectionReader(b.file.r, int64(b.offsets[i]), int64(b.counts[i])))
	if err != nil {
		return noEOF(err)
	}
	raw := b.raw[:b.blockBytes(i)]
	if n, err := io.ReadFull(in, raw); err != nil {
		return fmt.Errorf("after %d of %d bytes of heights: %w", n, len(raw), noEOF(err))
	}
	if _, checks := in.(zlib.Resetter); checks {
		n, err := io.CopyN(io.Discard, in, int64(len(b.raw)-len(raw)+1))
		if err == nil {
			return fmt.Errorf("it unpacks to %d bytes and more, must be %d", int64(len(raw))+n, len(raw))
		}
		if err != io.EOF {
			return fmt.Errorf("after its %d bytes of heights: %w", len(raw), err)
		}
	}
	return nil
}

// packBits unpacks runs of bytes: TIFF 6.0, section 9.
type packBits struct {
	in     *bufio.Reader
	left   int  // bytes that the current run has left
	repeat bool // one byte over and over
	value  byte
}

func (p *packBits) Read(out []byte) (n int, err error) {
	for n < len(out) {
		if p.left == 0 {
			head, err := p.in.ReadByte()
			if err != nil {
				return n, err
			}
			switch c := int8(head); {
			case c >= 0:
				p.left, p.repeat = int(c)+1, false
			case c != -128: // which stands for nothing
				p.left, p.repeat = 1-int(c), true
				if p.value, err = p.in.ReadByte(); err != nil {
					return n, noEOF(err)
				}
			}
			continue
		}
		run := out[n:min(len(out), n+p.left)]
		if p.repeat {
			for i := range run {
				run[i] = p.value
			}
		} else if _, err := io.ReadFull(p.in, run); err != nil {
			return n, noEOF(err)
		}
		n, p.left = n+len(run), p.left-len(run)
	}
	return n, nil
}
