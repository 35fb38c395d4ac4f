package region

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain/fault"
)

// Joined is all parts of one region. Several goroutines may read it at once.
type Joined struct {
	*Region
	sections map[int][]joinedSection // by block
}

type joinedSection struct {
	part *Part
	section
}

// Join puts the parts of a region together, in any order. The error lists every shard that is
// missing or given twice, and of every part that belongs to something else what differs.
func Join(parts ...*Part) (*Joined, error) {
	if len(parts) == 0 {
		return nil, fault.Input("coverage: merge: no parts given")
	}
	for i, p := range parts {
		if p == nil || p.r == nil {
			return nil, fault.Input("coverage: merge: part %d of those given was not opened", i+1)
		}
	}
	first := &parts[0].head
	p, err := plan.Read(first.Source, first.Plan)
	if err != nil {
		return nil, fmt.Errorf("coverage: merge: part %s: %w", parts[0].number(), err)
	}
	opt := first.Options
	opt.MemoryBytes = math.MaxInt64 // nothing is swept
	g, err := Prepare(p, first.Extent, opt)
	if err != nil {
		return nil, fmt.Errorf("coverage: merge: part %s: %w", parts[0].number(), err)
	}
	if err := belong(parts); err != nil {
		return nil, err
	}
	j := &Joined{Region: g, sections: map[int][]joinedSection{}}
	across, down := g.blocks()
	for _, part := range parts {
		for _, s := range part.sections {
			if s.Number < 0 || s.Number >= across*down {
				return nil, fault.Input("coverage: merge: part %s has block %d of %d", part.number(), s.Number, across*down)
			}
			j.sections[s.Number] = append(j.sections[s.Number], joinedSection{part, s})
		}
	}
	return j, nil
}

// blocks counts those of the region, across and down.
func (g *Region) blocks() (across, down int) {
	return (g.lattice.Cols-1)/side + 1, (g.lattice.Rows-1)/side + 1
}

// belong checks that the parts are all shards of one region, each once.
func belong(parts []*Part) error {
	var errs []error
	add := func(format string, args ...any) {
		errs = append(errs, fault.Input("coverage: merge: "+format, args...))
	}
	first := parts[0]
	shards := first.head.Options.Shards
	given := make([]int, shards+1)
	for _, p := range parts {
		n := p.head.Options.Shard
		if p.head.Options.Shards != shards || n < 1 || n > shards {
			add("part %s beside one of %d shards", p.number(), shards)
			continue
		}
		given[n]++
		if differ := p.head.differsFrom(&first.head); len(differ) > 0 {
			add("part %s does not belong to part %s: they differ in %s", p.number(), first.number(), strings.Join(differ, ", "))
		}
	}
	for n := 1; n <= shards; n++ {
		switch {
		case given[n] == 0:
			add("part %d of %d is missing", n, shards)
		case given[n] > 1:
			add("part %d of %d is given %d times, allowed once", n, shards, given[n])
		}
	}
	return errors.Join(errs...)
}

// differsFrom names what two parts do not have in common.
func (h *partHead) differsFrom(other *partHead) (what []string) {
	say := func(same bool, name string) {
		if !same {
			what = append(what, name)
		}
	}
	text := func(v any) string {
		line, err := json.Marshal(v)
		if err != nil {
			return err.Error()
		}
		return string(line)
	}
	a, b := h.Options, other.Options
	say(h.Source == other.Source && bytes.Equal(h.Plan, other.Plan), "the plan")
	say(text(a.Settings) == text(b.Settings), "the radio and its settings")
	say(text(a.Receiver) == text(b.Receiver), "the receiver")
	say(a.RadiusM == b.RadiusM, "the radius")
	say(text(a.Area) == text(b.Area), "the area")
	say(a.CellM == b.CellM, "the distance between cells")
	say(a.Terrain == b.Terrain && h.Extent == other.Extent, "the files of the terrain")
	say(h.Ground == other.Ground, "the ground under the same poles")
	say(a.Version == b.Version, fmt.Sprintf("the program (%s and %s)", a.Version, b.Version))
	if len(what) == 0 {
		say(text(a.Warnings) == text(b.Warnings), "what is warned of")
	}
	return what
}

// gather joins what all parts say of a block.
func (j *Joined) gather(number int, into *block) error {
	clear(into.cells[:])
	for _, s := range j.sections[number] {
		if err := into.join(io.NewSectionReader(s.part.r, s.Begin, s.Bytes)); err != nil {
			return fmt.Errorf("coverage: merge: part %s: %w", s.part.number(), err)
		}
	}
	return nil
}
