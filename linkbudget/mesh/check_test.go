package mesh_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/fading"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// rolling is ground of hills made by formula, with a void in the east; asked
// counts the calls.
type rolling struct{ asked *atomic.Int64 }

func (rolling) Extent() terrain.Extent {
	return terrain.Extent{Bound: orb.Bound{Min: orb.Point{9, 49}, Max: orb.Point{11, 51}}, StepLonDeg: 0.001,
		StepLatDeg: 0.001}
}

func (g rolling) Heights(at []orb.Point, heightM []float64, flag []terrain.Flag) error {
	if g.asked != nil {
		g.asked.Add(1)
	}
	for i, p := range at {
		heightM[i], flag[i] = 300+150*math.Sin(90*p[0])*math.Cos(70*p[1]), terrain.Ground
		if p[0] > 10.25 {
			heightM[i], flag[i] = 0, terrain.Void
		}
	}
	return nil
}

// hills is a plan of n poles on that ground, some in the void, and links.
func hills(n, links int) *plan.Plan {
	p := region(n, orb.Bound{Min: orb.Point{10, 50}, Max: orb.Point{10.3, 50.2}})
	r := rand.New(rand.NewPCG(3, 7))
	sf := 12
	for k := range links {
		l := plan.Link{From: fmt.Sprint("pole ", r.IntN(n/2)), To: fmt.Sprint("pole ", n/2+k), Required: k%2 == 0}
		if k%3 == 0 {
			l.SF = &sf
		}
		a, _ := p.Station(l.From)
		b, _ := p.Station(l.To)
		l.Line = orb.LineString{a.At, b.At}
		p.Links = append(p.Links, l)
	}
	text, err := p.GeoJSON()
	if err != nil {
		panic(err)
	}
	if p, err = plan.Read(p.Source, text); err != nil {
		panic(err)
	}
	return p
}

func hillOptions() mesh.Options {
	opt := regionOptions(8e3)
	opt.Band, opt.Advice = "eu868", true
	opt.Settings.Environment.Fading = fading.Law{Kind: fading.Rayleigh}
	return opt
}

// bytesOf is the whole mesh as text; it also refuses NaN and infinities.
func bytesOf(t *testing.T, m *mesh.Mesh) []byte {
	t.Helper()
	out, err := json.Marshal(m)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestSameBytesForAnyWorkersAndShards(t *testing.T) {
	ctx := context.Background()
	for name, p := range map[string]*plan.Plan{"links and all pairs": hills(60, 20), "no links": hills(60, 0)} {
		t.Run(name, func(t *testing.T) {
			opt := hillOptions()
			opt.Workers = 1
			m, err := mesh.Check(ctx, p, rolling{}, opt)
			if err != nil {
				t.Fatal(err)
			}
			want := bytesOf(t, m)
			kinds := map[linkbudget.Verdict]int{}
			for _, pair := range m.Pairs {
				kinds[pair.Verdict]++
			}
			if len(m.Pairs) < 300 || len(kinds) != 4 {
				t.Fatalf("%d pairs, verdicts %v: too few to say anything", len(m.Pairs), kinds)
			}
			for _, workers := range []int{2, 8} {
				opt.Workers = workers
				if m, err = mesh.Check(ctx, p, rolling{}, opt); err != nil || !bytes.Equal(bytesOf(t, m), want) {
					t.Errorf("%d workers differ from one, error %v", workers, err)
				}
			}
			for _, shards := range []int{1, 2, 7, 50} {
				if m, err = mesh.Merge(ctx, parts(t, p, opt, shards)...); err != nil || !bytes.Equal(bytesOf(t, m), want) {
					t.Errorf("%d shards differ from one run, error %v", shards, err)
				}
			}
		})
	}
}

func checkPart(p *plan.Plan, dem terrain.DEM, opt mesh.Options) (*mesh.Part, error) {
	run, err := mesh.Prepare(context.Background(), p, dem, opt)
	if err != nil {
		return nil, err
	}
	return run.CheckPart(context.Background())
}

// parts checks every shard by itself and sends it through JSON, last one first.
func parts(t *testing.T, p *plan.Plan, opt mesh.Options, shards int) []*mesh.Part {
	t.Helper()
	var out []*mesh.Part
	fewest, most := math.MaxInt, 0
	for n := shards; n >= 1; n-- {
		opt.Shard, opt.Shards, opt.Workers = n, shards, n%3
		part, err := checkPart(p, rolling{}, opt)
		if err != nil {
			t.Fatal(err)
		}
		fewest, most = min(fewest, len(part.Pairs)), max(most, len(part.Pairs))
		var text bytes.Buffer
		if err := part.WriteJSON(&text); err != nil {
			t.Fatal(err)
		}
		back, err := mesh.ReadPart(&text)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, back)
	}
	if most-fewest > 1 {
		t.Errorf("%d shards of %d to %d pairs, want an even split", shards, fewest, most)
	}
	return out
}

func TestMergeRefuses(t *testing.T) {
	opt := hillOptions()
	opt.Advice = false
	p := hills(30, 6)
	fresh := func() []*mesh.Part { return parts(t, p, opt, 4) } // parts 4, 3, 2, 1
	other := parts(t, hills(31, 6), opt, 4)
	louder := opt
	louder.Settings.Station.TxDBm++
	otherSettings := parts(t, p, louder, 4)
	onOther := make([]*mesh.Part, 1)
	opt.Shard, opt.Shards = 1, 4
	var err error
	if onOther[0], err = checkPart(p, raised{}, opt); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		parts []*mesh.Part
		want  []string
	}{
		"nothing":   {nil, []string{"no parts given"}},
		"none read": {[]*mesh.Part{{}}, []string{"part 1 of those given holds no plan"}},
		"one not read": {append(fresh()[:3], nil, &mesh.Part{}), []string{"part 4 of those given holds no plan",
			"part 5 of those given holds no plan"}},
		"two missing": {fresh()[1:3], []string{"part 1 of 4 is missing", "part 4 of 4 is missing"}},
		"one twice":   {append(fresh(), fresh()[0]), []string{"part 4 of 4 is given 2 times"}},
		"another plan": {append(fresh()[:3], other[3]),
			[]string{"part 1 of 4 is of another plan, settings or terrain than part 4 of 4"}},
		"other settings": {append(fresh()[:3], otherSettings[3]),
			[]string{"part 1 of 4 is of another plan, settings or terrain"}},
		"other heights": {append(fresh()[:3], onOther[0]),
			[]string{"part 1 of 4 has seen other terrain than part 4 of 4"}},
		"another split": {append(fresh()[:3], parts(t, p, opt, 5)[4]), []string{"part 1 of 5 beside one of 4 shards",
			"part 1 of 4 is missing"}},
		"one pair lost": {change(fresh(), func(p *mesh.Part) { p.Pairs = p.Pairs[1:] }),
			[]string{"part 3 of 4 does not hold the pairs"}},
		"a pair of another": {change(fresh(), func(p *mesh.Part) { p.Pairs[0].A++ }),
			[]string{"part 3 of 4 does not hold the pairs"}},
		"a pair unjudged": {change(fresh(), func(p *mesh.Part) { p.Pairs[0].Verdict = 0 }),
			[]string{"part 3 of 4 does not hold the pairs"}},
		"a verdict of none": {change(fresh(), func(p *mesh.Part) { p.Pairs[0].Verdict = 9 }),
			[]string{"part 3 of 4 does not hold the pairs"}},
		"a link not required": {change(fresh(), func(p *mesh.Part) { p.Pairs[0].Required = !p.Pairs[0].Required }),
			[]string{"part 3 of 4 does not hold the pairs"}},
		"ground of another": {change(fresh(), func(p *mesh.Part) { p.Ground[0].Station-- }),
			[]string{"part 3 of 4 does not hold"}},
		"options changed since": {changeFirst(fresh()), []string{"part 4 of 4: its key does not fit"}},
		"shard out of range": {change(fresh(), func(p *mesh.Part) { p.Options.Shard = 9 }),
			[]string{"part 9 of 4 beside one of 4 shards", "part 3 of 4 is missing"}},
	} {
		m, err := mesh.Merge(context.Background(), c.parts...)
		if m != nil || err == nil {
			t.Errorf("%s: merged, error %v", name, err)
			continue
		}
		for _, want := range c.want {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %v, want %q", name, err, want)
			}
		}
	}
	for _, text := range []string{`{}`, `[]`, `{"schema":1,"command":"plan part"}`,
		`{"schema":3,"command":"plan part","plan":{}}`, `{"schema":3,"command":"plan part"}`} {
		if _, err := mesh.ReadPart(strings.NewReader(text)); err == nil {
			t.Errorf("%s was taken for a part", text)
		}
	}
	if err := (&mesh.Part{}).WriteJSON(io.Discard); err == nil {
		t.Error("a part without a plan was written")
	}
}

// raised is rolling ground half a metre higher at one of its ends, as after a
// new edition of a file that has the same name and size.
type raised struct{ rolling }

func (g raised) Heights(at []orb.Point, heightM []float64, flag []terrain.Flag) error {
	err := g.rolling.Heights(at, heightM, flag)
	for i, p := range at {
		if p[0] < 10.05 {
			heightM[i] += 0.5
		}
	}
	return err
}

func change(parts []*mesh.Part, f func(*mesh.Part)) []*mesh.Part {
	f(parts[1])
	return parts
}

func changeFirst(parts []*mesh.Part) []*mesh.Part {
	parts[0].Options.Settings.Station.TxDBm++
	return parts
}

// A cancelled check ends at once: no worker begins another link.
func TestCancel(t *testing.T) {
	p := hills(200, 0)
	for _, workers := range []int{1, 4} {
		ctx, cancel := context.WithCancel(context.Background())
		var asked atomic.Int64
		opt := regionOptions(8e3)
		opt.Workers = workers
		var at int64
		opt.Progress = func(done, total int) {
			if done > total/4 && at == 0 {
				cancel()
				at = asked.Load()
			}
		}
		m, err := mesh.Check(ctx, p, rolling{&asked}, opt)
		if m != nil || !errors.Is(err, context.Canceled) {
			t.Errorf("%d workers: %v, want it cancelled", workers, err)
		}
		if more := asked.Load() - at; at == 0 || more > int64(workers) {
			t.Errorf("%d workers: %d links begun after the end, want one each at most", workers, more)
		}
		cancel()
	}
}

// Progress tells every pair once and never goes backwards.
func TestProgress(t *testing.T) {
	opt := regionOptions(8e3)
	opt.Workers = 4
	var told []int
	total := 0
	opt.Progress = func(done, of int) { told, total = append(told, done), of }
	m, err := mesh.Check(context.Background(), hills(100, 0), rolling{}, opt)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.IsSorted(told) || len(told) == 0 || told[len(told)-1] != len(m.Pairs) || total != len(m.Pairs) {
		t.Errorf("told %v of %d, %d pairs", told, total, len(m.Pairs))
	}
}
