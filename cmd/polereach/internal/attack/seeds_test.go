package attack

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// sound is an undamaged raster: its files, of which damage falls on one, and what the
// program reads from it.
type sound struct {
	name, program string
	open          string // the file that the command line names
	hit           string // the file that is damaged
	files         map[string][]byte
	// told are the parts of hit that carry a checksum: damage within them is told.
	told []span
	// length tells that the format fixes the length of the file.
	length bool
	ways   []way
}

type span struct{ from, to int } // half open, bytes

// makeSounds makes rasters of every promised format. Those of GDAL need gdal_translate.
func (c *campaign) makeSounds(t *testing.T) []*sound {
	dir := filepath.Join(c.work, "sound")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	data := filepath.Join(c.repo, "testdata", "cumberland")
	whole := readAll(t, filepath.Join(data, "N36W085.hgt.zip"))
	hgt := unzip(t, whole)
	prj := readAll(t, filepath.Join(data, "cumberland_ll.prj"))
	asc := smallGrid(readAll(t, filepath.Join(data, "cumberland_ll.asc")))
	all := []*sound{
		{name: "hgt", open: "N36W085.hgt", length: true, files: map[string][]byte{"N36W085.hgt": hgt}},
		{name: "hgt.zip", open: "N36W085.hgt.zip", told: []span{{0, len(whole)}},
			files: map[string][]byte{"N36W085.hgt.zip": whole}},
		{name: "hgt.gz", open: "N36W085.hgt.gz", files: map[string][]byte{"N36W085.hgt.gz": zipped(hgt, 1)}},
		{name: "tif", open: "a.tif", files: map[string][]byte{"a.tif": readAll(t, filepath.Join(data, "cumberland_ll_int16.tif"))}},
		{name: "asc", open: "a.asc", files: map[string][]byte{"a.asc": asc, "a.prj": prj}},
		{name: "asc, its prj", open: "a.asc", hit: "a.prj", files: map[string][]byte{"a.asc": asc, "a.prj": prj}},
	}
	for _, s := range all {
		s.program = c.plain
	}
	if c.gdal == "" {
		fmt.Println("attack: no build with GDAL: its formats are left out")
		return all
	}
	all = append(all, &sound{name: "tif, UTM", program: c.gdal, open: "a.tif",
		files: map[string][]byte{"a.tif": readAll(t, filepath.Join(data, "cumberland_utm16n_float32.tif"))}})
	if _, err := exec.LookPath("gdal_translate"); err != nil {
		fmt.Println("attack: no gdal_translate: of the formats of GDAL only the GeoTIFFs of the tests are tried")
		return all
	}
	ll, utm := filepath.Join(data, "cumberland_ll_int16.tif"), filepath.Join(data, "cumberland_utm16n_float32.tif")
	tile := filepath.Join(dir, "N36W085.hgt")
	if err := os.WriteFile(tile, hgt, 0o644); err != nil {
		t.Fatal(err)
	}
	small := "-srcwin 100 100 41 37 "
	for _, made := range []struct{ name, file, args, from string }{
		{"tif, deflate", "b.tif", small + "-of GTiff -co COMPRESS=DEFLATE -co PREDICTOR=2", ll},
		{"tif, none", "c.tif", small + "-of GTiff -co BLOCKYSIZE=8", ll},
		{"tif, lzw", "d.tif", small + "-of GTiff -co COMPRESS=LZW", utm},
		{"tif, tiles", "e.tif", small + "-of GTiff -co TILED=YES -co BLOCKXSIZE=16 -co BLOCKYSIZE=16 -co COMPRESS=DEFLATE", utm},
		{"tif, big", "f.tif", small + "-of GTiff -co BIGTIFF=YES -co COMPRESS=DEFLATE", ll},
		{"tif, sparse", "g.tif", small + "-of GTiff -co SPARSE_OK=TRUE -co COMPRESS=DEFLATE", ll},
		{"cog", "h.tif", small + "-of COG", ll},
		{"vrt", "i.vrt", small + "-of VRT", ll},
		{"srtmhgt in vrt", "j.vrt", "-of VRT", tile},
		{"aaigrid", "k.asc", small + "-of AAIGrid", utm},
		{"dted", "w085n36.dt0", "-of DTED -outsize 121 121 -r nearest", tile},
	} {
		path := filepath.Join(dir, made.file)
		args := append(append([]string{"-q"}, strings.Fields(made.args)...), made.from, path)
		if out, err := exec.Command("gdal_translate", args...).CombinedOutput(); err != nil {
			fmt.Printf("attack: %s is left out, gdal_translate cannot make it: %s\n", made.name, out)
			continue
		}
		s := &sound{name: made.name, program: c.gdal, open: made.file,
			files: map[string][]byte{made.file: readAll(t, path)}}
		if strings.HasSuffix(made.file, ".tif") && made.from == ll {
			s.program = c.plain // in degrees both builds read it without GDAL
		}
		if side, err := os.ReadFile(strings.TrimSuffix(path, filepath.Ext(path)) + ".prj"); err == nil {
			s.files[strings.TrimSuffix(made.file, ".asc")+".prj"] = side
		}
		if strings.HasSuffix(made.file, ".vrt") { // its source comes along
			from := filepath.Base(made.from)
			s.files[from] = readAll(t, made.from)
			text := strings.ReplaceAll(string(s.files[made.file]), made.from, from)
			text = strings.ReplaceAll(text, `relativeToVRT="0"`, `relativeToVRT="1"`)
			s.files[made.file] = []byte(text)
			behind := *s
			behind.name, behind.hit = s.name+", its source", from
			all = append(all, &behind)
		}
		all = append(all, s)
	}
	for _, s := range all {
		if s.hit != "" { // behind a VRT the sums are not looked at, as the documents say
			continue
		}
		switch body := s.files[s.damaged()]; filepath.Ext(s.damaged()) {
		case ".tif":
			s.told = deflated(body)
		case ".dt0":
			s.told = []span{{3428, len(body)}} // the records of data, MIL-PRF-89020B
		case ".hgt":
			s.length = true
		}
	}
	return all
}

func (s *sound) damaged() string {
	if s.hit != "" {
		return s.hit
	}
	return s.open
}

func readAll(t *testing.T, path string) []byte {
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func unzip(t *testing.T, data []byte) []byte {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	f, err := z.File[0].Open()
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	out, err := io.ReadAll(f)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// smallGrid keeps a corner of an ASCII grid.
func smallGrid(data []byte) []byte {
	const cols, rows = 33, 31
	lines := strings.Split(string(data), "\n")
	b := &strings.Builder{}
	fmt.Fprintf(b, "ncols %d\nnrows %d\n%s\n%s\n%s\n", cols, rows, lines[2], lines[3], lines[4])
	for _, line := range lines[5 : 5+rows] {
		fmt.Fprintln(b, strings.Join(strings.Fields(line)[:cols], " "))
	}
	return []byte(b.String())
}

// deflated lists the blocks of a classic little-endian TIFF with DEFLATE, of its first
// directory: they end with an Adler-32 sum (TIFF 6.0, section 2; RFC 1950).
func deflated(data []byte) []span {
	le := binary.LittleEndian
	if len(data) < 8 || string(data[:4]) != "II*\x00" {
		return nil
	}
	at := int(le.Uint32(data[4:]))
	values := map[uint16][]int{}
	for n := int(le.Uint16(data[at:])); n > 0; n-- {
		entry := data[at+2+(n-1)*12:]
		size := map[uint16]int{3: 2, 4: 4}[le.Uint16(entry[2:])]
		count := int(le.Uint32(entry[4:]))
		from := entry[8:]
		if size*count > 4 {
			from = data[le.Uint32(entry[8:]):]
		}
		for i := 0; i < count && size > 0; i++ {
			v := int(le.Uint16(from[i*size:]))
			if size == 4 {
				v = int(le.Uint32(from[i*size:]))
			}
			values[le.Uint16(entry)] = append(values[le.Uint16(entry)], v)
		}
	}
	if c := values[259]; len(c) != 1 || c[0] != 8 && c[0] != 32946 {
		return nil
	}
	var spans []span
	for _, tags := range [][2]uint16{{273, 279}, {324, 325}} {
		for i, from := range values[tags[0]] {
			spans = append(spans, span{from, from + values[tags[1]][i]})
		}
	}
	return spans
}
