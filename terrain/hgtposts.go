package terrain

import (
	"encoding/binary"
	"fmt"
	"io"
	"io/fs"
	"runtime"
	"sync/atomic"

	"github.com/polereach/polereach/terrain/fault"
	"golang.org/x/sync/errgroup"
)

// loadHGT reads the posts of a tile from its file: on all cores where the file can
// be read at offsets, else from front to back.
func loadHGT(f fs.File, l Lattice) (*Grid, error) {
	if at, ok := f.(io.ReaderAt); ok {
		return readHGTAt(at, l)
	}
	return readHGT(f, l)
}

// readHGT reads the posts of a tile and checks that nothing follows them. The
// lattice is square and has one of the two sizes, which bounds the memory.
func readHGT(r io.Reader, l Lattice) (*Grid, error) {
	g := newHGT(l)
	line := make([]byte, 2*l.Cols)
	for row := range l.Rows {
		if n, err := io.ReadFull(r, line); err != nil {
			return nil, g.endsAfter(row*len(line)+n, err)
		}
		setPosts(g.HeightM[row*l.Cols:][:l.Cols], line)
	}
	// Asking for one byte more also makes an archive check its checksum.
	n, err := io.ReadFull(r, line[:1])
	return g.endsThere(n, err)
}

// rowsPerPiece are read at once, 115 kB of a 1" tile: enough that a read costs
// little, few enough to stay in the cache until they are posts.
const rowsPerPiece = 16

// readHGTAt is readHGT for what can be read at offsets. The pieces are handed out
// in order and every one handed out is tried, so that the error is always that of
// the first one that cannot be read.
func readHGTAt(r io.ReaderAt, l Lattice) (*Grid, error) {
	g := newHGT(l)
	errs := make([]error, (l.Rows+rowsPerPiece-1)/rowsPerPiece)
	var next atomic.Int64
	var failed atomic.Bool
	var group errgroup.Group
	for range min(runtime.GOMAXPROCS(0), len(errs)) {
		group.Go(fault.Guarded(func() error {
			raw := make([]byte, rowsPerPiece*2*l.Cols)
			for !failed.Load() {
				k := int(next.Add(1)) - 1
				if k >= len(errs) {
					return nil
				}
				first := k * rowsPerPiece * l.Cols
				posts := g.HeightM[first:min(first+rowsPerPiece*l.Cols, len(g.HeightM))]
				piece := raw[:2*len(posts)]
				if n, err := r.ReadAt(piece, int64(2*first)); n < len(piece) {
					errs[k] = g.endsAfter(2*first+n, err)
					failed.Store(true)
					return nil
				}
				setPosts(posts, piece)
			}
			return nil
		}))
	}
	if err := group.Wait(); err != nil {
		return nil, err // the file panicked
	}
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	n, err := r.ReadAt(make([]byte, 1), int64(2*len(g.HeightM)))
	return g.endsThere(n, err)
}

// hgtGrid is a tile being read.
type hgtGrid struct{ *Grid }

func newHGT(l Lattice) hgtGrid {
	return hgtGrid{&Grid{Lattice: l, HeightM: make([]float32, l.Cols*l.Rows)}}
}

// endsAfter is the error of a file that gives no more than n bytes.
func (g hgtGrid) endsAfter(n int, err error) error {
	if err == nil || err == io.EOF {
		err = io.ErrUnexpectedEOF
	}
	return fmt.Errorf("after %d of %d bytes: %w", n, 2*len(g.HeightM), err)
}

// endsThere returns the grid if asking for a byte behind its posts gave none, and
// only because nothing is there.
func (g hgtGrid) endsThere(n int, err error) (*Grid, error) {
	if n > 0 {
		return nil, fmt.Errorf("more than the %d bytes of a tile of %d × %d posts", 2*len(g.HeightM), g.Cols, g.Rows)
	}
	if err != io.EOF {
		return nil, fmt.Errorf("after the %d bytes of the tile: %w", 2*len(g.HeightM), err)
	}
	return g.Grid, nil
}

// setPosts turns bytes of a tile into heights.
func setPosts(out []float32, raw []byte) {
	void := VoidHeight()
	for ; len(out) >= 4 && len(raw) >= 8; out, raw = out[4:], raw[8:] {
		four := binary.BigEndian.Uint64(raw)
		out[0], out[1] = post(four>>48, void), post(four>>32, void)
		out[2], out[3] = post(four>>16, void), post(four, void)
	}
	for i := range out {
		out[i] = post(uint64(binary.BigEndian.Uint16(raw[2*i:])), void)
	}
}

// post is the height that the lowest 16 bits tell, see groundOrVoid.
func post(bits uint64, void float32) float32 {
	if h := int16(bits); h >= lowestGroundM && h <= highestGroundM {
		return float32(h)
	}
	return void
}
