package terrain

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"strings"
)

// maxUnseekable bounds a file that has to be held in memory because its
// file cannot be read at an offset. A stored 1" tile needs 26 MB.
const maxUnseekable = 64 << 20

// deflateRatio is the most that DEFLATE can pack: 258 bytes in 2 bits, from
// the format itself (RFC 1951 §3.2.5), computed. A promise above it is a lie
// that can be told before any memory is taken.
const deflateRatio = 258 * 8 / 2

// openHGTZip opens a .zip archive that holds one SRTM tile.
func openHGTZip(fsys fs.FS, name string) (Source, error) {
	l, err := inFile(fsys, name, func(f fs.File, size int64) (Lattice, error) {
		_, l, err := findTile(name, f, size)
		return l, err
	})
	if err != nil {
		return Source{}, err
	}
	return Source{Name: name, Lattice: l, Format: formatSRTM, Load: func() (*Grid, error) {
		return inFile(fsys, name, func(f fs.File, size int64) (*Grid, error) {
			e, now, err := findTile(name, f, size)
			if err != nil {
				return nil, err
			}
			if now != l {
				return nil, errChanged
			}
			r, err := e.Open()
			if err != nil {
				return nil, fmt.Errorf("entry %q: %w", e.Name, err)
			}
			defer r.Close()
			g, err := readHGT(r, l)
			if err != nil {
				return nil, fmt.Errorf("entry %q: %w", e.Name, err)
			}
			return g, nil
		})
	}}, nil
}

// findTile reads the directory of an archive, finds its tile and checks what it promises.
func findTile(name string, f fs.File, size int64) (*zip.File, Lattice, error) {
	at, err := randomAccess(f)
	if err != nil {
		return nil, Lattice{}, err
	}
	z, err := zip.NewReader(at, size)
	if err != nil {
		return nil, Lattice{}, fmt.Errorf("not a readable zip archive: %w", err)
	}
	var tile *zip.File
	var tiles, others []string
	for _, e := range z.File {
		base := path.Base(strings.ReplaceAll(e.Name, `\`, "/"))
		if strings.HasPrefix(base, ".") || !strings.HasSuffix(strings.ToLower(base), ".hgt") {
			others = append(others, e.Name)
			continue
		}
		tiles, tile = append(tiles, e.Name), e
	}
	switch {
	case len(tiles) == 0:
		return nil, Lattice{}, fmt.Errorf("no .hgt entry in the archive, found %s", shortList(others))
	case len(tiles) > 1:
		return nil, Lattice{}, fmt.Errorf("%d .hgt entries in the archive, must be one: %s", len(tiles), shortList(tiles))
	}
	c, err := cornerOfBoth(name, tile.Name)
	if err != nil {
		return nil, Lattice{}, err
	}
	l, err := c.lattice(int64(min(tile.UncompressedSize64, 1<<62)))
	if err != nil {
		return nil, l, fmt.Errorf("entry %q: %w", tile.Name, err)
	}
	return tile, l, checkPromise(tile, uint64(size))
}

// cornerOfBoth asks the name of the archive and the name of the entry where the tile
// lies; what both say must agree.
func cornerOfBoth(archive, entry string) (corner, error) {
	outer, outerOK := cornerOf(archive)
	inner, innerOK := cornerOf(entry)
	switch {
	case outerOK && innerOK && outer != inner:
		return corner{}, fmt.Errorf("the archive is named %v but its entry %q is %v", outer, entry, inner)
	case outerOK:
		return outer, nil
	case innerOK:
		return inner, nil
	}
	return corner{}, fmt.Errorf("neither the archive nor its entry %q tells where the tile lies,"+
		" one must begin with the south-west corner such as N36W085", entry)
}

// checkPromise compares the size the entry declares with the bytes behind it.
func checkPromise(e *zip.File, archiveSize uint64) error {
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
func randomAccess(f fs.File) (io.ReaderAt, error) {
	if at, ok := f.(io.ReaderAt); ok {
		return at, nil
	}
	all, err := io.ReadAll(io.LimitReader(f, maxUnseekable+1))
	if err == nil && len(all) > maxUnseekable {
		err = errors.New("the file is larger than 64 MiB and cannot be read at an offset")
	}
	return bytes.NewReader(all), err
}

// openHGTGzip opens an SRTM tile packed by gzip (RFC 1952). Its last four bytes tell how long the
// tile is.
func openHGTGzip(fsys fs.FS, name string) (Source, error) {
	c, ok := cornerOf(name)
	if !ok {
		return Source{}, errCorner(name)
	}
	l, err := inFile(fsys, name, func(f fs.File, size int64) (Lattice, error) {
		at, err := randomAccess(f)
		if err != nil {
			return Lattice{}, err
		}
		var tail [4]byte
		if _, err := at.ReadAt(tail[:], size-4); size < 4 || err != nil && err != io.EOF {
			return Lattice{}, fmt.Errorf("not a gzip file: %d bytes", size)
		}
		promised := int64(binary.LittleEndian.Uint32(tail[:]))
		if promised > size*deflateRatio {
			return Lattice{}, fmt.Errorf("promises %d bytes out of %d, which cannot be", promised, size)
		}
		return c.lattice(promised)
	})
	if err != nil {
		return Source{}, err
	}
	return Source{Name: name, Lattice: l, Format: formatSRTM, Load: func() (*Grid, error) {
		return inFile(fsys, name, func(f fs.File, _ int64) (*Grid, error) {
			r, err := gzip.NewReader(f)
			if err != nil {
				return nil, err
			}
			return readHGT(r, l)
		})
	}}, nil
}
