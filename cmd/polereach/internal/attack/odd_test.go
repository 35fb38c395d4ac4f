package attack

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
)

// slot is a place where a stranger's file goes in. {} stands for it.
type slot struct {
	name, file string
	args       []string
	like       []byte // a sound one, to be bent
}

// with is the command line for a file.
func (s slot) with(file string) []string {
	args := slices.Clone(s.args)
	args[slices.Index(args, "{}")] = file
	return args
}

// slots lists all places but rasters, of which damaged ones are tried elsewhere.
func (c *campaign) slots(t *testing.T) []slot {
	plan := c.demo("plan.geojson")
	read := func(name string) []byte { return readAll(t, c.demo(name)) }
	dem := []string{"--dem", c.demo("dem")}
	one := &try{c: c, row: c.row("odd inputs"), kind: "odd inputs", dir: t.TempDir()}
	made := func(file string, args ...string) []byte {
		if o := one.run(c.plain, nil, append(args, "--out", file)...); o.code != 0 && o.code != 3 {
			t.Fatalf("%v: exit %d, %s", args, o.code, o.err.String())
		}
		return readAll(t, filepath.Join(one.dir, file))
	}
	part := made("part.json", "plan", "--shard", "1/1", plan)
	served := made("served.part", "coverage", "--all-poles", "--radius-km", "1", "--shard", "1/1", plan)
	state := made("state.geojson", "plan", "--format", "geojson", plan)
	csv := []byte("dist_m,ground_m,top_m\n0,300,300\n500,320,331\n1200,310,310\n4000,305,309\n")
	epw, pvgis := weathers()
	return []slot{
		{"plan", "p.geojson", append([]string{"plan", "{}"}, dem...), read("plan.geojson")},
		{"plan as CSV", "p.geojson", append([]string{"plan", "--format", "csv", "{}"}, dem...), read("plan.geojson")},
		{"plan of site", "p.geojson", append([]string{"site", "--pole", "Sorrel Ridge", "{}"}, dem...), read("plan.geojson")},
		{"plan of coverage", "p.geojson", append([]string{"coverage", "--radius-km", "1", "--pole", "Tanager Knob", "{}"},
			dem...),
			read("plan.geojson")},
		{"plan of sun", "p.geojson", append([]string{"sun", "--search-m", "0", "--pole", "Sunny Shoulder", "{}"}, dem...),
			read("sun.geojson")},
		{"plan of sheet", "p.geojson", append([]string{"sheet", "--pole", "Sunny Shoulder", "{}"}, dem...), read("sun.geojson")},
		{"plan of spots", "p.geojson", append([]string{"spots", "--most-cells", "20", "--must", "Tanager Knob", "{}"},
			dem...),
			read("spots.geojson")},
		{"plan as JSON", "p.geojson", append([]string{"plan", "--format", "json", "{}"}, dem...), read("plan.geojson")},
		{"radio", "radio.json", []string{"plan", "--radio", "{}", plan}, read("radio.json")},
		{"climate", "climate.json", []string{"sun", "--search-m", "0", "--pole", "Sunny Shoulder", "--climate", "{}",
			c.demo("sun.geojson")}, read("climate.json")},
		{"weather, EPW", "w.epw", []string{"sun", "--search-m", "0", "--pole", "Sunny Shoulder", "--weather", "{}",
			c.demo("sun.geojson")}, epw},
		{"weather, CSV", "w.csv", []string{"sun", "--search-m", "0", "--pole", "Sunny Shoulder", "--weather", "{}",
			c.demo("sun.geojson")}, pvgis},
		{"weather, gzip", "w.csv.gz", []string{"sun", "--search-m", "0", "--pole", "Sunny Shoulder", "--weather", "{}",
			c.demo("sun.geojson")}, zipped(pvgis, 1)},
		{"ground", "g.csv", []string{"link", "--height-m", "8", "--ground", "{}"}, csv},
		{"part", "part.json", []string{"plan", "--merge", "{}"}, part},
		{"coverage part", "served.part", []string{"coverage", "--merge", "{}"}, served},
		{"older run", "state.geojson", []string{"plan", "--changed-from", "{}", plan}, state},
		{"terrain", "t.asc", []string{"dem", "{}"}, smallGrid(readAll(t, filepath.Join(c.repo,
			"testdata/cumberland/cumberland_ll.asc")))},
	}
}

// zipped packs what is given so many times.
func zipped(data []byte, times int) []byte {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	for range times {
		_, _ = z.Write(data)
	}
	_ = z.Close()
	return b.Bytes()
}

// contents are files that nobody means to give.
func contents() map[string][]byte {
	list := map[string][]byte{"binary": bytes.Repeat([]byte{0xde, 0xad, 0, 0xff}, 5000),
		"bomb": zipped(make([]byte, 1<<20), 300)}
	for i, text := range []string{
		"", " ", "\n\n", "\x00", "\ufeff", "\ufeff{}", "null", "[]", "{}", "{", "}", "[[", "\"", "0", "1e999", "-", "true",
		"{}{}", "{} x", "{\"a\":1,\"a\":2}", "{\"type\":\"FeatureCollection\"}",
		"{\"type\":\"FeatureCollection\",\"features\":null}",
		"{\"type\":\"FeatureCollection\",\"features\":[]}", "{\"type\":\"FeatureCollection\",\"features\":[null]}",
		"{\"type\":\"FeatureCollection\",\"features\":[{}]}", "\xff\xfe{\x00}\x00", "\x1f\x8b", "PK\x03\x04", "II*\x00",
		"MM\x00*",
		"<VRTDataset rasterXSize=\"1\" rasterYSize=\"1\">", "\x1b[2J\x1b]0;x\x07", "\u202egnihton\u202c", "\u200b",
		"ncols 2000000000\nnrows 2000000000\nxllcorner 0\nyllcorner 0\ncellsize 1\n1", "ncols -1\nnrows 0\n", "ncols nan\n",
		"dist_m,ground_m\n0,nan\n1,inf\n", "dist_m,ground_m\n0,1e308\n1e308,-1e308\n", "a,b\n\"", "=1+1,@x\n",
		strings.Repeat("[", 200_000), strings.Repeat("{\"a\":", 100_000), strings.Repeat("x", 5<<20),
		strings.Repeat("\n", 3<<20),
		strings.Repeat("9", 1<<20), "{\"freq_mhz\":0x10}", "{\"freq_mhz\":017}", "{\"freq_mhz\":null}",
		"{\"freq_mhz\":1e-400}",
		"{\"freq_mhz\":NaN}", "{\"" + strings.Repeat("k", 100_000) + "\":1}", "{\"\\u001b[31m\":1}", "{\"\\ud800\":1}",
		many(30_000, 0), many(3_000, 1e-7), many(400, 0.0001), many(1, 90), many(2, 45),
	} {
		list[fmt.Sprintf("content %d", i)] = []byte(text)
	}
	return list
}

// many is a plan of stations in a row northward.
func many(n int, stepDeg float64) string {
	var b strings.Builder
	b.WriteString(`{"type":"FeatureCollection","features":[`)
	for i := range n {
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, `{"type":"Feature","properties":{"name":"p%d","height_m":5},"geometry":{"type":"Point","coordinates":[-84.2,%g]}}`,
			i, 36.5+float64(i)*stepDeg)
	}
	return b.String() + "]}"
}

// places are things that stand where a file should.
var places = map[string]func(path string) error{
	"folder": func(path string) error { return os.Mkdir(path, 0o755) },
	"pipe":   func(path string) error { return syscall.Mkfifo(path, 0o644) },
	"zeros":  func(path string) error { return os.Symlink("/dev/zero", path) },
	"stdin":  func(path string) error { return os.Symlink("/dev/stdin", path) },
	"loop":   func(path string) error { return os.Symlink(filepath.Base(path), path) },
	"gone":   func(path string) error { return os.Symlink("nowhere", path) },
	"memory": func(path string) error { return os.Symlink("/proc/self/mem", path) },
	"large": func(path string) error {
		f, err := os.Create(path)
		if err != nil {
			return err
		}
		defer f.Close()
		return f.Truncate(1 << 40)
	},
	"socket": func(path string) error {
		l, err := net.ListenUnix("unix", &net.UnixAddr{Name: path, Net: "unix"})
		if err != nil {
			return err
		}
		l.SetUnlinkOnClose(false)
		return l.Close()
	},
}

// odd gives every reader what it does not expect, first from the lists, then by bending.
func (c *campaign) odd(t *testing.T, share float64) {
	if c.onlyKind != "" && c.onlyKind != "odd inputs" {
		return
	}
	slots, texts := c.slots(t), contents()
	for i, s := range slots { // what is bent is sound before
		one := &try{c: c, row: c.row("sound inputs"), kind: "sound inputs", number: uint64(i), dir: t.TempDir()}
		one.put(s.file, s.like)
		if o := one.run(c.plain, nil, s.with(s.file)...); o.refused() || o.code < 0 {
			t.Errorf("%s: a sound file is refused: %s", s.name, o.err.String())
		}
		one.count(1, 0, 1, 0)
	}
	var kinds []string
	for name := range texts {
		kinds = append(kinds, name)
	}
	for name := range places {
		kinds = append(kinds, name)
	}
	slices.Sort(kinds)
	c.each("odd inputs", share, func(t *try) {
		s := slots[int(t.number)%len(slots)]
		n := int(t.number) / len(slots) / 2
		path := filepath.Join(t.dir, s.file)
		switch listed := int(t.number)/len(slots)%2 == 0 && n < len(kinds); {
		case listed && places[kinds[n]] != nil:
			if err := places[kinds[n]](path); err != nil {
				t.fault("%s cannot be made: %v", kinds[n], err)
			}
		case listed:
			t.put(s.file, texts[kinds[n]])
		default:
			t.put(s.file, bend(t.rng, s.like))
		}
		program := c.plain
		if c.gdal != "" && t.rng.IntN(4) == 0 {
			program = c.gdal
		}
		o := t.run(program, nil, s.with(s.file)...)
		t.judge(o)
		if o.refused() {
			t.count(1, 1, 0, 0)
		} else {
			t.count(1, 0, 1, 0)
		}
	})
}
