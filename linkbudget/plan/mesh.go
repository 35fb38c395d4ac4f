package plan

import (
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/terrain"
)

// Mesh is the checked plan. Poles are indices into Plan.Stations and into
// Stations, links indices into Pairs. The graph consists of the solid links:
// those whose probability is at least the wanted one.
type Mesh struct {
	Plan    *Plan
	Options CheckOptions // as used, defaults filled in, Shard 1 of 1
	Cost    Cost

	Stations []MeshStation
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
	// Reached counts solid links among Pairs.
	Reached, RequiredCount, RequiredReached int
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

// MaxListed bounds the lists of pairs and of poles cut off; counts are whole.
const MaxListed = 100

// MeshStation is one pole in the mesh.
type MeshStation struct {
	Station linkbudget.Station // settings filled in
	At      orb.Point
	Status  Status
	// GroundM is the ground at the pole; GroundFlag says whether it is known.
	GroundM    float64
	GroundFlag terrain.Flag
	// Neighbours are the poles with a solid link to this one, sorted.
	Neighbours []int
	// Component is the index into Mesh.Components.
	Component int
	// Hops is the least number of solid links to a gateway, 0 at one, -1 without
	// a route or without gateways.
	Hops int
	// Route is the most probable way to a gateway, nil without any.
	Route *Route
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

// Route is a way from a pole to a gateway over links of any probability. Where
// two are equally probable, the one of fewer links is taken.
type Route struct {
	Gateway int
	Poles   []int // from the pole to the gateway, both included
	Pairs   []int // the links between them
	// Solid says that every link of it is solid.
	Solid bool
	// Probability is the chance that every link of it closes, their doubts taken
	// as independent; Delivery the share of packets that pass all of them at the
	// median level.
	Probability, Delivery float64
	// Transmissions is how often a packet is sent on average until it has passed
	// each link once, repeated without end: the sum of 1/Delivery of the links
	// at the median level (ETX without acknowledgement). 0 where a
	// link delivers less than 1e-9.
	Transmissions float64
}

// Effect is what one pole makes to the others: lost when it fails, gained when
// it is put up. The pole itself is not counted.
type Effect struct {
	// CutOff counts the poles that lose (or gain) their route to every gateway
	// or, without gateways, to the largest part; Poles lists the first MaxListed.
	CutOff int
	Poles  []int
	// JoinedPairs is how many pairs of other poles lose (or gain) their only
	// route, RedundantPairs how many lose (or gain) a second, disjoint one.
	JoinedPairs, RedundantPairs int
}

// Role says what a link is to the mesh.
type Role string

// The roles, most important first.
const (
	RoleBridge    Role = "bridge"    // the only link between two parts
	RoleNarrow    Role = "narrow"    // without it pairs of poles lose their second route
	RoleFaster    Role = "faster"    // without it the best route of some pole is less probable
	RoleRedundant Role = "redundant" // nobody is worse off without it
)

// LinkRank is how much a solid link matters: by role, then by the first of the
// figures in which two differ, then by the order of Pairs.
type LinkRank struct {
	Pair int
	Role Role
	// JoinedPairs is how many pairs of poles lose their only route without it,
	// RedundantPairs how many lose the second of two disjoint ones.
	JoinedPairs, RedundantPairs int
	// RouteLoss is the sum over all poles of what the probability of the best
	// route to a gateway falls by without it; 0 without gateways.
	RouteLoss float64
}

// Load is the traffic on the air at one pole. A message of AirtimeS leaves
// every pole PacketsPerHour times an hour; poles are heard with the probability
// of their link. Direct is without repeats, Flood with every pole of a part
// repeating every message of that part once, see linkbudget.ChannelUtilisation.
type Load struct {
	// Heard is the expected number of other poles audible here.
	Heard float64
	// DirectS and FloodS are the airtime at the place per hour, s, its own included.
	DirectS, FloodS float64
	// The same as a share of the time; above 1 more is offered than there is time.
	DirectUtilisation, FloodUtilisation float64
	// The share of packets lost to others there without carrier sense.
	DirectCollision, FloodCollision float64
	// DirectDuty and FloodDuty are the pole's own share of time on the air;
	// DutyLimit that of the band's table, 0 where it states none.
	DirectDuty, FloodDuty, DutyLimit float64
}
