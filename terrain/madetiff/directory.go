package madetiff

import (
	"encoding/binary"
	"math"
	"slices"
)

type writer struct {
	out   []byte
	order interface {
		binary.ByteOrder
		binary.AppendByteOrder
	}
	big bool
}

func (w *writer) number(size int, v uint64) { w.out = w.append(w.out, size, v) }

func (w *writer) append(out []byte, size int, v uint64) []byte {
	switch size {
	case 2:
		return w.order.AppendUint16(out, uint16(v))
	case 4:
		return w.order.AppendUint32(out, uint32(v))
	}
	return w.order.AppendUint64(out, v)
}

// offset writes one, or a count of values.
func (w *writer) offset(v uint64) {
	if w.big {
		w.number(8, v)
		return
	}
	w.number(4, v)
}

// directory writes one behind what there is, puts its offset where link says, and returns where
// the offset of the next stands.
func (w *writer) directory(tags map[uint16]Tag, link int) int {
	type field struct {
		tag, kind uint16
		count     int
		raw       []byte
	}
	var fields []field
	inline := 4
	if w.big {
		inline = 8
	}
	for tag, t := range tags {
		f := field{tag: tag, kind: t.Kind}
		switch v := t.Value.(type) {
		case string:
			f.raw = append([]byte(v), 0)
			f.count = len(f.raw)
		case []float64:
			f.count = len(v)
			for _, x := range v {
				f.raw = w.append(f.raw, 8, math.Float64bits(x))
			}
		case []uint64:
			f.count = len(v)
			for _, x := range v {
				f.raw = w.append(f.raw, map[uint16]int{3: 2, 4: 4, 16: 8}[t.Kind], x)
			}
		}
		fields = append(fields, f)
	}
	slices.SortFunc(fields, func(a, b field) int { return int(a.tag) - int(b.tag) })
	for i, f := range fields {
		if len(f.raw) > inline {
			at := len(w.out)
			w.out = append(w.out, f.raw...)
			fields[i].raw = w.append(nil, inline, uint64(at))
		}
	}
	copy(w.out[link:], w.append(nil, inline, uint64(len(w.out))))
	if w.big {
		w.number(8, uint64(len(fields)))
	} else {
		w.number(2, uint64(len(fields)))
	}
	for _, f := range fields {
		w.number(2, uint64(f.tag))
		w.number(2, uint64(f.kind))
		w.offset(uint64(f.count))
		w.out = append(append(w.out, f.raw...), make([]byte, inline-len(f.raw))...)
	}
	link = len(w.out)
	w.offset(0)
	return link
}
