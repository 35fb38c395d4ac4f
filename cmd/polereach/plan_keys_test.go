package main

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/power"
)

// Every key of both tables is listed once, in text of 80 columns and in JSON.
func TestPlanKeys(t *testing.T) {
	text := polereach(t, "plan", "--keys")
	for line := range strings.SplitSeq(text.out, "\n") {
		if utf8.RuneCountInString(line) > 80 {
			t.Errorf("longer than 80: %s", line)
		}
	}
	var rows []keyRow
	if r := polereach(t, "plan", "--keys", "--format", "json"); r.code != exitHolds || json.Unmarshal([]byte(r.out), &rows) != nil {
		t.Fatalf("exit %d, %s%s", r.code, r.out, r.err)
	}
	listed := map[string]keyRow{}
	for _, r := range rows {
		if _, twice := listed[r.Of+" "+r.Key]; twice || r.Default == "" && r.Of != "power" {
			t.Errorf("%+v: twice, or without a default", r)
		}
		listed[r.Of+" "+r.Key] = r
	}
	for _, k := range power.Keys() {
		if r := listed["power "+k.Name]; r.Allowed != k.Allowed() || r.Default != k.Default || !strings.Contains(text.out, "\n   "+k.Name+" ") {
			t.Errorf("%s: %+v", k.Name, r)
		}
	}
	for _, k := range plan.Keys() {
		if r := listed[k.Feature+" "+k.Name]; r.Allowed != k.Allowed() || r.Meaning != k.Doc || !strings.Contains(text.out, "\n   "+k.Name+" ") {
			t.Errorf("%s: %+v", k.Name, r)
		}
	}
	if r := listed["Point tx_dbm"]; r.Default != "--tx-dbm (14)" || r.Unit != "dBm" {
		t.Errorf("%+v", r)
	}
}
