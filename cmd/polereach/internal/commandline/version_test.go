package commandline

import (
	"runtime/debug"
	"testing"
)

func TestVersionOfABuild(t *testing.T) {
	settings := func(pairs ...string) (list []debug.BuildSetting) {
		for i := 0; i < len(pairs); i += 2 {
			list = append(list, debug.BuildSetting{Key: pairs[i], Value: pairs[i+1]})
		}
		return list
	}
	for want, info := range map[string]debug.BuildInfo{
		"v0.3.1, go1.26.0, without GDAL": {GoVersion: "go1.26.0", Main: debug.Module{Version: "v0.3.1"}},
		"(devel), revision 0123abcd, changed, of 2026-11-01T10:00:00Z, go1.26.0, with GDAL": {GoVersion: "go1.26.0",
			Settings: settings("vcs.revision", "0123abcd", "vcs.time", "2026-11-01T10:00:00Z", "vcs.modified", "true",
				"-tags", "purego,gdal", "CGO_ENABLED", "1")},
		"(devel), go1.26.0, without GDAL": {GoVersion: "go1.26.0", Settings: settings("-tags", "gdal", "CGO_ENABLED", "0")},
	} {
		if got := version(&info); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
