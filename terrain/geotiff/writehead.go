package geotiff

import (
	"bytes"
	"encoding/binary"
	"encoding/xml"
	"errors"
	"fmt"
	"math"
	"strconv"

	"github.com/polereach/polereach/terrain/fault"
)

// field is a tag to be written (TIFF 6.0, section 2): its type, how many values, and these.
type field struct {
	tag, kind uint16
	count     int
	raw       []byte
}

func shortTag(tag uint16, v ...uint16) field {
	raw, _ := binary.Append(nil, binary.LittleEndian, v)
	return field{tag, 3, len(v), raw}
}

func longTag(tag uint16, v ...uint32) field {
	raw, _ := binary.Append(nil, binary.LittleEndian, v)
	return field{tag, 4, len(v), raw}
}

func doubleTag(tag uint16, v ...float64) field {
	raw, _ := binary.Append(nil, binary.LittleEndian, v)
	return field{tag, 12, len(v), raw}
}

func textTag(tag uint16, text string) field {
	return field{tag, 2, len(text) + 1, append([]byte(text), 0)}
}

// Head returns what stands before the tiles of a raster, whose lengths in bytes are told; Row is not
// asked. The error is that of [Write].
func Head(im Image, sizes []uint32) ([]byte, error) {
	if err := im.check(); err != nil {
		return nil, err
	}
	if across, down := im.tiles(); len(sizes) != across*down {
		return nil, fault.Input("GeoTIFF: %d sizes of tiles, must be %d", len(sizes), across*down)
	}
	if im.Scale == 0 {
		im.Scale = 1
	}
	bits, format, predictor := uint16(8), uint16(1), uint16(1) // without sign
	if im.Wide {
		bits, format, predictor = 16, 2, 2 // two's complement, differences
	}
	starts, lengths := longTag(324, make([]uint32, len(sizes))...), longTag(325, sizes...)
	fields := []field{
		longTag(256, uint32(im.Cols)), longTag(257, uint32(im.Rows)), shortTag(258, bits),
		shortTag(259, 8), // DEFLATE
		shortTag(262, 1), // low is black
		shortTag(277, 1), // bands
		shortTag(284, 1), shortTag(317, predictor), shortTag(322, TileSide), shortTag(323, TileSide),
		starts, lengths, shortTag(339, format),
		doubleTag(33550, im.StepLonDeg, im.StepLatDeg, 0),
		doubleTag(33922, 0, 0, 0, im.WestDeg-im.StepLonDeg/2, im.NorthDeg+im.StepLatDeg/2, 0),
		// OGC 19-008r4: geographic, a pixel is an area, EPSG:4326, degrees.
		shortTag(34735, 1, 1, 0, 4, 1024, 0, 1, 2, 1025, 0, 1, 1, 2048, 0, 1, 4326, 2054, 0, 1, 9102),
		textTag(42112, im.metadata()), textTag(42113, strconv.Itoa(int(im.NoData))),
	}
	size := 8 + 2 + 12*len(fields) + 4
	for _, f := range fields {
		if len(f.raw) > 4 {
			size += len(f.raw) + len(f.raw)%2
		}
	}
	end := uint64(size)
	for i, size := range sizes {
		binary.LittleEndian.PutUint32(starts.raw[4*i:], uint32(end))
		end += uint64(size)
	}
	if end > math.MaxUint32 {
		return nil, fault.Input("GeoTIFF: %d columns by %d rows take %d bytes, at most 4 GiB fit", im.Cols, im.Rows, end)
	}
	return layOut(fields, size), nil
}

// layOut writes the file's first eight bytes, the directory behind them, and behind that what does
// not fit into it.
func layOut(fields []field, size int) []byte {
	le := binary.LittleEndian
	out := le.AppendUint32(append(make([]byte, 0, size), 'I', 'I', 42, 0), 8)
	out = le.AppendUint16(out, uint16(len(fields)))
	behind := make([]byte, 0, size)
	first := len(out) + 12*len(fields) + 4
	for _, f := range fields {
		out = le.AppendUint16(le.AppendUint16(out, f.tag), f.kind)
		out = le.AppendUint32(out, uint32(f.count))
		if len(f.raw) <= 4 {
			out = append(append(out, f.raw...), make([]byte, 4-len(f.raw))...)
			continue
		}
		out = le.AppendUint32(out, uint32(first+len(behind)))
		behind = append(behind, f.raw...)
		if len(behind)%2 > 0 {
			behind = append(behind, 0) // what is pointed at begins at an even place
		}
	}
	return append(le.AppendUint32(out, 0), behind...)
}

// metadata is the text of tag 42112 (GDAL, GTiff driver documentation). The driver escapes the
// texts once more than XML asks for, and reads them so.
func (im *Image) metadata() string {
	var b, once bytes.Buffer
	b.WriteString("<GDALMetadata>\n")
	for _, item := range [][3]string{
		{"DESCRIPTION", "description", im.Description}, {"UNITTYPE", "unittype", im.Unit},
		{"OFFSET", "offset", "0"}, {"SCALE", "scale", strconv.FormatFloat(im.Scale, 'g', -1, 64)},
	} {
		fmt.Fprintf(&b, `  <Item name="%s" sample="0" role="%s">`, item[0], item[1])
		once.Reset()
		_ = errors.Join(xml.EscapeText(&once, []byte(item[2])), xml.EscapeText(&b, once.Bytes())) // into memory
		b.WriteString("</Item>\n")
	}
	b.WriteString("</GDALMetadata>\n")
	return b.String()
}
