// Package graph tells what holds an undirected graph together.
//
//	Layout  its parts, blocks and cut vertices; pairs of vertices with one route, and
//	        those with two that have no vertex or edge in common
//	Losses  what the loss of a vertex or of an edge costs the others
//	Gains   what vertices that are not there yet would add to those that are
//	Routes  the best ways from every vertex to the nearest of some, and what the detours
//	        without each edge cost
//	Sets    disjoint sets of vertices, joined one edge at a time
//
// It knows nothing of radio, poles or plans. Vertices are numbers from 0, edges pairs of
// them; there are no loops and no double edges. Layout and Losses take memory
// linear in vertices and edges, and time but for the sorting of edges.
package graph
