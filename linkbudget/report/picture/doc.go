// Package picture draws results, as SVG or PNG: Sun is the skyline round a pole with the
// sun's way over it, Path the section of a path.
//
// It stands apart from package report, since plotting brings fonts and formats of
// documents along that nobody needs who writes text, JSON, GeoJSON or CSV.
package picture
