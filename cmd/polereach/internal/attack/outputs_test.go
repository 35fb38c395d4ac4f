package attack

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// writing is a command that writes files, in two forms whose outputs differ.
type writing struct {
	name    string
	program string
	args    [2][]string
	files   []string

	once sync.Once
	want [2]map[string][]byte
	took time.Duration
	err  error
}

// writings lists the commands that write, with all flags that name a file.
func (c *campaign) writings() []*writing {
	plan, sun, spots := c.demo("plan.geojson"), c.demo("sun.geojson"), c.demo("spots.geojson")
	two := func(args ...string) [2][]string { // by another power of the transmitter
		return [2][]string{append([]string{args[0], "--tx-dbm", "20"}, args[1:]...),
			append([]string{args[0], "--tx-dbm", "14"}, args[1:]...)}
	}
	cover := func(tif bool, km string) []string {
		args := []string{"coverage", "--pole", "Tanager Knob", "--radius-km", km, "--png", "c.png", "--asc", "c.asc",
			"--geojson-contours", "c.json", "--out", "c.txt", plan}
		if tif {
			args = append(args, "--tif", "t.tif")
		}
		return args
	}
	region := func(km string) []string {
		return []string{"coverage", "--all-poles", "--radius-km", km, "--quantity", "who", "--tif", "w.tif", "--out",
			"w.txt", plan}
	}
	list := []*writing{
		{name: "plan", program: c.plain, args: two("plan", "--format", "json", "--out", "mesh.json", plan),
			files: []string{"mesh.json"}},
		{name: "coverage", program: c.plain, args: [2][]string{cover(false, "2"), cover(false, "3")},
			files: []string{"c.png", "c.pgw", "c.asc", "c.prj", "c.json", "c.txt"}},
		{name: "coverage of all poles", program: c.plain, args: [2][]string{region("1"), region("2")},
			files: []string{"w.tif", "w.txt"}},
		{name: "sun", program: c.plain, args: [2][]string{
			{"sun", "--pole", "Sunny Shoulder", "--search-m", "0", "--picture", "s.svg", "--out", "s.txt", sun},
			{"sun", "--pole", "Sunny Shoulder", "--search-m", "0", "--panel-height-m", "9", "--picture", "s.svg",
				"--out", "s.txt", sun}}, files: []string{"s.svg", "s.txt"}},
		{name: "sheet", program: c.plain, args: two("sheet", "--pole", "Sunny Shoulder", "--out", "s.html", sun),
			files: []string{"s.html"}},
		{name: "spots", program: c.plain, args: two("spots", "--must", "Tanager Knob", "--most-cells", "60",
			"--plan-out", "p.geojson", "--out", "p.txt", spots), files: []string{"p.geojson", "p.txt"}},
	}
	if c.gdal != "" {
		list = append(list, &writing{name: "coverage with tif", program: c.gdal,
			args:  [2][]string{cover(true, "2"), cover(true, "3")},
			files: []string{"c.png", "c.pgw", "c.asc", "c.prj", "c.json", "c.txt", "t.tif"}})
	}
	return list
}

// prepare runs both forms undisturbed, twice: what the files hold is to be told by it.
func (w *writing) prepare(t *try) {
	for form := range w.args {
		for round := range 2 {
			dir := filepath.Join(t.dir, fmt.Sprint(w.name, form, round))
			if w.err = os.MkdirAll(dir, 0o755); w.err != nil {
				return
			}
			one := &try{c: t.c, row: t.row, kind: t.kind, number: t.number, dir: dir}
			o := one.run(w.program, nil, w.args[form]...)
			if o.refused() || o.code < 0 {
				w.err = fmt.Errorf("%s: exit %d: %s", w.name, o.code, o.err.String())
				return
			}
			w.took = max(w.took, o.took)
			files := map[string][]byte{}
			for _, name := range w.files {
				if files[name], w.err = os.ReadFile(filepath.Join(dir, name)); w.err != nil {
					return
				}
				if round == 1 && !bytes.Equal(files[name], w.want[form][name]) {
					w.err = fmt.Errorf("%s: %s is another one each time", w.name, name)
					return
				}
			}
			w.want[form] = files
		}
	}
}

// fill lays the outputs of the first form into the folder of the case.
func (t *try) fill(w *writing) {
	for _, name := range w.files {
		t.put(name, w.want[0][name])
	}
}

// state tells whose the outputs in a folder are: 0 or 1 for a form, -1 for a missing
// file, -2 for bytes of neither, 2 where both forms write the same. Hidden and other
// files are listed.
func (w *writing) state(dir string) (map[string]int, []string) {
	state := map[string]int{}
	for _, name := range w.files {
		data, err := os.ReadFile(filepath.Join(dir, name))
		isFirst, isSecond := bytes.Equal(data, w.want[0][name]), bytes.Equal(data, w.want[1][name])
		switch {
		case err != nil:
			state[name] = -1
		case isFirst && isSecond:
			state[name] = 2
		case isFirst:
			state[name] = 0
		case isSecond:
			state[name] = 1
		default:
			state[name] = -2
		}
	}
	var others []string
	entries, _ := os.ReadDir(dir)
	for _, e := range entries {
		if !slices.Contains(w.files, e.Name()) {
			others = append(others, e.Name())
		}
	}
	return state, others
}

// wholeOrOld tells the faults of outputs after a disturbed run; had says whether there
// were older ones.
func (t *try) wholeOrOld(w *writing, dir string, had bool) map[string]int {
	state, others := w.state(dir)
	for _, name := range w.files {
		if state[name] == -2 || state[name] == -1 && had && len(w.files) == 1 {
			t.fault("%s: %s is neither the old nor the new one, but %d (-1 gone, -2 other bytes)", w.name, name, state[name])
		}
	}
	var of [2][]string // of a set, the old ones go before the first new one comes
	for _, name := range w.files {
		if whose := state[name]; whose == 0 || whose == 1 {
			of[whose] = append(of[whose], name)
		}
	}
	if len(of[0]) > 0 && len(of[1]) > 0 {
		t.fault("%s: %q are of the old run, %q of the new one", w.name, of[0], of[1])
	}
	for _, name := range others {
		if !strings.HasPrefix(name, ".") {
			t.fault("%s: %s lies about, and nobody asked for it", w.name, name)
		}
	}
	return state
}

// pick chooses a command, prepared.
func (t *try) pick(list []*writing) *writing {
	w := list[int(t.number)%len(list)]
	w.once.Do(func() { w.prepare(t) })
	if w.err != nil {
		t.fault("%v", w.err)
		return nil
	}
	entries, _ := os.ReadDir(t.dir)
	for _, e := range entries {
		os.RemoveAll(filepath.Join(t.dir, e.Name()))
	}
	return w
}

// moment waits for a random part of a run or, every other time, until the folder shows
// that writing has begun and a little longer.
func (t *try) moment(w *writing) {
	whole := float64(w.took) * 1.1
	if t.rng.IntN(2) == 0 {
		time.Sleep(time.Duration(t.rng.Float64() * whole))
		return
	}
	before, _ := os.Stat(t.dir)
	for until := time.Now().Add(w.took * 2); time.Now().Before(until); time.Sleep(50 * time.Microsecond) {
		if now, err := os.Stat(t.dir); err == nil && !now.ModTime().Equal(before.ModTime()) {
			break
		}
	}
	time.Sleep(time.Duration(t.rng.Int64N(int64(30 * time.Millisecond))))
}

// kills ends runs that write, and has the next one clean up.
func (c *campaign) kills(_ *testing.T, share float64) {
	list := c.writings()
	c.each("kills", share, func(t *try) {
		w := t.pick(list)
		if w == nil {
			return
		}
		had := t.rng.IntN(3) > 0
		if had {
			t.fill(w)
		}
		for range 4 {
			o := t.run(w.program, func(p *os.Process) { t.moment(w); _ = p.Kill() }, w.args[1]...)
			if c.ctx.Err() != nil {
				return
			}
			t.wholeOrOld(w, t.dir, had)
			if o.code < 0 {
				t.count(1, 0, 0, 0)
			}
		}
		o := t.run(w.program, nil, w.args[1]...)
		t.judge(o)
		state, others := w.state(t.dir)
		for name, whose := range state {
			if whose != 1 && whose != 2 {
				t.fault("%s: after a whole run %s is %d", w.name, name, whose)
			}
		}
		if len(others) > 0 {
			t.fault("%s: leftovers of killed runs stay: %q", w.name, others)
		}
		t.count(0, 0, 1, 0)
	})
}
