// Package mesh answers for a plan over terrain: what one path does, what one pole
// reaches, and what all poles are together.
//
//	CheckPath, CheckProfile  one path: its budget, what would make it reach, the rules
//	                         of the band at both ends
//	CheckSite                one pole and its neighbours
//	Check                    every wanted link and every other pair that could close, and
//	                         the graph they form: parts, cut poles and bridges, what the
//	                         loss of each pole and link costs, what a proposed pole adds,
//	                         routes to gateways, the traffic on the air
//	CheckPart, Merge         the same in shards, on as many machines
//	Prepare, Estimate        what a check costs, before it begins; Prepared.CheckFrom takes
//	                         over from an earlier check what a change leaves as it was
//	CountPairs               routes between poles of a mesh known by its links alone
//
// In the graph a link counts when its probability is at least the wanted one: Pair.Solid.
// Role says what matters more than what. Links are taken as independent, which those of
// one pole, or over one hill, are not.
//
// Missing terrain is a verdict, linkbudget.Unknown, and no error. No answer depends on how
// many workers or shards there were.
package mesh
