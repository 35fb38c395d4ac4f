package power

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

// Every key of the table is read and held to its limits, those of further panels too.
func TestEveryKeyIsRead(t *testing.T) {
	for _, k := range Keys() {
		names := []string{k.Name}
		if of, ok := strings.CutPrefix(k.Name, "panel_"); ok {
			names = append(names, "panel2_"+of, "panel4_"+of)
		}
		for _, name := range names {
			bad := []string{`{}`, `"none of them"`}
			if k.Words == nil {
				for _, v := range []float64{math.Nextafter(k.Limits.Min, math.Inf(-1)), math.Nextafter(k.Limits.Max, math.Inf(1))} {
					text, err := json.Marshal(v)
					if err != nil {
						t.Fatal(err)
					}
					bad = append(bad, string(text))
				}
			}
			for _, value := range bad {
				_, _, err := Settings(FromMap(map[string]json.RawMessage{name: json.RawMessage(value)}), SettingDefaults{})
				if err == nil || !strings.Contains(err.Error(), name+": found "+value+", allowed ") {
					t.Errorf("%s: %s: %v", name, value, err)
				}
			}
			if k.Doc == "" && k.Words == nil || k.Allowed() == "" {
				t.Errorf("%+v tells nothing", k)
			}
		}
	}
}

// A default that is a number is within the limits.
func TestDefaultsAreAllowed(t *testing.T) {
	for _, k := range Keys() {
		if k.Words == nil && k.value != 0 && !k.Limits.Hold(k.value) {
			t.Errorf("%s: default %g, allowed %s", k.Name, k.value, k.Allowed())
		}
	}
}
