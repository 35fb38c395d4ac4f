// Package madetiff writes small GeoTIFF files for tests, in the many ways that programs store
// them, by TIFF 6.0 and OGC 19-008r4. It shares no code with the reader.
package madetiff

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"math"
)

// Image describes a raster. What is left zero is written the plainest way.
type Image struct {
	Cols, Rows int
	// West, North and the steps place the posts, degrees.
	West, North, StepLon, StepLat float64
	// Height is asked for every post.
	Height func(col, row int) float64
	// Kind is Int16 if empty, else Byte, UInt16, Int32, Float32, Float64.
	Kind           string
	BigEndian, Big bool
	// Compression and Predictor are 1 if 0.
	Compression, Predictor int
	// TileCols and TileRows make tiles; else StripRows rows are a strip, all if 0.
	TileCols, TileRows, StripRows int
	// Point says that pixels are points.
	Point bool
	// NoData is the text of the tag, none if empty.
	NoData string
	// Missing tells which blocks a sparse file leaves out.
	Missing func(block int) bool
	// Overviews are written behind the raster, each half as large as the last, with nothing but 7
	// as heights; Mask adds the mask of the first of them.
	Overviews int
	Mask      bool
	// Change, if set, may do anything to the tags of the raster.
	Change func(tags map[uint16]Tag)
}

// Tag is the value of a tag: []uint64 for kinds 3, 4 and 16, []float64 for 12, string for 2.
type Tag struct {
	Kind  uint16
	Value any
}

// Bytes returns the file.
func (im Image) Bytes() []byte {
	w := &writer{big: im.Big, order: binary.LittleEndian}
	w.out = []byte("II")
	if im.BigEndian {
		w.order, w.out = binary.BigEndian, []byte("MM")
	}
	w.number(2, uint64(map[bool]int{false: 42, true: 43}[im.Big]))
	if im.Big {
		w.number(2, 8)
		w.number(2, 0)
	}
	link := len(w.out)
	w.offset(0)
	images := []Image{im}
	for k := range im.Overviews {
		o := im
		o.Cols, o.Rows = max(1, im.Cols>>(k+1)), max(1, im.Rows>>(k+1))
		o.Height, o.Change = func(int, int) float64 { return 7 }, func(tags map[uint16]Tag) {
			tags[254] = Tag{4, []uint64{1}}
			for _, tag := range []uint16{33550, 33922, 34735} {
				delete(tags, tag)
			}
		}
		images = append(images, o)
		if im.Mask && k == 0 {
			o.Change = func(tags map[uint16]Tag) { tags[254] = Tag{4, []uint64{5}} }
			images = append(images, o)
		}
	}
	for _, image := range images {
		tags := image.tags(w)
		if image.Change != nil {
			image.Change(tags)
		}
		link = w.directory(tags, link)
	}
	return w.out
}

// tags writes the blocks and returns the tags.
func (im Image) tags(w *writer) map[uint16]Tag {
	kind := map[string][2]uint64{"": {16, 2}, "Int16": {16, 2}, "Byte": {8, 1}, "UInt16": {16, 1}, "Int32": {32, 2},
		"Float32": {32, 3}, "Float64": {64, 3}}[im.Kind]
	x, y := im.West, im.North
	if !im.Point {
		x, y = x-im.StepLon/2, y+im.StepLat/2
	}
	pixel := uint64(1)
	if im.Point {
		pixel = 2
	}
	short := func(v ...uint64) Tag { return Tag{3, v} }
	tags := map[uint16]Tag{
		256: {4, []uint64{uint64(im.Cols)}}, 257: {4, []uint64{uint64(im.Rows)}}, 258: short(kind[0]), 339: short(kind[1]),
		259: short(uint64(max(1, im.Compression))), 262: short(1), 277: short(1), 284: short(1),
		33550: {12, []float64{im.StepLon, im.StepLat, 0}}, 33922: {12, []float64{0, 0, 0, x, y, 0}},
		34735: short(1, 1, 0, 3, 1024, 0, 1, 2, 1025, 0, 1, pixel, 2048, 0, 1, 4326),
	}
	if im.Predictor > 1 {
		tags[317] = short(uint64(im.Predictor))
	}
	if im.NoData != "" {
		tags[42113] = Tag{2, im.NoData}
	}
	cols, rows := im.TileCols, im.TileRows
	offsets, counts := uint16(324), uint16(325)
	if cols == 0 {
		cols, rows = im.Cols, im.StripRows
		if rows == 0 {
			rows = im.Rows
		}
		offsets, counts = 273, 279
		tags[278] = Tag{4, []uint64{uint64(rows)}}
	} else {
		tags[322], tags[323] = short(uint64(cols)), short(uint64(rows))
	}
	var at, size []uint64
	for top := 0; top < im.Rows; top += rows {
		for left := 0; left < im.Cols; left += cols {
			if im.Missing != nil && im.Missing(len(at)) {
				at, size = append(at, 0), append(size, 0)
				continue
			}
			high := rows
			if im.TileCols == 0 {
				high = min(rows, im.Rows-top)
			}
			packed := im.block(w.order, left, top, cols, high, int(kind[0])/8)
			at, size = append(at, uint64(len(w.out))), append(size, uint64(len(packed)))
			w.out = append(w.out, packed...)
		}
	}
	tags[offsets], tags[counts] = Tag{4, at}, Tag{4, size}
	if im.Big {
		tags[offsets] = Tag{16, at}
	}
	return tags
}

// block stores a block: numbers, predicted, compressed.
func (im Image) block(order binary.AppendByteOrder, left, top, cols, rows, size int) []byte {
	var out []byte
	for row := top; row < top+rows; row++ {
		var bits []uint64
		for col := left; col < left+cols; col++ {
			h := 0.0 // beyond the raster
			if col < im.Cols && row < im.Rows {
				h = im.Height(col, row)
			}
			bits = append(bits, im.bits(h))
		}
		switch im.Predictor {
		case 2:
			for i := len(bits) - 1; i > 0; i-- {
				bits[i] -= bits[i-1]
			}
		case 3:
			line := make([]byte, 0, cols*size)
			for shift := 8 * (size - 1); shift >= 0; shift -= 8 {
				for _, b := range bits {
					line = append(line, byte(b>>shift))
				}
			}
			for i := len(line) - 1; i > 0; i-- {
				line[i] -= line[i-1]
			}
			out = append(out, line...)
			continue
		}
		for _, b := range bits {
			switch size {
			case 1:
				out = append(out, byte(b))
			case 2:
				out = order.AppendUint16(out, uint16(b))
			case 4:
				out = order.AppendUint32(out, uint32(b))
			case 8:
				out = order.AppendUint64(out, b)
			}
		}
	}
	switch im.Compression {
	case 5:
		return lzw(out)
	case 8, 32946:
		var b bytes.Buffer
		z, err := zlib.NewWriterLevel(&b, zlib.BestSpeed)
		if err != nil {
			panic(err)
		}
		z.Write(out)
		z.Close()
		return b.Bytes()
	case 32773:
		return packBits(out)
	}
	return out
}

// bits are those of a number as it is stored.
func (im Image) bits(h float64) uint64 {
	switch im.Kind {
	case "Float32":
		return uint64(math.Float32bits(float32(h)))
	case "Float64":
		return math.Float64bits(h)
	}
	return uint64(int64(h))
}
