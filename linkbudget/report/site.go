package report

import (
	"encoding/json"
	"io"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// SiteOptions says what a site report carries beside the links.
type SiteOptions struct {
	// Profiles adds the sampled path of each link to JSON.
	Profiles bool
	// Warnings are the plan's, repeated in JSON.
	Warnings []string
	// Power is whether the node lives through the year; nil where the plan does
	// not say what hangs on the pole.
	Power *power.Result
}

type siteJSON struct {
	Schema   int               `json:"schema"`
	Command  string            `json:"command"`
	Pole     poleJSON          `json:"pole"`
	Settings settingsJSON      `json:"settings"`
	Links    []json.RawMessage `json:"links"`
	Beyond   []string          `json:"beyond_range,omitempty"`
	Verdict  string            `json:"verdict"`
	Reached  int               `json:"reached"`
	Of       int               `json:"of"`
	Required *countJSON        `json:"required,omitempty"`
	Rules    *rulesJSON        `json:"rules,omitempty"`
	Power    *powerJSON        `json:"power,omitempty"`
	Warnings []string          `json:"warnings,omitempty"`
	Cautions []string          `json:"cautions"`
}

// poleJSON is a pole, or one end of a path; of a profile without places no coordinates
// are known.
type poleJSON struct {
	Name    string   `json:"name,omitempty"`
	Status  string   `json:"status,omitempty"`
	LonDeg  *float64 `json:"lon_deg,omitempty"`
	LatDeg  *float64 `json:"lat_deg,omitempty"`
	GroundM *float64 `json:"ground_m,omitempty"`
	Ground  string   `json:"ground,omitempty"` // why ground_m is absent
	HeightM float64  `json:"height_m"`
}

func (j *poleJSON) stands(at orb.Point) {
	j.LonDeg, j.LatDeg = ptr(placeDeg(at.Lon())), ptr(placeDeg(at.Lat()))
}

func (j *poleJSON) ground(heightM float64, flag terrain.Flag) {
	if flag.Known() {
		j.GroundM = ptr(metres(heightM))
	} else {
		j.Ground = flag.String()
	}
}

type countJSON struct {
	Reached int `json:"reached"`
	Of      int `json:"of"`
}

// SiteJSON writes the object of the command "site", keys as in the package comment.
func SiteJSON(w io.Writer, s *mesh.Site, opt SiteOptions) (err error) {
	defer fault.Recovered(&err)
	j := siteJSON{
		Schema: 1, Command: "site", Settings: newSettingsJSON(s.Settings),
		Links: []json.RawMessage{}, Beyond: s.Beyond, Power: newPowerJSON(opt.Power),
		Verdict: s.Verdict.String(), Reached: s.Reached, Of: len(s.Links),
		Warnings: append(append([]string(nil), opt.Warnings...), s.Warnings...), Cautions: Cautions(s.Pole, s.Settings.Environment.FreqHz),
	}
	j.Pole = poleJSON{Name: s.At.Name, Status: s.At.Status.String(), HeightM: metres(s.Pole.HeightM)}
	j.Pole.stands(s.At.At)
	j.Pole.ground(s.GroundM, s.GroundFlag)
	if s.RequiredCount > 0 {
		j.Required = &countJSON{s.RequiredReached, s.RequiredCount}
	}
	if s.Rules != nil {
		j.Rules = ptr(newRulesJSON(s.Pole.Name, s.Rules))
	}
	for i := range s.Links {
		l := &s.Links[i]
		one := newLink(&l.PathCheck, planned|located)
		one.Required = l.Required
		if l.Wanted {
			one.Link = 0
		}
		if opt.Profiles {
			one.sampled(l.Environment)
		}
		text, err := one.json()
		if err != nil {
			return err
		}
		j.Links = append(j.Links, text)
	}
	return writeJSON(w, j)
}

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
