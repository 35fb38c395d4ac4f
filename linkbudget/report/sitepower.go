package report

import (
	"io"

	"github.com/polereach/polereach/linkbudget/power"
)

// powerJSON is the line about the sun in the object of "site"; the whole of it
// is the command "sun".
type powerJSON struct {
	Verdict string `json:"verdict"`
	Month   int    `json:"month,omitempty"`
	Reason  string `json:"reason,omitempty"`
	Basis   string `json:"basis,omitempty"`
}

// newPowerJSON is nil without a survey.
func newPowerJSON(r *power.Result) *powerJSON {
	if r == nil {
		return nil
	}
	j := &powerJSON{Verdict: string(r.Verdict), Month: r.Month, Basis: r.Basis}
	if len(r.Findings) > 0 {
		j.Reason = r.Findings[0].String()
	}
	return j
}

// writePower prints whether the node lives, if the plan says what it is.
func writePower(out io.Writer, r *power.Result) {
	if r != nil {
		line := SunVerdict(r)
		if r.Basis != "" {
			line += " (" + r.Basis + ")"
		}
		writeWrapped(out, "  power: ", line)
	}
}
