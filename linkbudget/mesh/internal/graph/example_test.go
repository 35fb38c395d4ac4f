package graph_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget/mesh/internal/graph"
)

// A triangle with a tail: 0, 1, 2 and from there to 3.
var tailed = graph.New(4, [][2]int32{{0, 1}, {1, 2}, {2, 0}, {2, 3}})

func ExampleLayout() {
	l := graph.NewLayout(tailed)
	for v := range tailed.Size() {
		fmt.Println(v, "cuts:", l.Cuts(v))
	}
	fmt.Println("pairs joined:", l.Joined(), "twice:", l.Redundant)
	fmt.Println("with one route:", l.SingleRoutes(10))
	// Output:
	// 0 cuts: false
	// 1 cuts: false
	// 2 cuts: true
	// 3 cuts: false
	// pairs joined: 6 twice: 3
	// with one route: [[0 3] [1 3] [2 3]]
}

func ExampleLosses() {
	x := graph.NewLosses(graph.NewLayout(tailed), []int{0})
	e := x.OfVertex(2)
	fmt.Println("without 2 no gateway for", e.Vertices, "and no route for", e.JoinedPairs, "pairs")
	joined, redundant := x.OfEdge(0)
	fmt.Println("without 0-1:", joined, "pairs lose their only route,", redundant, "a second one")
	// Output:
	// without 2 no gateway for [3] and no route for 2 pairs
	// without 0-1: 0 pairs lose their only route, 3 a second one
}

func ExampleGains() {
	// 3 is there, and 0 and 1 with the edge between them; 2 is not yet.
	gains := graph.NewGains(graph.NewLayout(tailed), func(v int) bool { return v != 2 }, nil)
	e := gains.Of(2)
	fmt.Println("2 joins", e.JoinedPairs, "pairs of the others, and", e.Vertices, "to the larger part")
	// Output: 2 joins 2 pairs of the others, and [3] to the larger part
}

func ExampleRoutes() {
	weights := []graph.Weight{{First: 1}, {First: 1}, {First: 5}, {First: 1}} // 2-0 is bad
	r := graph.NewRoutes(tailed, weights, []int{0})
	for v := int32(3); v > 0; {
		next, edge := r.Next(v)
		fmt.Printf("%d to %d over edge %d\n", v, next, edge)
		v = next
	}
	fmt.Println("without each edge:", r.Detours())
	// Output:
	// 3 to 2 over edge 3
	// 2 to 1 over edge 1
	// 1 to 0 over edge 0
	// without each edge: [11 6 0 0]
}
