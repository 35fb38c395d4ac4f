//go:build !amd64 || purego

package coverage

// walls looks at all of n points, at least one.
func (g *bareGround) walls(n int, b receiver) walls { return g.wallsByOne(n, b) }
