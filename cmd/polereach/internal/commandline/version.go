package commandline

import (
	"cmp"
	"runtime/debug"
	"slices"
	"strings"
)

// Version is what the build knows of itself: the module's version, revision and date, Go's
// version, and whether GDAL is in it.
func Version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	return version(info)
}

func version(info *debug.BuildInfo) string {
	of := map[string]string{}
	for _, s := range info.Settings {
		of[s.Key] = s.Value
	}
	parts := []string{cmp.Or(info.Main.Version, "(devel)")}
	if revision := of["vcs.revision"]; revision != "" {
		if of["vcs.modified"] == "true" {
			revision += ", changed"
		}
		parts = append(parts, "revision "+revision, "of "+cmp.Or(of["vcs.time"], "unknown date"))
	}
	gdal := "without GDAL"
	if slices.Contains(strings.Split(of["-tags"], ","), "gdal") && of["CGO_ENABLED"] != "0" {
		gdal = "with GDAL"
	}
	return strings.Join(append(parts, info.GoVersion, gdal), ", ")
}
