package region_test

import (
	"bytes"
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/region"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// small is quick to sweep.
func small() region.Options {
	opt := options()
	opt.RadiusM, opt.CellM = 3e3, 500
	return opt
}

// Parts of other things are not joined, and what differs is said; so is every shard missing or
// given twice.
func TestJoinRefuses(t *testing.T) {
	dem, p := rolling(), poles(t, 6)
	numbered := func(n, of int, change func(*region.Options)) *region.Part {
		opt := small()
		opt.Shard, opt.Shards = n, of
		if change != nil {
			change(&opt)
		}
		return shard(t, p, dem, opt)
	}
	one, two := numbered(1, 2, nil), numbered(2, 2, nil)
	hills := rolling()
	for i := range hills.HeightM {
		hills.HeightM[i]++
	}
	opt := small()
	opt.Shard, opt.Shards = 2, 2
	for name, c := range map[string]struct {
		parts []*region.Part
		want  []string
	}{
		"none":          {nil, []string{"no parts"}},
		"not opened":    {[]*region.Part{one, nil}, []string{"part 2 of those given was not opened"}},
		"missing":       {[]*region.Part{one}, []string{"part 2 of 2 is missing"}},
		"twice":         {[]*region.Part{one, one, two}, []string{"part 1 of 2 is given 2 times"}},
		"another count": {[]*region.Part{one, two, numbered(3, 3, nil)}, []string{"part 3 of 3 beside one of 2"}},
		"another plan":  {[]*region.Part{one, shard(t, poles(t, 7), dem, opt)}, []string{"differ in the plan"}},
		"other ground":  {[]*region.Part{one, shard(t, p, hills, opt)}, []string{"the ground under the same poles"}},
		"otherwise": {[]*region.Part{one, numbered(2, 2, func(o *region.Options) {
			o.Settings.Environment.Modem.SF, o.RadiusM, o.CellM, o.Terrain, o.Version = 7, 2e3, 300, "other", "next"
			o.Receiver.HeightM = 3
		})}, []string{"the radio and its settings", "the receiver", "the radius", "the distance between cells",
			"the files of the terrain", "the program (next and test)"}},
		"other warnings": {[]*region.Part{one, numbered(2, 2, func(o *region.Options) { o.Warnings = []string{"beware"} })},
			[]string{"what is warned of"}},
	} {
		_, err := region.Join(c.parts...)
		for _, w := range c.want {
			if !errors.Is(err, fault.ErrInput) || !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %v, lacks %q", name, err, w)
			}
		}
	}
	if _, err := region.Join(two, one); err != nil {
		t.Error(err)
	}
}

// A part of which a byte was turned over or that is cut is refused wherever that is.
func TestDamagedParts(t *testing.T) {
	whole := write(t, poles(t, 3), rolling(), small())
	if _, err := open(whole); err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(whole); i += 97 {
		damaged := bytes.Clone(whole)
		damaged[i] ^= 1
		if _, err := open(damaged); !errors.Is(err, fault.ErrInput) {
			t.Fatalf("byte %d of %d turned over: %v", i, len(whole), err)
		}
		if _, err := open(whole[:i]); !errors.Is(err, fault.ErrInput) {
			t.Fatalf("cut at %d of %d: %v", i, len(whole), err)
		}
	}
	if _, err := open(append(bytes.Clone(whole), '\n')); err == nil {
		t.Error("with something behind it: taken")
	}
}

// Every fault of the input is told at once, before any terrain is read.
func TestPrepareRefuses(t *testing.T) {
	opt := options()
	opt.RadiusM, opt.CellM, opt.Shard, opt.Shards = -1, -1, 3, 2
	opt.Receiver.HeightM = 0
	p := poles(t, 2)
	_, err := region.Prepare(p, rolling().Extent(), opt)
	if err == nil || !strings.Contains(err.Error(), "shard: found 3 of 2") {
		t.Errorf("shard: %v", err)
	}
	opt.Shard, opt.Shards = 0, 0
	_, err = region.Prepare(p, rolling().Extent(), opt)
	for _, want := range []string{`"Pole 0"`, `"Pole 1"`, "radius_m", "cell_m", "height_m"} {
		if !errors.Is(err, fault.ErrInput) || !strings.Contains(err.Error(), want) {
			t.Errorf("%v lacks %q", err, want)
		}
	}
	opt = options()
	opt.MemoryBytes = 1000
	if _, err = region.Prepare(p, rolling().Extent(), opt); err == nil || !strings.Contains(err.Error(), "MiB") {
		t.Errorf("a raster larger than memory: %v", err)
	}
}

// full is a disk that takes so many bytes.
type full struct{ left int }

func (f *full) Write(data []byte) (int, error) {
	if f.left -= len(data); f.left < 0 {
		return 0, errFull
	}
	return len(data), nil
}

var errFull = errors.New("no space left")

// The end of a context and a full disk end a shard and a sum with that error.
func TestEndsEarly(t *testing.T) {
	dem, p := rolling(), poles(t, 3)
	over, cancel := context.WithCancel(ctx)
	cancel()
	g, err := region.Prepare(p, dem.Extent(), small())
	if err != nil {
		t.Fatal(err)
	}
	if err := g.WritePart(over, dem, &full{1 << 30}); !errors.Is(err, context.Canceled) {
		t.Errorf("interrupted: %v", err)
	}
	for _, size := range []int{0, 100, 5000} {
		if err := g.WritePart(ctx, dem, &full{size}); !errors.Is(err, errFull) {
			t.Errorf("a disk of %d bytes: %v", size, err)
		}
	}
	joined, err := region.Join(shard(t, p, dem, small()))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := joined.Sum(over, levels, 1, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("interrupted: %v", err)
	}
	if _, err := joined.Sum(ctx, levels, 1, nil, &region.Layer{Quantity: 4, Tiles: &full{10}}); !errors.Is(err, errFull) {
		t.Errorf("a full disk: %v", err)
	}
	unknown := rolling()
	for i := range unknown.HeightM {
		unknown.HeightM[i] = terrain.VoidHeight()
	}
	if err := g.WritePart(ctx, unknown, &full{1 << 30}); err == nil || !strings.Contains(err.Error(), `pole "Pole `) {
		t.Errorf("poles on unknown ground: %v", err)
	}
}

// The bytes of a part do not depend on the number of workers.
func TestPartOfAnyNumberOfWorkers(t *testing.T) {
	opt := options()
	opt.CellM = 200
	var first []byte
	for _, n := range []int{1, 2, 5} {
		opt.Workers = n
		part := write(t, poles(t, 9), rolling(), opt)
		if first == nil {
			first = part
		}
		if !bytes.Equal(part, first) {
			t.Errorf("%d workers: %d bytes, others than the %d of one", n, len(part), len(first))
		}
	}
}
