package geotiff

import (
	"encoding/binary"
	"fmt"
	"math"
	"slices"
)

// samples tells how numbers are stored; heights turns them, least significant byte first, into
// floating-point ones.
type samples struct {
	name    string
	bytes   int
	float   bool
	heights func(out []float32, raw []byte)
}

var little = binary.LittleEndian

// kinds are the samples by their bits and their format: TIFF 6.0, section 19, 1 whole without
// sign, 2 with sign, 3 IEEE floating-point.
var kinds = map[[2]uint64]samples{
	{8, 1}:  {name: "Byte", bytes: 1, heights: each(1, func(b []byte) float32 { return float32(b[0]) })},
	{8, 2}:  {name: "Int8", bytes: 1, heights: each(1, func(b []byte) float32 { return float32(int8(b[0])) })},
	{16, 1}: {name: "UInt16", bytes: 2, heights: each(2, func(b []byte) float32 { return float32(little.Uint16(b)) })},
	{16, 2}: {name: "Int16", bytes: 2, heights: each(2, func(b []byte) float32 { return float32(int16(little.Uint16(b))) })},
	{32, 1}: {name: "UInt32", bytes: 4, heights: each(4, func(b []byte) float32 { return float32(little.Uint32(b)) })},
	{32, 2}: {name: "Int32", bytes: 4, heights: each(4, func(b []byte) float32 { return float32(int32(little.Uint32(b))) })},
	{32, 3}: {name: "Float32", bytes: 4, float: true, heights: each(4, func(b []byte) float32 {
		return math.Float32frombits(little.Uint32(b))
	})},
	{64, 3}: {name: "Float64", bytes: 8, float: true, heights: each(8, func(b []byte) float32 {
		return float32(math.Float64frombits(little.Uint64(b)))
	})},
}

// each makes a loop of a conversion.
func each(size int, height func([]byte) float32) func(out []float32, raw []byte) {
	return func(out []float32, raw []byte) {
		for i := range out {
			out[i] = height(raw[i*size : (i+1)*size])
		}
	}
}

// setSamples settles the kind of the numbers of the only band.
func (r *Raster) setSamples(bits, formats []uint64) error {
	if formats == nil {
		formats = []uint64{1}
	}
	if len(bits) != 1 || len(formats) != 1 {
		return fmt.Errorf("samples of %v bits of the formats %v, must be one each", bits, formats)
	}
	kind, known := kinds[[2]uint64{bits[0], formats[0]}]
	if !known {
		return refused(wayValues, "samples of %d bits of the format %d; built in are whole numbers of 8, 16 and 32 bits "+
			"and floating-point ones of 32 and 64", bits[0], formats[0])
	}
	r.samples, r.DataType = kind, kind.name
	return nil
}

// swap turns bytes of samples round.
func swap(raw []byte, size int) {
	for ; len(raw) >= size; raw = raw[size:] {
		slices.Reverse(raw[:size])
	}
}

// undoDifferences adds up the samples of a row, least significant byte first: TIFF 6.0, section
// 14, horizontal differencing, for samples of any size.
func undoDifferences(row []byte, size int) {
	switch size {
	case 1:
		for i := 1; i < len(row); i++ {
			row[i] += row[i-1]
		}
	case 2:
		for sum := uint16(0); len(row) >= 2; row = row[2:] {
			sum += little.Uint16(row)
			little.PutUint16(row, sum)
		}
	case 4:
		for sum := uint32(0); len(row) >= 4; row = row[4:] {
			sum += little.Uint32(row)
			little.PutUint32(row, sum)
		}
	case 8:
		for sum := uint64(0); len(row) >= 8; row = row[8:] {
			sum += little.Uint64(row)
			little.PutUint64(row, sum)
		}
	}
}

// undoFloatPrediction turns a row of differences of bytes, first the most significant ones of all
// samples, last the least, into samples, least significant byte first: TIFF Technical Note 3.
// The order is that whatever the file's. scratch is as long as the row.
func undoFloatPrediction(row, scratch []byte, size int) {
	for i := 1; i < len(row); i++ {
		row[i] += row[i-1]
	}
	copy(scratch, row)
	n := len(row) / size
	for plane := range size {
		from := scratch[plane*n : (plane+1)*n]
		for i, b := range from {
			row[i*size+size-1-plane] = b
		}
	}
}
