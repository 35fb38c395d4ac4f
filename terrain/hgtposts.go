package terrain

import (
	"encoding/binary"
	"fmt"
	"io"
	"io/fs"
	"runtime"
	"sync"

	"github.com/polereach/polereach/terrain/fault"
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
	g := &Grid{Lattice: l, HeightM: make([]float32, l.Cols*l.Rows)}
	if err := g.readRows(r, 0, l.Rows); err != nil {
		return nil, err
	}
	// Asking for one byte more also makes an archive check its checksum.
	n, err := io.ReadFull(r, make([]byte, 1))
	return g, g.nothingBehind(n, err)
}

// readHGTAt is readHGT for what can be read at offsets: all cores read bands of rows.
// The error is that of the northernmost band that cannot be read.
func readHGTAt(r io.ReaderAt, l Lattice) (*Grid, error) {
	g := &Grid{Lattice: l, HeightM: make([]float32, l.Cols*l.Rows)}
	errs := make([]error, 4*runtime.GOMAXPROCS(0)) // more than cores: some are busy with other things
	var group sync.WaitGroup
	for k := range errs {
		from, end := l.Rows*k/len(errs), l.Rows*(k+1)/len(errs)
		group.Go(func() {
			errs[k] = fault.Guarded(func() error {
				return g.readRows(io.NewSectionReader(r, int64(2*l.Cols*from), int64(2*l.Cols*(end-from))), from, end)
			})()
		})
	}
	group.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	n, err := r.ReadAt(make([]byte, 1), int64(2*len(g.HeightM)))
	return g, g.nothingBehind(n, err)
}

// rowsPerPiece are read at once, 115 kB of a 1" tile: enough that a read costs
// little, few enough to stay in the cache until they are posts.
const rowsPerPiece = 16

// readRows reads rows of a tile, which the reader begins with.
func (g *Grid) readRows(r io.Reader, from, end int) error {
	raw := make([]byte, rowsPerPiece*2*g.Cols)
	for ; from < end; from += rowsPerPiece {
		posts := g.HeightM[from*g.Cols : min(from+rowsPerPiece, end)*g.Cols]
		if n, err := io.ReadFull(r, raw[:2*len(posts)]); err != nil {
			if err == io.EOF {
				err = io.ErrUnexpectedEOF
			}
			return fmt.Errorf("after %d of %d bytes: %w", 2*from*g.Cols+n, 2*len(g.HeightM), err)
		}
		setPosts(posts, raw)
	}
	return nil
}

// nothingBehind is the error of a tile unless asking for a byte behind its posts gave
// none, and only because nothing is there.
func (g *Grid) nothingBehind(n int, err error) error {
	switch {
	case n > 0:
		return fmt.Errorf("more than the %d bytes of a tile of %d × %d posts", 2*len(g.HeightM), g.Cols, g.Rows)
	case err != io.EOF:
		return fmt.Errorf("after the %d bytes of the tile: %w", 2*len(g.HeightM), err)
	}
	return nil
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
