package band

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/polereach/polereach/linkbudget/radio"
)

// wantRow is one row of the reference notes on LoRa, sections 5.1 to 5.3, typed by
// hand: edges in MHz, the limit as printed there, everything else in more.
// Fields left zero must be zero in the table too.
type wantRow struct {
	key            string
	fromMHz, toMHz float64
	limitMW        float64 // or
	limitDBm       float64
	tolDBm         float64 // from the printed digits; 0 means 1e-9
	ref            Reference
	more           Rule
	source, clause string // must occur in the row's
	year           int
	confidence     Confidence
}

// compareRows holds a band's table against the typed rows, in order.
func compareRows(t *testing.T, b Band, want []wantRow) {
	t.Helper()
	got := Rules(b)
	if len(got) != len(want) {
		t.Errorf("%s has %d rows, want %d", b, len(got), len(want))
	}
	for i := 0; i < min(len(got), len(want)); i++ {
		g, w := got[i], want[i]
		if g.Key != w.key || g.Plan != b {
			t.Errorf("%s row %d is %q of %q, want %q", b, i, g.Key, g.Plan, w.key)
			continue
		}
		if !(math.Abs(g.FromHz-w.fromMHz*1e6) < 0.5 && math.Abs(g.ToHz-w.toMHz*1e6) < 0.5) {
			t.Errorf("%s: %g to %g Hz, want %g to %g MHz", w.key, g.FromHz, g.ToHz, w.fromMHz, w.toMHz)
		}
		wantDBm, tol := w.limitDBm, max(w.tolDBm, 1e-9)
		if w.limitMW != 0 {
			wantDBm = 10 * math.Log10(w.limitMW)
		}
		if !(math.Abs(float64(g.Limit)-wantDBm) <= tol) || g.Reference != w.ref {
			t.Errorf("%s: limit %.3f dBm %v, want %.3f %v", w.key, g.Limit, g.Reference, wantDBm, w.ref)
		}
		if !strings.Contains(g.Source, w.source) || !strings.Contains(g.Clause, w.clause) || g.Year != w.year ||
			g.Confidence != w.confidence {
			t.Errorf("%s: source %q, clause %q, %d, %s; want %q, %q, %d, %s",
				w.key, g.Source, g.Clause, g.Year, g.Confidence, w.source, w.clause, w.year, w.confidence)
		}
		compared := cmpopts.IgnoreFields(Rule{}, "Key", "Plan", "FromHz", "ToHz", "Limit", "Reference",
			"Class", "Access", "Source", "Clause", "Year", "Confidence", "SecondHand", "Note")
		// Levels typed to four decimals.
		levels := cmp.Comparer(func(a, b radio.DBm) bool { return math.Abs(float64(a-b)) <= 5e-5 })
		if diff := cmp.Diff(w.more, g, compared, levels, cmpopts.EquateApprox(0, 1e-9)); diff != "" {
			t.Errorf("%s (- typed, + table):\n%s", w.key, diff)
		}
		if (w.more.Class != "") != (g.Class != "") {
			t.Errorf("%s: class %q, want one: %t", w.key, g.Class, w.more.Class != "")
		}
	}
}

// TestTablesAreWellFormed: what the judging relies on.
func TestTablesAreWellFormed(t *testing.T) {
	keyForm := regexp.MustCompile(`^[a-z0-9.-]+$`)
	seen := map[string]bool{}
	for _, b := range Names() {
		rules := Rules(b)
		if len(rules) == 0 {
			t.Errorf("%s has no rows", b)
		}
		plain := false
		for _, r := range rules {
			if seen[r.Key] || !keyForm.MatchString(r.Key) {
				t.Errorf("key %q twice or ill-formed", r.Key)
			}
			seen[r.Key] = true
			plain = plain || r.Class == ""
			if r.Plan != b || !(r.FromHz < r.ToHz) || r.Reference == 0 {
				t.Errorf("%s: plan %q, edges %g to %g, reference %v", r.Key, r.Plan, r.FromHz, r.ToHz, r.Reference)
			}
			if r.Source == "" || r.Clause == "" || r.Year < 2000 || !strings.Contains("ABC", string(r.Confidence)) ||
				r.Confidence == "" {
				t.Errorf("%s: source, clause, year or confidence missing", r.Key)
			}
			if (r.Confidence == ConfidenceA) != (r.SecondHand == "") {
				t.Errorf("%s: confidence %s, second-hand %q", r.Key, r.Confidence, r.SecondHand)
			}
			if r.Reference == Conducted && r.GainThresholdDBi == 0 && r.EIRPCap == 0 {
				t.Errorf("%s: a conducted limit with neither gain rule nor cap bounds no EIRP", r.Key)
			}
			if r.GainSlope != 0 && r.GainSlope != 1 || r.GainSlope != 0 && r.GainThresholdDBi == 0 {
				t.Errorf("%s: gain slope %g, maxEIRP knows 0 and 1", r.Key, r.GainSlope)
			}
			if r.Duty < 0 || r.Duty > 1 || (r.Duty > 0) != (r.DutyWindowS == 3600) {
				t.Errorf("%s: duty %g in %g s", r.Key, r.Duty, r.DutyWindowS)
			}
			for _, text := range []string{r.Source, r.Clause, r.Note, r.Access, r.Class, r.SecondHand} {
				if strings.Contains(strings.ToLower(text), "compliant") {
					t.Errorf("%s: %q", r.Key, text)
				}
			}
		}
		if !plain {
			t.Errorf("%s has no row for a plain node", b)
		}
	}
}

// TestRulesAreCopies: a caller who writes into the answer spoils nothing.
func TestRulesAreCopies(t *testing.T) {
	for _, b := range Names() {
		before := Rules(b)
		Rules(b)[0].Limit = 99
		if diff := cmp.Diff(before, Rules(b)); diff != "" {
			t.Errorf("%s changed:\n%s", b, diff)
		}
	}
}

// TestFieldEIRP: reference notes on LoRa, section 5.2, 0.05 V/m at 3 m = -1.249 dBm, 0.75 mW.
func TestFieldEIRP(t *testing.T) {
	got := fieldEIRP(0.05, 3)
	if !(math.Abs(float64(got)+1.249) <= 0.0005) || !(math.Abs(got.MilliW()-0.75) <= 0.005) {
		t.Errorf("0.05 V/m at 3 m = %.4f dBm, want -1.249", got)
	}
	// Second derivation: power density E²/(120 pi) times the sphere, with
	// 120 pi ohms as the impedance that the factor 30 implies.
	const e, d = 0.7, 11.0
	want := 10*math.Log10(e*e/(120*math.Pi)*4*math.Pi*d*d) + 30
	if got = fieldEIRP(e, d); !(math.Abs(float64(got)-want) <= 1e-9) {
		t.Errorf("%g V/m at %g m = %g dBm, want %g", e, d, got, want)
	}
}

// TestDensity: reference notes on LoRa, section 5.2, a flat carrier in 3 kHz.
func TestDensity(t *testing.T) {
	for _, c := range []struct{ p, bwHz, want, tol float64 }{
		{30, 500e3, 7.78, 0.005},
		{30, 125e3, 13.8, 0.05},
		{24.2, 125e3, 8, 0.05}, // "125 kHz passes up to 24.2 dBm"
		{10, 2e3, 10, 1e-12},   // narrower than 3 kHz: whole; by definition
	} {
		got := radio.DBm(c.p).Add(-spread(c.bwHz, 3e3))
		if !(math.Abs(float64(got)-c.want) <= c.tol) {
			t.Errorf("%g dBm in %g Hz: %.3f dBm in 3 kHz, want %g", c.p, c.bwHz, got, c.want)
		}
	}
}
