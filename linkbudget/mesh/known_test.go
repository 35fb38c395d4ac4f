package mesh_test

import (
	"bytes"
	"context"
	"slices"
	"sync/atomic"
	"testing"

	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
)

// A check from an earlier one gives the bytes of a full one, and asks the
// terrain only for pairs that may have become others.
func TestCheckFromAnEarlierOne(t *testing.T) {
	height, sf := 17.0, 7
	again := func(p *plan.Plan) *plan.Plan { // as after a change of the file
		text, err := p.GeoJSON()
		if err != nil {
			t.Fatal(err)
		}
		if p, err = plan.Read(p.Source, text); err != nil {
			t.Fatal(err)
		}
		return p
	}
	touching := func(m *mesh.Mesh, name string) (n int) {
		for _, p := range m.Pairs {
			if m.Stations[p.A].Station.Name == name || m.Stations[p.B].Station.Name == name {
				n++
			}
		}
		return n
	}
	ctx, opt := context.Background(), hillOptions()
	opt.Gateways = []string{"pole 0", "pole 7"}
	before, err := mesh.Check(ctx, hills(60, 20), rolling{}, opt)
	if err != nil {
		t.Fatal(err)
	}
	kept := bytesOf(t, before)
	for name, c := range map[string]struct {
		change func(p *plan.Plan, opt *mesh.Options)
		most   func(m *mesh.Mesh) int // pairs to examine
	}{
		"nothing": {func(*plan.Plan, *mesh.Options) {}, func(*mesh.Mesh) int { return 0 }},
		"one pole taller": {func(p *plan.Plan, _ *mesh.Options) { p.Stations[20].HeightM = &height },
			func(m *mesh.Mesh) int { return touching(m, "pole 20") }},
		"one pole elsewhere": {func(p *plan.Plan, _ *mesh.Options) { p.Stations[20].At[0] += 0.01 },
			func(m *mesh.Mesh) int { return touching(m, "pole 20") }},
		"one pole renamed": {func(p *plan.Plan, _ *mesh.Options) { p.Stations[55].Name = "other" },
			func(m *mesh.Mesh) int { return touching(m, "other") }},
		"one pole less": {func(p *plan.Plan, _ *mesh.Options) { p.Stations = slices.Delete(p.Stations, 25, 26) },
			func(*mesh.Mesh) int { return 0 }},
		"poles exchanged": {func(p *plan.Plan, _ *mesh.Options) {
			p.Stations[50], p.Stations[51] = p.Stations[51], p.Stations[50]
		},
			func(*mesh.Mesh) int { return 1 }}, // these two, looked at from the other end
		"a link less": {func(p *plan.Plan, _ *mesh.Options) { p.Links = p.Links[1:] },
			func(*mesh.Mesh) int { return 1 }},
		"a link with another modem": {func(p *plan.Plan, _ *mesh.Options) { p.Links[1].SF = &sf },
			func(*mesh.Mesh) int { return 1 }},
		"a link required": {func(p *plan.Plan, _ *mesh.Options) { p.Links[1].Required = true },
			func(*mesh.Mesh) int { return 1 }},
		"other gateways": {func(_ *plan.Plan, opt *mesh.Options) { opt.Gateways = nil }, func(*mesh.Mesh) int { return 0 }},
		"shorter range":  {func(_ *plan.Plan, opt *mesh.Options) { opt.RangeM = 3e3 }, func(*mesh.Mesh) int { return 0 }},
		"other modem": {func(_ *plan.Plan, opt *mesh.Options) { opt.Settings.Environment.Modem.SF = 8 },
			func(m *mesh.Mesh) int { return len(m.Pairs) }},
		"other band": {func(_ *plan.Plan, opt *mesh.Options) { opt.Band = "" },
			func(m *mesh.Mesh) int { return len(m.Pairs) }},
		"other terrain": {func(_ *plan.Plan, opt *mesh.Options) { opt.Terrain = "else" },
			func(m *mesh.Mesh) int { return len(m.Pairs) }},
	} {
		t.Run(name, func(t *testing.T) {
			p, opt := hills(60, 20), opt
			c.change(p, &opt)
			if gone := map[string]string{"one pole less": "pole 25", "one pole renamed": "pole 55"}[name]; gone != "" {
				p.Links = slices.DeleteFunc(p.Links, func(l plan.Link) bool { return l.From == gone || l.To == gone })
			}
			p = again(p)
			var ground, asked atomic.Int64
			want, err := mesh.Check(ctx, p, rolling{&ground}, opt)
			if err != nil {
				t.Fatal(err)
			}
			j, err := mesh.Prepare(ctx, p, rolling{&asked}, opt)
			if err != nil {
				t.Fatal(err)
			}
			got, err := j.CheckFrom(ctx, before)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(bytesOf(t, got), bytesOf(t, want)) {
				t.Error("differs from a full check")
			}
			if !bytes.Equal(bytesOf(t, before), kept) {
				t.Error("the earlier one was changed")
			}
			// A profile takes one call for heights, the ground under the poles as well.
			links := ground.Load() - int64(len(want.Pairs))
			if most := int64(c.most(want)) + links; asked.Load() > most {
				t.Errorf("%d calls for heights, want at most %d of %d", asked.Load(), most, ground.Load())
			}
		})
	}
}

// A search for pairs ends when it is asked to, before any height is read.
func TestCancelTheSearch(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var asked atomic.Int64
	j, err := mesh.Prepare(ctx, hills(200, 0), rolling{&asked}, regionOptions(8e3))
	if j != nil || err != context.Canceled || asked.Load() != 0 {
		t.Errorf("%v, %v, %d heights asked for, want it cancelled", j, err, asked.Load())
	}
}

func TestPreparedRefusesWhatPrepareRefused(t *testing.T) {
	ctx, opt := context.Background(), regionOptions(8e3)
	opt.MaxPairs = 10
	j, refused := mesh.Prepare(ctx, hills(60, 0), rolling{}, opt)
	if j == nil || refused == nil || j.Cost().Pairs <= 10 {
		t.Fatalf("%v, %v, want a refusal with the cost", j, refused)
	}
	if _, err := j.Check(ctx); err != refused {
		t.Errorf("check: %v, want %v", err, refused)
	}
	if _, err := j.CheckPart(ctx); err != refused {
		t.Errorf("part: %v, want %v", err, refused)
	}
	opt = regionOptions(8e3)
	opt.Shard, opt.Shards = 1, 2
	if j, err := mesh.Prepare(ctx, hills(60, 0), rolling{}, opt); err != nil {
		t.Error(err)
	} else if _, err = j.Check(ctx); err == nil {
		t.Error("one shard was taken for the whole")
	}
}
