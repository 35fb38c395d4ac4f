package geotiff

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/polereach/polereach/terrain/madetiff"
)

func small() madetiff.Image {
	return madetiff.Image{Cols: 20, Rows: 12, West: 7, North: 48, StepLon: 0.01, StepLat: 0.01, Compression: 8,
		TileCols: 16, TileRows: 16, Height: hills("")}
}

// with returns a small file of which some tags are others.
func with(tags map[uint16]madetiff.Tag) []byte {
	im := small()
	im.Change = func(all map[uint16]madetiff.Tag) {
		for tag, value := range tags {
			if value.Value == nil {
				delete(all, tag)
				continue
			}
			all[tag] = value
		}
	}
	return im.Bytes()
}

func shorts(v ...uint64) madetiff.Tag   { return madetiff.Tag{Kind: 3, Value: v} }
func doubles(v ...float64) madetiff.Tag { return madetiff.Tag{Kind: 12, Value: v} }

// keys are GeoTIFF keys: pairs of a number and a short value.
func keys(v ...uint64) madetiff.Tag {
	list := []uint64{1, 1, 0, uint64(len(v) / 2)}
	for i := 0; i < len(v); i += 2 {
		list = append(list, v[i], 0, 1, v[i+1])
	}
	return shorts(list...)
}

type tags = map[uint16]madetiff.Tag

// What is another kind of raster is refused by a sentence that names the way out.
func TestRefused(t *testing.T) {
	text := func(s string) madetiff.Tag { return madetiff.Tag{Kind: 2, Value: s} }
	item := func(role, value string) madetiff.Tag {
		return text(`<GDALMetadata><Item name="X" sample="0" role="` + role + `">` + value + `</Item></GDALMetadata>`)
	}
	for name, tc := range map[string]struct {
		tags  tags
		words []string
	}{
		"projected":           {tags{34735: keys(1024, 1, 3072, 32616)}, []string{"EPSG:32616", "gdalwarp -t_srs EPSG:4326"}},
		"projected, no model": {tags{34735: keys(3072, 32616)}, []string{"EPSG:32616", "gdalwarp"}},
		"projected by name": {tags{34737: text("Site grid|"), 34735: shorts(1, 1, 0, 2, 1024, 0, 1, 1, 1026, 34737, 10, 0)},
			[]string{`"Site grid"`}},
		"geocentric":         {tags{34735: keys(1024, 3, 2048, 4978)}, []string{"model 3"}},
		"old datum":          {tags{34735: keys(1024, 2, 2048, 4314)}, []string{"EPSG:4314", "gdalwarp"}},
		"unknown user datum": {tags{34735: keys(1024, 2, 2048, 32767)}, []string{"one of its own"}},
		"grads":              {tags{34735: keys(1024, 2, 2048, 4326, 2054, 9105)}, []string{"unit 9105"}},
		"from Paris":         {tags{34735: keys(1024, 2, 2048, 4326, 2051, 8903)}, []string{"meridian 8903"}},
		"no system":          {tags{34735: {}}, []string{"no coordinate system", "-a_srs EPSG:4326"}},
		"no place":           {tags{33550: {}}, []string{"where its pixels lie"}},
		"many tie points": {tags{33550: {}, 33922: doubles(0, 0, 0, 7, 48, 0, 1, 1, 0, 8, 47, 0)},
			[]string{"2 tie points"}},
		"rotated": {tags{33550: {}, 33922: {}, 34264: doubles(.1, .1, 0, 7, .1, -.1, 0, 48, 0, 0, 0, 0, 0, 0, 0, 1)},
			[]string{"rotated"}},
		"south up":       {tags{33550: doubles(0.01, -0.01, 0)}, []string{"0.01° by -0.01°"}},
		"scaled z":       {tags{33550: doubles(0.01, 0.01, 0.5)}, []string{"scaled"}},
		"raised z":       {tags{33922: doubles(0, 0, 0, 7, 48, 100)}, []string{"scaled"}},
		"feet":           {tags{34735: keys(1024, 2, 2048, 4326, 4096, 5703, 4099, 9002)}, []string{"unit 9002", "gdal_calc"}},
		"feet by system": {tags{34735: keys(1024, 2, 2048, 4326, 4096, 6360)}, []string{"EPSG:6360"}},
		"feet by GDAL":   {tags{42112: item("unittype", "ft")}, []string{`"ft"`}},
		"scale":          {tags{42112: item("scale", "0.1")}, []string{"scale", `"0.1"`}},
		"offset":         {tags{42112: item("offset", "x")}, []string{"offset", `"x"`}},
		"bands":          {tags{277: shorts(3), 258: shorts(16, 16, 16), 339: shorts(2, 2, 2)}, []string{"3 bands", "-b 1"}},
		"colours":        {tags{262: shorts(2)}, []string{"colours"}},
		"ZSTD":           {tags{259: shorts(50000)}, []string{"ZSTD", "COMPRESS=DEFLATE"}},
		"LERC":           {tags{259: shorts(34887)}, []string{"LERC"}},
		"JPEG":           {tags{259: shorts(7)}, []string{"JPEG"}},
		"unheard of":     {tags{259: shorts(999)}, []string{"number 999"}},
		"12 bits":        {tags{258: shorts(12)}, []string{"12 bits"}},
		"complex":        {tags{258: shorts(32), 339: shorts(5)}, []string{"format 5"}},
		"mask first":     {tags{254: shorts(4)}, []string{"mask"}},
		"bits turned":    {tags{266: shorts(2)}, []string{"order 2"}},
		"huge blocks":    {tags{322: shorts(60000), 323: shorts(60000)}, []string{"60000 by 60000", "TILED=YES"}},
		"huge":           {tags{256: {Kind: 4, Value: []uint64{1 << 17}}, 257: {Kind: 4, Value: []uint64{1 << 17}}}, []string{"131072", "-projwin"}},
	} {
		wantRefused(t, name, with(tc.tags), tc.words...)
	}
	im := small()
	im.Cols, im.Rows, im.Overviews, im.Mask = 1, 1, 1, true // the overview of one post is as large as the raster
	wantRefused(t, "mask", im.Bytes(), "mask", "gdalwarp -dstnodata")
	if _, err := Open(bytes.NewReader(with(nil)), int64(len(with(nil)))); err != nil {
		t.Errorf("what all of these were changed from: %v", err)
	}
}

func wantRefused(t *testing.T, name string, data []byte, words ...string) {
	t.Helper()
	_, err := Open(bytes.NewReader(data), int64(len(data)))
	if !errors.Is(err, ErrRefused) {
		t.Errorf("%s: error %v, want ErrRefused", name, err)
		return
	}
	for _, w := range append(words, "-tags gdal") {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("%s: error %q does not mention %q", name, err, w)
		}
	}
}

// What leaves heights in metres on WGS 84 is no reason to refuse.
func TestTaken(t *testing.T) {
	for name, tc := range map[string]struct {
		tags          tags
		crs, vertical string
	}{
		"plain":            {tags{}, "WGS 84", ""},
		"EGM2008":          {tags{34735: keys(1024, 2, 2048, 4326, 4096, 3855)}, "WGS 84", "EGM2008 height"},
		"unknown, metres":  {tags{34735: keys(1024, 2, 2048, 4326, 4096, 9999, 4099, 9001)}, "WGS 84", "EPSG:9999"},
		"NAD83":            {tags{34735: keys(1024, 2, 2048, 4269, 2054, 9102)}, "NAD83", ""},
		"by its datum":     {tags{34735: keys(1024, 2, 2048, 32767, 2050, 6326)}, "", ""},
		"no model":         {tags{34735: keys(2048, 4258)}, "ETRS89", ""},
		"metadata, metres": {tags{42112: {Kind: 2, Value: `<GDALMetadata><Item name="A" role="unittype">metre</Item></GDALMetadata>`}}, "WGS 84", ""},
		"matrix": {tags{33550: {}, 33922: {}, 34264: doubles(.01, 0, 0, 7, 0, -.01, 0, 48, 0, 0, 0, 0, 0, 0, 0, 1)},
			"WGS 84", ""},
	} {
		data := with(tc.tags)
		r, err := Open(bytes.NewReader(data), int64(len(data)))
		if err != nil || r.CRS != tc.crs || r.VerticalCRS != tc.vertical {
			t.Errorf("%s: %v, %v", name, r, err)
		}
	}
}

// What contradicts itself is an error, and nothing that another reader should try.
func TestContradictions(t *testing.T) {
	long := func(v ...uint64) madetiff.Tag { return madetiff.Tag{Kind: 4, Value: v} }
	for name, tc := range map[string]struct {
		data  []byte
		words []string
	}{
		"empty":             {nil, []string{"0 bytes of the file"}},
		"text":              {[]byte("Dear reader, no heights"), []string{"not a TIFF", `"De"`}},
		"version":           {[]byte("II\x07\x00\x00\x00\x00\x00"), []string{"version is 7"}},
		"no columns":        {with(tags{256: long(0)}), []string{"0 by 12"}},
		"two widths":        {with(tags{256: long(20, 20)}), []string{"tag 256", "2 values"}},
		"width of text":     {with(tags{256: {Kind: 2, Value: "abc"}}), []string{"tag 256", "kind 2"}},
		"width of no kind":  {with(tags{256: {Kind: 99, Value: ""}}), []string{"tag 256", "kind 99"}},
		"too few blocks":    {with(tags{257: long(100)}), []string{"2 offsets", "must be 14"}},
		"beyond the file":   {with(tags{324: long(100, 1e9)}), []string{"block 2 of 2", "cut off"}},
		"too small to hold": {with(tags{325: shorts(0, 0)}), []string{"block 1 of 2", "cannot hold"}},
		"no offsets":        {with(tags{324: {}}), []string{"0 offsets"}},
		"predictor":         {with(tags{317: shorts(4)}), []string{"predictor 4"}},
		"float predictor":   {with(tags{317: shorts(3)}), []string{"predictor 3 over Int16"}},
		"no-data":           {with(tags{42113: {Kind: 2, Value: "none"}}), []string{`"none"`}},
		"bits for nobody":   {with(tags{258: shorts(16, 16)}), []string{"[16 16]"}},
		"keys cut":          {with(tags{34735: shorts(1, 1, 0, 9, 1024, 0, 1, 2)}), []string{"too few"}},
		"keys beyond":       {with(tags{34735: shorts(1, 1, 0, 2, 1024, 0, 1, 2, 2057, 34736, 1, 5)}), []string{"key 2057"}},
		"metadata":          {with(tags{42112: {Kind: 2, Value: "<a"}}), []string{"42112"}},
	} {
		_, err := Open(bytes.NewReader(tc.data), int64(len(tc.data)))
		if err == nil || errors.Is(err, ErrRefused) {
			t.Errorf("%s: error %v", name, err)
			continue
		}
		for _, w := range tc.words {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: error %q does not mention %q", name, err, w)
			}
		}
	}
}

// A file cut anywhere is told, when it is opened or when it is read.
func TestCutFiles(t *testing.T) {
	for _, compression := range []int{1, 5, 8, 32773} {
		im := small()
		im.Compression = compression
		whole := im.Bytes()
		for n := range whole {
			if err := openAndRead(whole[:n]); err == nil {
				t.Errorf("compression %d: %d of %d bytes are read as the whole", compression, n, len(whole))
			}
		}
		if err := openAndRead(whole); err != nil {
			t.Errorf("compression %d: %v", compression, err)
		}
	}
}

func openAndRead(data []byte) error {
	r, err := Open(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return err
	}
	return r.Read(make([]float32, r.Cols*r.Rows), 0, 0, r.Cols, r.Rows)
}

// A bit turned over in a block of DEFLATE is told; no height is another one.
func TestDamagedBlocks(t *testing.T) {
	im := small()
	whole := im.Bytes()
	r := open(t, whole)
	want := all(t, r)
	told := 0
	for k := range r.offsets {
		for at := r.offsets[k]; at < r.offsets[k]+r.counts[k]; at++ {
			for bit := range 8 {
				damaged := bytes.Clone(whole)
				damaged[at] ^= 1 << bit
				d := open(t, damaged)
				got := make([]float32, len(want))
				if err := d.Read(got, 0, 0, d.Cols, d.Rows); err != nil {
					told++
					continue
				}
				for i := range want {
					if got[i] != want[i] {
						t.Fatalf("bit %d of byte %d: post %d is %v m, want %v", bit, at, i, got[i], want[i])
					}
				}
			}
		}
	}
	t.Logf("%d damages told", told)
	if told < 1000 {
		t.Error("hardly any")
	}
}

// Directories in a circle, and more of them than any file has.
func TestCircleOfDirectories(t *testing.T) {
	im := small()
	im.Overviews = 2
	data := im.Bytes()
	first := binary.LittleEndian.Uint32(data[4:])
	// The link of the last directory ends the file.
	binary.LittleEndian.PutUint32(data[len(data)-4:], first)
	if _, err := Open(bytes.NewReader(data), int64(len(data))); !errors.Is(err, errCircle) {
		t.Errorf("error %v, want a circle", err)
	}
	im.Overviews = mostDirectories
	data = im.Bytes()
	_, err := Open(bytes.NewReader(data), int64(len(data)))
	if err == nil || !strings.Contains(err.Error(), fmt.Sprint(mostDirectories)) {
		t.Errorf("error %v, want one about %d directories", err, mostDirectories)
	}
}

func TestWindowsOutside(t *testing.T) {
	r := open(t, small().Bytes())
	for _, w := range [][4]int{{-1, 0, 2, 2}, {0, -1, 2, 2}, {19, 0, 2, 2}, {0, 11, 2, 2}, {0, 0, 0, 2}, {0, 0, 2, 0},
		{0, 0, math.MaxInt, 1}} {
		if err := r.Read(make([]float32, 4), w[0], w[1], w[2], w[3]); err == nil {
			t.Errorf("window %v is read", w)
		}
	}
	if err := r.Read(make([]float32, 3), 0, 0, 2, 2); err == nil {
		t.Error("four heights into room for three")
	}
}
