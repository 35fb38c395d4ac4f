package plan

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/polereach/polereach/terrain/fault"
)

// Of many faults the first in file order are told, whenever they are found, and the rest
// are counted: reading finds heights, looking at all of it afterwards finds names.
func TestManyFaultsAreCounted(t *testing.T) {
	var features []string
	for i := range 3000 {
		props := `{"name":"Same"}`
		if i%2 == 1 {
			props = fmt.Sprintf(`{"name":"P%d","height_m":-1}`, i)
		}
		features = append(features, feature(props, `{"type":"Point","coordinates":[8,47]}`))
	}
	text := collection(features...)
	p, err := Read("plan.geojson", []byte(text))
	if p != nil || !errors.Is(err, fault.ErrInput) {
		t.Fatalf("plan %v, error %v", p, err)
	}
	lines := strings.Split(err.Error(), "\n")
	// Each but the first has one fault.
	if want := "plan.geojson: and 2899 more of 2999 faults"; len(lines) != MaxFaults+1 || lines[MaxFaults] != want {
		t.Fatalf("%d lines, the last %q, want %d and %q", len(lines), lines[len(lines)-1], MaxFaults+1, want)
	}
	for i, line := range lines[:MaxFaults] {
		key := []string{"height_m: found -1", `name: found "Same" again`}[i%2]
		if want := fmt.Sprintf("plan.geojson: feature %d (", i+1); !strings.HasPrefix(line, want) ||
			!strings.Contains(line, key) {
			t.Errorf("line %d: %q, want %q and %q", i, line, want, key)
		}
	}
	if list := faultsOf(t, text); len(list) != MaxFaults {
		t.Errorf("%d faults as values, want %d", len(list), MaxFaults)
	}
}

func TestManyWarningsAreCounted(t *testing.T) {
	var features []string
	for i := range 300 {
		features = append(features, point(fmt.Sprintf("P%d", i), ""))
	}
	p, err := Read("plan.geojson", []byte(collection(features...))) // all at one place
	if err != nil {
		t.Fatal(err)
	}
	if want := "and 199 more of 299 warnings"; len(p.Warnings) != MaxFaults+1 || p.Warnings[MaxFaults] != want {
		t.Errorf("%d warnings, the last %q, want %d and %q", len(p.Warnings), p.Warnings[len(p.Warnings)-1], MaxFaults+1, want)
	}
}

// More than is promised to fit is refused with the limit.
func TestPlansTooLarge(t *testing.T) {
	for want, text := range map[string]string{
		"features: found 500001 features, allowed 500000 in one plan": collection(strings.Repeat("0,", MaxFeatures) + "0"),
		"found 134217729 bytes, allowed 134217728 (128 MiB)":          strings.Repeat(" ", MaxBytes+1),
	} {
		_, err := Read("plan.geojson", []byte(text))
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("error %.300v, want %q alone", err, want)
		}
	}
}
