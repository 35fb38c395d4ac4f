package mesh

import (
	"errors"
	"fmt"
	"math"

	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain/fault"
)

// Options says what Check examines, with what, and how much of it.
type Options struct {
	// SiteOptions holds the radio, the range, the band, the traffic and the
	// workers. AtLeast is not used; MaxHeightM counts with Advice only.
	// PacketsPerHour 0 leaves the channel load out.
	SiteOptions
	// Gateways names the poles from which hops and routes are counted.
	Gateways []string
	// Advice looks for what would make each wanted link reach that does not.
	// It costs some hundred times the link itself.
	Advice bool
	// Shard and Shards choose one of several even parts of the pairs, counted
	// from 1; both 0 mean all.
	Shard, Shards int
	// MaxPairs and MaxPoints are the most pairs and profile points that are
	// begun, over all shards MaxPairs times Shards; 0 means DefaultMaxPairs and
	// DefaultMaxPoints. Beyond, Check returns a *CostError before any terrain is read.
	MaxPairs  int
	MaxPoints float64
	// Terrain names the terrain, such as the names and sizes of its files. It is
	// not looked into; parts are merged only when theirs are equal.
	Terrain string
	// Covered says that what stands on the ground is known over the terrain: Prepare sets it.
	Covered bool `json:",omitempty"`
	// Progress, if set, is called now and then, from one goroutine at a time,
	// with how many pairs of the shard are done.
	Progress func(done, total int) `json:"-"`
}

// Bounds on what Check begins unless told: pairs are kept in memory, some 1.3 kB
// each at the peak, so that this many stay within 512 MiB, and points are work,
// some 40 ns of one core each.
const (
	DefaultMaxPairs  = 250_000
	DefaultMaxPoints = 2e9
)

// withDefaults replaces each zero that stands for a default.
func (o Options) withDefaults() Options {
	if o.RangeM == 0 {
		o.RangeM = DefaultRangeM
	}
	if o.Shards == 0 && o.Shard == 0 {
		o.Shard, o.Shards = 1, 1
	}
	if o.MaxPairs == 0 {
		o.MaxPairs = DefaultMaxPairs
	}
	if o.MaxPoints == 0 {
		o.MaxPoints = DefaultMaxPoints
	}
	return o
}

// maxShards is far more than anybody's batch engine starts for one plan.
const maxShards = 100_000

// validate lists every fault of the options against the plan; defaults are in.
func (o Options) validate(p *plan.Plan) error {
	errs := []error{p.Validate(), o.Settings.Validate()}
	if p == nil {
		return errors.Join(errs...)
	}
	add := func(err error) { errs = append(errs, err) } // nil ones are left out in the end
	if o.Band != "" {
		_, err := band.Parse(string(o.Band))
		add(err)
	}
	if len(p.Stations) == 0 {
		add(fault.Input("plan: found no station, allowed 1 and more"))
	}
	add(o.SiteOptions.validate())
	if o.Shards < 1 || o.Shards > maxShards || o.Shard < 1 || o.Shard > o.Shards {
		add(fault.Input("shard: found %d of %d, allowed 1 to the number of shards, at most %d", o.Shard, o.Shards, maxShards))
	}
	add(fault.Range("max_pairs", float64(o.MaxPairs), 1, math.MaxFloat64, ""))
	if !(o.MaxPoints > 0) || math.IsInf(o.MaxPoints, 1) {
		add(fault.Found("max_points", o.MaxPoints, "above 0, finite"))
	}
	seen := map[string]bool{}
	for _, name := range o.Gateways {
		if seen[name] {
			add(fault.Input("gateway: %q given twice, allowed once", name))
		}
		seen[name] = true
		if _, ok := p.Station(name); ok {
			continue
		}
		hint := ""
		if near, ok := p.Nearest(name); ok {
			hint = fmt.Sprintf("; did you mean %q?", near)
		}
		add(fault.Input("gateway: the plan has no station %q%s", name, hint))
	}
	stations := make([]*plan.Station, len(p.Stations))
	for i := range p.Stations {
		stations[i] = &p.Stations[i]
	}
	return errors.Join(append(errs, o.Settings.CheckHeights(stations...))...)
}
