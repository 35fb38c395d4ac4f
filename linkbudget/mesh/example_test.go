package mesh_test

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
)

// Four poles in a row on level ground, each in reach of the next alone; the
// last one is only proposed.
func ExampleCheck() {
	p := &plan.Plan{Stations: []plan.Station{
		station("Ash", 10), station("Birch", 10.05), station("Cedar", 10.10), station("Dogwood", 10.15),
	}}
	p.Stations[3].Status = plan.Proposed
	opt := mesh.Options{
		SiteOptions: mesh.SiteOptions{Settings: settings(), RangeM: 4e3},
		Gateways:    []string{"Ash"},
	}
	m, err := mesh.Check(context.Background(), p, level{}, opt)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: %d links of %d reach\n", m.Verdict, m.Reached, len(m.Pairs))
	for _, s := range m.Stations {
		fmt.Printf("%s: %d hops to Ash, its failure cuts off %d\n", s.Station.Name, s.Hops(), s.Loss.CutOff)
	}
	first := m.Pairs[m.Ranking[0].Pair]
	fmt.Printf("the link that matters most, a %s: %s to %s\n", m.Ranking[0].Role, p.Stations[first.A].Name,
		p.Stations[first.B].Name)
	// Output:
	// reaches: 3 links of 3 reach
	// Ash: 0 hops to Ash, its failure cuts off 3
	// Birch: 1 hops to Ash, its failure cuts off 2
	// Cedar: 2 hops to Ash, its failure cuts off 1
	// Dogwood: 3 hops to Ash, its failure cuts off 0
	// the link that matters most, a bridge: Birch to Cedar
}

// A regional plan in two shards, which may run on two machines.
func ExampleMerge() {
	p := &plan.Plan{Stations: []plan.Station{station("Ash", 10), station("Birch", 10.05), station("Cedar", 10.10)}}
	var parts []*mesh.Part
	for shard := range 2 {
		opt := mesh.Options{SiteOptions: mesh.SiteOptions{Settings: settings()}, Shard: shard + 1, Shards: 2}
		run, err := mesh.Prepare(context.Background(), p, level{}, opt)
		if err != nil {
			fmt.Println(err)
			return
		}
		part, err := run.CheckPart(context.Background())
		if err != nil {
			fmt.Println(err)
			return
		}
		parts = append(parts, part)
	}
	_, err := mesh.Merge(context.Background(), parts[0])
	fmt.Println(err)
	m, err := mesh.Merge(context.Background(), parts...)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(m.Pairs), "pairs,", len(m.Components), "part")
	// Output:
	// plan: merge: part 2 of 2 is missing
	// 3 pairs, 1 part
}

// What if one pole were taller? Pairs of two other poles are not examined again.
func ExamplePrepared_CheckFrom() {
	ctx, opt := context.Background(), mesh.Options{SiteOptions: mesh.SiteOptions{Settings: settings(), RangeM: 15e3}}
	p := &plan.Plan{Stations: []plan.Station{station("Ash", 10), station("Birch", 10.05), station("Cedar", 10.15)}}
	now, err := mesh.Check(ctx, p, level{}, opt)
	if err != nil {
		fmt.Println(err)
		return
	}
	changed, taller := *p, 30.0
	changed.Stations = append([]plan.Station(nil), p.Stations...)
	changed.Stations[2].HeightM = &taller
	run, err := mesh.Prepare(ctx, &changed, level{}, opt)
	if err != nil {
		fmt.Println(err)
		return
	}
	then, err := run.CheckFrom(ctx, now)
	if err != nil {
		fmt.Println(err)
		return
	}
	for i := range then.Pairs {
		a, b := p.Stations[then.Pairs[i].A].Name, p.Stations[then.Pairs[i].B].Name
		fmt.Printf("%s to %s: better %v\n", a, b, then.Pairs[i].MarginDB > now.Pairs[i].MarginDB)
	}
	// Output:
	// Ash to Birch: better false
	// Ash to Cedar: better true
	// Birch to Cedar: better true
}

// One path over ground of one's own, with what would make it reach.
func ExampleCheckPath() {
	a, b := linkbudget.DefaultStation("Ash", 10), linkbudget.DefaultStation("Birch", 3)
	opt := mesh.SiteOptions{Settings: settings()}
	c, err := mesh.CheckPath(context.Background(), a, b, orb.Point{10, 50}, orb.Point{10.12, 50}, level{}, opt)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s over %.1f km\n", c.Verdict, c.DistM/1000)
	for _, advice := range c.Counsel.Advice {
		for _, change := range advice.Changes {
			fmt.Println("would do:", change.Key, "at", change.Station)
		}
	}
	// Output:
	// marginal over 8.6 km
	// would do: height_m at Ash
	// would do: height_m at Birch
}
