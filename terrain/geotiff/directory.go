package geotiff

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
)

// file is a TIFF file: where its bytes come from and how its numbers are written.
type file struct {
	r     io.ReaderAt
	size  int64
	order binary.ByteOrder
	big   bool // BigTIFF: counts and offsets of 64 bits
}

// directory is one image file directory: the head of an image.
type directory struct {
	*file
	at      uint64
	entries map[uint16]entry
	next    uint64 // offset of the next directory, 0 for none
}

// entry is a field of a directory. Its value stands in its last bytes if it fits there,
// else they are its offset.
type entry struct {
	kind  uint16
	count uint64
	value []byte // 4 bytes, 8 in BigTIFF
}

const (
	mostEntries     = 4096    // of a directory; real ones have about twenty
	mostDirectories = 1024    // of a file
	mostText        = 1 << 20 // bytes of a text or of a list of keys
)

// kindBytes are the sizes of the kinds of values (TIFF 6.0, section 2; BigTIFF 13 and 16 to 18).
var kindBytes = map[uint16]uint64{1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8,
	13: 4, 16: 8, 17: 8, 18: 8}

// openFile reads the first bytes of a file and gives the offset of its first directory.
func openFile(r io.ReaderAt, size int64) (*file, uint64, error) {
	f := &file{r: r, size: size, order: binary.LittleEndian}
	head, err := f.bytes(0, 8, "head")
	if err != nil {
		return nil, 0, err
	}
	switch string(head[:2]) {
	case "II":
	case "MM":
		f.order = binary.BigEndian
	default:
		return nil, 0, fmt.Errorf("not a TIFF file: it begins with %q, must be \"II\" or \"MM\"", head[:2])
	}
	switch version := f.order.Uint16(head[2:]); version {
	case 42:
		return f, uint64(f.order.Uint32(head[4:])), nil
	case 43:
		f.big = true
		if n, zero := f.order.Uint16(head[4:]), f.order.Uint16(head[6:]); n != 8 || zero != 0 {
			return nil, 0, fmt.Errorf("a BigTIFF file with offsets of %d bytes, must be 8", n)
		}
		head, err = f.bytes(8, 8, "head")
		if err != nil {
			return nil, 0, err
		}
		return f, f.order.Uint64(head), nil
	default:
		return nil, 0, fmt.Errorf("not a TIFF file: its version is %d, must be 42 or 43 (BigTIFF)", version)
	}
}

// bytes reads a part of the file, which must lie in it; what names the part.
func (f *file) bytes(offset, n uint64, what string) ([]byte, error) {
	if err := f.holds(offset, n, what); err != nil {
		return nil, err
	}
	out := make([]byte, n)
	if _, err := io.ReadFull(io.NewSectionReader(f.r, int64(offset), int64(n)), out); err != nil {
		return nil, fmt.Errorf("%s at byte %d: %w", what, offset, noEOF(err))
	}
	return out, nil
}

// holds is the error of a part that reaches beyond the file.
func (f *file) holds(offset, n uint64, what string) error {
	if size := uint64(max(f.size, 0)); n > size || offset > size-n {
		return fmt.Errorf("%s: %d bytes at byte %d reach beyond the %d bytes of the file: it is cut off or damaged",
			what, n, offset, f.size)
	}
	return nil
}

// noEOF makes an end that comes too early one that says so.
func noEOF(err error) error {
	if err == io.EOF {
		return io.ErrUnexpectedEOF
	}
	return err
}

// directory reads the one at an offset.
func (f *file) directory(at uint64) (*directory, error) {
	what := fmt.Sprintf("directory at byte %d", at)
	countBytes, entryBytes, valueBytes := uint64(2), uint64(12), uint64(4)
	if f.big {
		countBytes, entryBytes, valueBytes = 8, 20, 8
	}
	head, err := f.bytes(at, countBytes, what)
	if err != nil {
		return nil, err
	}
	n := f.number(head)
	if n < 1 || n > mostEntries {
		return nil, fmt.Errorf("%s: %d entries, must be 1 to %d", what, n, mostEntries)
	}
	raw, err := f.bytes(at+countBytes, n*entryBytes+valueBytes, what)
	if err != nil {
		return nil, err
	}
	d := &directory{file: f, at: at, entries: make(map[uint16]entry, n)}
	for ; n > 0; n-- {
		tag := f.order.Uint16(raw)
		e := entry{kind: f.order.Uint16(raw[2:]), count: f.number(raw[4 : 4+valueBytes])}
		e.value = raw[4+valueBytes : entryBytes]
		if _, twice := d.entries[tag]; twice {
			return nil, fmt.Errorf("%s: tag %d is given twice", what, tag)
		}
		d.entries[tag], raw = e, raw[entryBytes:]
	}
	d.next = f.number(raw)
	return d, nil
}

// number reads a whole number that fills the bytes: 2, 4 or 8.
func (f *file) number(raw []byte) uint64 {
	switch len(raw) {
	case 1:
		return uint64(raw[0])
	case 2:
		return uint64(f.order.Uint16(raw))
	case 4:
		return uint64(f.order.Uint32(raw))
	}
	return f.order.Uint64(raw)
}

// raw returns the bytes of a tag, nil if the directory has none; most bounds them.
func (d *directory) raw(tag uint16, most uint64) (raw []byte, valueBytes int, err error) {
	e, has := d.entries[tag]
	if !has {
		return nil, 0, nil
	}
	size := kindBytes[e.kind]
	if size == 0 {
		return nil, 0, fmt.Errorf("tag %d: values of the kind %d, known are 1 to 13 and 16 to 18", tag, e.kind)
	}
	if e.count > most/size {
		return nil, 0, fmt.Errorf("tag %d: %d values, must be at most %d", tag, e.count, most/size)
	}
	if n := e.count * size; n > uint64(len(e.value)) {
		raw, err = d.bytes(d.number(e.value), n, fmt.Sprintf("tag %d", tag))
	} else {
		raw = e.value[:n]
	}
	return raw, int(size), err
}

// numbers returns the whole numbers of a tag, nil if there is none.
func (d *directory) numbers(tag uint16, most uint64) ([]uint64, error) {
	raw, size, err := d.raw(tag, min(most, math.MaxUint64/8)*8)
	if err != nil || raw == nil {
		return nil, err
	}
	switch kind := d.entries[tag].kind; kind {
	case 1, 3, 4, 13, 16, 18:
	default:
		return nil, fmt.Errorf("tag %d: values of the kind %d, must be whole numbers", tag, kind)
	}
	out := make([]uint64, len(raw)/size)
	for i := range out {
		out[i] = d.number(raw[i*size : (i+1)*size])
	}
	return out, nil
}

// one returns the only number of a tag, or what stands for it where there is none.
func (d *directory) one(tag uint16, otherwise uint64, errs *[]error) uint64 {
	all, err := d.numbers(tag, 1<<16)
	switch {
	case err != nil:
		*errs = append(*errs, err)
	case all == nil:
	case len(all) != 1:
		*errs = append(*errs, fmt.Errorf("tag %d: %d values, must be one", tag, len(all)))
	default:
		return all[0]
	}
	return otherwise
}

// floats returns the floating-point numbers of a tag, nil if there is none.
func (d *directory) floats(tag uint16) ([]float64, error) {
	raw, size, err := d.raw(tag, mostText)
	if err != nil || raw == nil {
		return nil, err
	}
	if kind := d.entries[tag].kind; kind != 12 {
		return nil, fmt.Errorf("tag %d: values of the kind %d, must be 12 (floating-point, 64 bits)", tag, kind)
	}
	out := make([]float64, len(raw)/size)
	for i := range out {
		out[i] = math.Float64frombits(d.order.Uint64(raw[8*i:]))
	}
	return out, nil
}

// text returns the text of a tag up to its first NUL.
func (d *directory) text(tag uint16) (string, error) {
	raw, _, err := d.raw(tag, mostText)
	if err != nil || raw == nil {
		return "", err
	}
	if kind := d.entries[tag].kind; kind != 2 {
		return "", fmt.Errorf("tag %d: values of the kind %d, must be 2 (text)", tag, kind)
	}
	for i, b := range raw {
		if b == 0 {
			raw = raw[:i]
			break
		}
	}
	return string(raw), nil
}

var errCircle = errors.New("the directories lead to each other in a circle: the file is damaged")

// others calls look for every directory behind d.
func (d *directory) others(look func(*directory) error) error {
	seen := map[uint64]bool{d.at: true}
	for next := d.next; next != 0; {
		if seen[next] {
			return errCircle
		}
		if len(seen) >= mostDirectories {
			return fmt.Errorf("more than %d directories", mostDirectories)
		}
		seen[next] = true
		other, err := d.directory(next)
		if err != nil {
			return err
		}
		if err := look(other); err != nil {
			return err
		}
		next = other.next
	}
	return nil
}
