package mesh

import (
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/linkbudget/mesh/internal/graph"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// Mesh is the checked plan. Poles are indices into Plan.Stations and into
// Stations, links indices into Pairs. The graph consists of the solid links:
// those whose probability is at least the wanted one. Several goroutines may read it at
// once.
type Mesh struct {
	Plan    *plan.Plan
	Options Options // as used, defaults filled in, Shard 1 of 1
	Cost    Cost

	Stations []Pole
	// Pairs holds the links of the plan in the order of the file, then the other
	// pairs examined, by the lower and then the higher station.
	Pairs []Pair

	// Verdict is the weakest of the required links and, where the plan requires
	// none or gateways are given, of Connected.
	Verdict linkbudget.Verdict
	// Connected is whether the poles hang together: all of them on a gateway, or
	// without gateways in one part. It is reaches over solid links, unknown if
	// links that could not be judged could do it, marginal if marginal links
	// could, short otherwise.
	Connected linkbudget.Verdict
	// Reached counts solid links among Pairs; wanted are the links of the plan, some
	// of them required.
	Reached, WantedCount, WantedReached, RequiredCount, RequiredReached int
	// Failing lists the required links that do not reach, worst first.
	Failing []int

	// Ranking holds the solid links, those that matter most first.
	Ranking []LinkRank
	// Components are the parts the mesh falls into, largest first, then by the
	// lowest pole; each sorted.
	Components [][]int
	// Alone are the poles without a solid link.
	Alone []int
	// CutPoles are the poles and Bridges the links whose loss splits a part.
	CutPoles, Bridges []int
	SingleRoute       SingleRoutes
	// Together is what all proposed poles add to the standing ones, which may be more
	// than the sum of what each adds alone, Pole.Gain; nil without any.
	Together *Effect
	// Gateways are the poles named in the options, in that order.
	Gateways []int

	// AirtimeS is that of one packet; 0 without PacketsPerHour.
	AirtimeS float64
	// Warnings say what was left out and why.
	Warnings []string
}

// SingleRoutes counts pairs of poles by how many routes without a common pole
// or link join them.
type SingleRoutes struct {
	// Pairs is all pairs of poles; Unjoined have no route, Single have one but
	// not two disjoint ones. The others have two.
	Pairs, Unjoined, Single int
	// Listed are the first MaxListed of the single ones, by the lower pole and
	// then the higher one.
	Listed [][2]int
}

// MaxListed, 100, bounds the lists of pairs and of poles cut off; counts are whole.
const MaxListed = graph.MaxListed

// Pole is one pole in the mesh.
type Pole struct {
	Station linkbudget.Station // settings filled in
	At      orb.Point
	Status  plan.Status
	// GroundM is the ground at the pole; GroundFlag says whether it is known.
	GroundM    float64
	GroundFlag terrain.Flag
	// Neighbours are the poles with a solid link to this one, sorted.
	Neighbours []int
	// Component is the index into Mesh.Components.
	Component int
	// Route is the way to a gateway over solid links that takes the fewest
	// transmissions, to a thousandth each link, and of those the most probable; nil
	// without any. Likelier is the most probable way over links of any probability
	// of which each gains half a per cent, where it is more probable than Route by as
	// much; nil elsewhere.
	Route, Likelier *Route
	// Loss is what the failure of this pole costs the mesh, all poles of the
	// plan standing; Gain what a proposed pole adds to the standing poles
	// alone, nil for a standing one.
	Loss Effect
	Gain *Effect
	// Load is the traffic on the air here, nil without PacketsPerHour.
	Load *Load
	// Rules compares the pole with the band's table, nil without a band.
	Rules *band.Report
}

// Effect is what a pole makes to the others: lost when it fails, gained when it is put up.
type Effect = graph.Effect

// Role says what a link is to the mesh.
type Role string

// The roles, most important first.
const (
	RoleBridge    Role = "bridge"    // the only link between two parts
	RoleNarrow    Role = "narrow"    // without it pairs of poles lose their second route
	RoleFaster    Role = "faster"    // without it some pole's route takes more transmissions
	RoleRedundant Role = "redundant" // without it no pair loses a route, none takes longer
)

// LinkRank is how much a solid link matters: by role, then by the first of the
// figures in which two differ, then by the order of Pairs.
type LinkRank struct {
	Pair int
	Role Role
	// JoinedPairs is how many pairs of poles lose their only route without it,
	// RedundantPairs how many lose the second of two disjoint ones.
	JoinedPairs, RedundantPairs int
	// Detour is the sum over all poles of the transmissions that the route to a
	// gateway takes more without it, to a thousandth each link; poles that have none
	// then do not count. 0 without gateways.
	Detour float64
}
