// Package picture draws results, as SVG or PNG: Path is the section of a path with its
// Fresnel zone, Mesh a checked plan over its ground, Spots a search for ground, Coverage the
// area that poles serve, Sun the skyline round a pole with the sun's way over it. Charts are
// true to shape, and what stands round a drawing lies outside of it.
//
// It stands apart from package report, since plotting brings fonts and formats of
// documents along that nobody needs who writes text, JSON, GeoJSON or CSV.
package picture
