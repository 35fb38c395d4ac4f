package terrain

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"strings"
)

// maxUnseekable bounds an archive that has to be held in memory because its
// file cannot be read at an offset. A stored 1" tile needs 26 MB.
const maxUnseekable = 64 << 20

// deflateRatio is the most that DEFLATE can pack: 258 bytes in 2 bits, from
// the format itself (RFC 1951 §3.2.5), computed. A promise above it is a lie
// that can be told before any memory is taken.
const deflateRatio = 258 * 8 / 2

// openHGTZip opens a .zip archive that holds one SRTM tile.
func openHGTZip(fsys fs.FS, name string) (Source, error) {
	a, err := openTileArchive(fsys, name)
	if err != nil {
		return Source{}, err
	}
	defer a.Close()
	l := a.lattice
	return Source{Name: name, Lattice: l, Load: func() (*Grid, error) {
		a, err := openTileArchive(fsys, name)
		if err != nil {
			return nil, err
		}
		defer a.Close()
		if a.lattice != l {
			return nil, fmt.Errorf("terrain: %s: changed since it was opened", name)
		}
		r, err := a.entry.Open()
		if err != nil {
			return nil, fmt.Errorf("terrain: %s: entry %q: %w", name, a.entry.Name, err)
		}
		defer r.Close()
		g, err := readHGT(r, l)
		if err != nil {
			return nil, fmt.Errorf("terrain: %s: entry %q: %w", name, a.entry.Name, err)
		}
		return g, nil
	}}, nil
}

// tileArchive is an open archive and the one tile in it.
type tileArchive struct {
	fs.File
	entry   *zip.File
	lattice Lattice
}

// openTileArchive opens an archive and finds its tile. The caller closes it.
func openTileArchive(fsys fs.FS, name string) (a tileArchive, err error) {
	f, err := fsys.Open(name)
	if err != nil {
		return a, fmt.Errorf("terrain: %w", err)
	}
	a.File = f
	if err := a.findTile(name); err != nil {
		f.Close()
		return a, fmt.Errorf("terrain: %s: %w", name, err)
	}
	return a, nil
}

// findTile reads the directory of the archive and checks what it promises.
func (a *tileArchive) findTile(name string) error {
	at, size, err := randomAccess(a.File)
	if err != nil {
		return err
	}
	z, err := zip.NewReader(at, size)
	if err != nil {
		return fmt.Errorf("not a readable zip archive: %w", err)
	}
	z.RegisterDecompressor(zip.Deflate, inflate)
	var tiles, others []string
	for _, e := range z.File {
		base := path.Base(strings.ReplaceAll(e.Name, `\`, "/"))
		if strings.HasPrefix(base, ".") || !strings.HasSuffix(strings.ToLower(base), ".hgt") {
			others = append(others, e.Name)
			continue
		}
		tiles = append(tiles, e.Name)
		a.entry = e
	}
	switch {
	case len(tiles) == 0:
		return fmt.Errorf("no .hgt entry in the archive, found %s", shortList(others))
	case len(tiles) > 1:
		return fmt.Errorf("%d .hgt entries in the archive, must be one: %s", len(tiles), shortList(tiles))
	}
	c, err := a.corner(name)
	if err != nil {
		return err
	}
	if a.lattice, err = c.lattice(clampInt64(a.entry.UncompressedSize64)); err != nil {
		return fmt.Errorf("entry %q: %w", a.entry.Name, err)
	}
	return a.checkPromise(uint64(size))
}

// corner asks the name of the archive and the name of the entry where the tile
// lies; what both say must agree.
func (a *tileArchive) corner(name string) (corner, error) {
	outer, outerOK := cornerOf(name)
	inner, innerOK := cornerOf(a.entry.Name)
	switch {
	case outerOK && innerOK && outer != inner:
		return corner{}, fmt.Errorf("the archive is named %v but its entry %q is %v", outer, a.entry.Name, inner)
	case outerOK:
		return outer, nil
	case innerOK:
		return inner, nil
	}
	return corner{}, fmt.Errorf("neither the archive nor its entry %q tells where the tile lies,"+
		" one must begin with the south-west corner such as N36W085", a.entry.Name)
}

// checkPromise compares the size the entry declares with the bytes behind it.
func (a *tileArchive) checkPromise(archiveSize uint64) error {
	e := a.entry
	if e.Flags&1 != 0 { // general purpose bit 0, APPNOTE.TXT 4.4.4
		return fmt.Errorf("entry %q is encrypted", e.Name)
	}
	most := e.CompressedSize64
	switch e.Method {
	case zip.Store:
	case zip.Deflate:
		most = min(most, archiveSize) * deflateRatio // no overflow: a file has fewer than 2^53 bytes
	default:
		return fmt.Errorf("entry %q is packed by method %d, must be 0 (stored) or 8 (DEFLATE)", e.Name, e.Method)
	}
	if e.CompressedSize64 > archiveSize || e.UncompressedSize64 > most {
		return fmt.Errorf("entry %q promises %d bytes out of %d packed ones in a file of %d, which cannot be",
			e.Name, e.UncompressedSize64, e.CompressedSize64, archiveSize)
	}
	return nil
}

// randomAccess returns a file as a reader at offsets; a file that cannot be
// read so is held in memory.
func randomAccess(f fs.File) (io.ReaderAt, int64, error) {
	if at, ok := f.(io.ReaderAt); ok {
		info, err := f.Stat()
		if err != nil {
			return nil, 0, err
		}
		return at, info.Size(), nil
	}
	all, err := io.ReadAll(io.LimitReader(f, maxUnseekable+1))
	if err != nil {
		return nil, 0, err
	}
	if len(all) > maxUnseekable {
		return nil, 0, errors.New("the archive is larger than 64 MiB and cannot be read at an offset")
	}
	return bytes.NewReader(all), int64(len(all)), nil
}

// clampInt64 keeps a declared size from turning negative.
func clampInt64(n uint64) int64 { return int64(min(n, 1<<62)) }

// inflate is what package zip has for DEFLATE, but that it asks for packed bytes in
// larger pieces, and takes one after the other out of them at little cost.
func inflate(r io.Reader) io.ReadCloser {
	return flate.NewReader(&packedReader{from: r, piece: make([]byte, 1<<16)})
}

// packedReader gives the bytes of a reader one by one.
type packedReader struct {
	from    io.Reader
	piece   []byte
	at, end int // what is left of the piece
}

// ReadByte implements io.ByteReader.
func (p *packedReader) ReadByte() (byte, error) {
	at := p.at
	if at >= p.end || at >= len(p.piece) {
		return p.nextPiece()
	}
	p.at = at + 1
	return p.piece[at], nil
}

// nextPiece is ReadByte where the piece is used up.
func (p *packedReader) nextPiece() (byte, error) {
	if err := p.refill(); err != nil {
		return 0, err
	}
	p.at = 1
	return p.piece[0], nil
}

// refill reads at least a byte, or gives an error.
func (p *packedReader) refill() error {
	n, err := io.ReadAtLeast(p.from, p.piece, 1)
	p.at, p.end = 0, n
	if n > 0 {
		return nil
	}
	return err
}

// Read implements io.Reader.
func (p *packedReader) Read(to []byte) (int, error) {
	if p.at >= p.end && len(to) > 0 {
		if err := p.refill(); err != nil {
			return 0, err
		}
	}
	n := copy(to, p.piece[p.at:p.end])
	p.at += n
	return n, nil
}
