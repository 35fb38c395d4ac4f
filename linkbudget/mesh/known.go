package mesh

import (
	"context"
	"reflect"
	"sort"
)

// CheckFrom is Check where an earlier check of a plan much like this one, over
// the same terrain, is known: pairs of two stations that are as they were, with
// the same settings, are taken from there and not examined again. The answer is
// that of Check; without an earlier one it is Check.
func (p *Prepared) CheckFrom(ctx context.Context, before *Mesh) (*Mesh, error) {
	if err := p.beyond(); err != nil {
		return nil, err
	}
	if before == nil {
		return p.Check(ctx)
	}
	j := *p.job
	j.known = newKnown(&j, before)
	return (&Prepared{&j, p.dem}).Check(ctx)
}

// known are the pairs of an earlier check that still hold.
type known struct {
	j      *job
	before *Mesh
	was    []int32          // station -> the same one before, -1 where it is new or changed
	wanted map[[2]int32]int // by both ends, in the order of the link -> Pairs
	others []Pair           // sorted by A, then B
}

// newKnown is nil where nothing can be taken over.
func newKnown(j *job, before *Mesh) *known {
	if !reflect.DeepEqual(ofPair(j.opt), ofPair(before.Options)) || !before.Plan.SameCover(j.p) {
		return nil
	}
	index := make(map[string]int32, len(before.Stations))
	for i := range before.Stations {
		index[before.Stations[i].Station.Name] = int32(i)
	}
	k := &known{j: j, before: before, was: make([]int32, len(j.stations)), wanted: map[[2]int32]int{}}
	for i := range j.stations {
		w, ok := index[j.stations[i].Name]
		if ok && before.Stations[w].At == j.p.Stations[i].At && reflect.DeepEqual(before.Stations[w].Station, j.stations[i]) {
			k.was[i] = w
		} else {
			k.was[i] = -1
		}
	}
	n := 0
	for ; n < len(before.Pairs) && before.Pairs[n].Wanted(); n++ {
		p := &before.Pairs[n]
		k.wanted[[2]int32{p.A, p.B}] = n
	}
	k.others = before.Pairs[n:]
	return k
}

// ofPair are the options that decide what comes out for a pair of stations.
func ofPair(o Options) Options {
	o.Gateways, o.Progress = nil, nil
	o.RangeM, o.MaxPairs, o.MaxPoints = 0, 0, 0
	o.Shard, o.Shards, o.Workers = 0, 0, 0
	return o
}

// take fills in a pair, if it is known.
func (k *known) take(out *Pair, c *candidate) bool {
	if k == nil || k.was[c.a] < 0 || k.was[c.b] < 0 {
		return false
	}
	p := k.find(k.was[c.a], k.was[c.b], c.link >= 0)
	if p == nil {
		return false
	}
	if c.link >= 0 {
		is, was := &k.j.p.Links[c.link], &k.before.Plan.Links[p.Link]
		if is.Required != was.Required || k.j.opt.Settings.LinkEnvironment(is) != k.j.opt.Settings.LinkEnvironment(was) {
			return false
		}
	}
	*out = *p
	out.A, out.B, out.Link = c.a, c.b, c.link
	return true
}

// find returns the pair of two stations, from a to b as before: the figures of
// the way back may differ in the last digit.
func (k *known) find(a, b int32, wanted bool) *Pair {
	if wanted {
		if i, ok := k.wanted[[2]int32{a, b}]; ok {
			return &k.before.Pairs[i]
		}
		return nil
	}
	i := sort.Search(len(k.others), func(i int) bool {
		p := &k.others[i]
		return p.A > a || p.A == a && p.B >= b
	})
	if i < len(k.others) && k.others[i].A == a && k.others[i].B == b {
		return &k.others[i]
	}
	return nil
}
