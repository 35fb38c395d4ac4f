package geotiff

import (
	"regexp"
	"strings"
)

// Words by which metadata tell a model of the surface, with trees and roofs,
// from one of the bare earth.
var (
	surfaceWords   = regexp.MustCompile(`(?i)\bdsm\b|\bsurface[ _-]model\b|\bfirst[ _-]return\b|\bcanopy[ _-]top\b`)
	bareEarthWords = regexp.MustCompile(`(?i)\bdtm\b|\bterrain[ _-]model\b|\bbare[ _-]?earth\b|\blast[ _-]return\b`)
)

// SurfaceOf tells from "KEY=value" items of metadata and descriptions.
func SurfaceOf(items []string) string {
	// An underscore counts as a letter to \b.
	text := strings.ReplaceAll(strings.Join(items, "\n"), "_", " ")
	surface, bare := surfaceWords.MatchString(text), bareEarthWords.MatchString(text)
	switch {
	case surface && !bare:
		return "surface"
	case bare && !surface:
		return "bare earth"
	}
	return ""
}
