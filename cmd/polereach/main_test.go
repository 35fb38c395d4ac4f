package main

import (
	"runtime"
	"runtime/debug"
	"testing"
	"time"
)

// settingsNow reads the settings of the collector without changing them.
func settingsNow() (percent int, limit int64) {
	percent = debug.SetGCPercent(100)
	debug.SetGCPercent(percent)
	return percent, debug.SetMemoryLimit(-1)
}

// After the first collection, the settings are those from before.
func TestCollectLateEndsWithTheFirstCollection(t *testing.T) {
	t.Setenv("GOGC", "")
	t.Setenv("GOMEMLIMIT", "")
	percent, limit := settingsNow()
	defer debug.SetMemoryLimit(limit)
	defer debug.SetGCPercent(percent)
	collectLate()
	if p, l := settingsNow(); p != -1 || l != collectFromB {
		t.Errorf("before the first collection: %d %%, limit %d, want -1 and %d", p, l, int64(collectFromB))
	}
	for range 100 {
		runtime.GC()
		if p, l := settingsNow(); p == percent && l == limit {
			return
		}
		time.Sleep(10 * time.Millisecond) // finalizers run in a goroutine of their own
	}
	p, l := settingsNow()
	t.Errorf("after it: %d %%, limit %d, want %d and %d", p, l, percent, limit)
}

func TestCollectLateLeavesSettingsOfTheUser(t *testing.T) {
	for _, key := range []string{"GOGC", "GOMEMLIMIT"} {
		t.Setenv("GOGC", "")
		t.Setenv("GOMEMLIMIT", "")
		t.Setenv(key, "100")
		percent, limit := settingsNow()
		collectLate()
		if p, l := settingsNow(); p != percent || l != limit {
			t.Errorf("with %s set: %d %%, limit %d, want %d and %d", key, p, l, percent, limit)
		}
	}
}
