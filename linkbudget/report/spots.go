package report

import (
	"bufio"
	"fmt"
	"io"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/siting"
)

// Spots is the answer of a search for ground where a pole could stand.
type Spots struct {
	*siting.Answer
	Settings plan.Settings
	Options  siting.Options
	Warnings []string
}

type spotsJSON struct {
	Schema   int          `json:"schema"`
	Command  string       `json:"command"`
	Settings settingsJSON `json:"settings"`
	AtLeast  int          `json:"at_least"`
	Cells    int          `json:"cells"`
	Unjudged int          `json:"unjudged_cells"`
	Spots    []spotJSON   `json:"spots"`
	Choices  []choiceJSON `json:"choices"`
	Beyond   []string     `json:"beyond_range,omitempty"`
	Cautions []string     `json:"cautions"`
}

type spotJSON struct {
	Name    string         `json:"name"`
	LonDeg  float64        `json:"lon_deg"`
	LatDeg  float64        `json:"lat_deg"`
	GroundM float64        `json:"ground_m"`
	Serves  bool           `json:"serves"`
	HeightM float64        `json:"height_m"`
	Reached int            `json:"reached"`
	Of      int            `json:"of"`
	Links   []spotLinkJSON `json:"links"`
	Reasons []string       `json:"reasons"`
}

type spotLinkJSON struct {
	To          string   `json:"to"`
	Must        bool     `json:"must,omitempty"`
	DistanceM   float64  `json:"distance_m"`
	MarginDB    *float64 `json:"margin_db,omitempty"`
	SigmaDB     *float64 `json:"sigma_db,omitempty"`
	Probability *float64 `json:"probability,omitempty"`
	Verdict     string   `json:"verdict"`
	LowestM     *float64 `json:"lowest_height_m,omitempty"`
}

type choiceJSON struct {
	Reached int     `json:"reached"`
	HeightM float64 `json:"height_m"`
	Spot    string  `json:"spot"`
}

// SpotName is the name under which a spot is listed and put into a plan; number
// counts from 0.
func SpotName(number int) string { return fmt.Sprintf("Spot %d", number+1) }

// SpotsJSON writes the answer as JSON, schema 1.
func SpotsJSON(w io.Writer, s *Spots) error {
	j := spotsJSON{
		Schema: 1, Command: "spots", Settings: newSettingsJSON(s.Settings), AtLeast: s.Options.AtLeast,
		Cells: s.Cells, Unjudged: s.Unjudged, Spots: []spotJSON{}, Choices: []choiceJSON{}, Beyond: s.Beyond, Cautions: s.cautions(),
	}
	for i, spot := range s.Spots {
		out := spotJSON{
			Name: SpotName(i), LonDeg: placeDeg(spot.At[0]), LatDeg: placeDeg(spot.At[1]), GroundM: metres(spot.GroundM),
			Serves: spot.Serves, HeightM: metres(spot.HeightM), Reached: spot.Reached, Of: len(spot.Links), Reasons: spot.Reasons,
		}
		for _, l := range spot.Links {
			link := spotLinkJSON{To: l.Name, Must: l.Must, DistanceM: metres(l.Result.DistM), Verdict: string(l.Result.Verdict)}
			if l.Result.Verdict != linkbudget.Unknown {
				link.MarginDB, link.SigmaDB = ptr(db(l.Result.MarginDB)), ptr(db(l.Result.Doubt.SigmaDB))
				link.Probability = ptr(fixed(l.Result.Probability, 4))
			}
			if l.LowestM > 0 {
				link.LowestM = ptr(metres(l.LowestM))
			}
			out.Links = append(out.Links, link)
		}
		j.Spots = append(j.Spots, out)
	}
	for _, c := range s.Choices {
		j.Choices = append(j.Choices, choiceJSON{c.Reached, metres(c.HeightM), SpotName(c.Spot)})
	}
	return writeJSON(w, j)
}

func (s *Spots) cautions() []string {
	out := append([]string{}, s.Warnings...)
	if s.Unjudged > 0 {
		out = append(out, fmt.Sprintf("%d cells could not be judged: terrain is missing there or on every way", s.Unjudged))
	}
	if len(s.Beyond) > 0 {
		out = append(out, fmt.Sprintf("%d neighbours lie out of range and were not looked at", len(s.Beyond)))
	}
	return append(out, "trees and houses at a spot are not in the terrain: look at it on site before building")
}

// SpotsText writes the answer for people.
func SpotsText(w io.Writer, s *Spots) error {
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "%d cells searched, %s\n%s\n\n", s.Cells, stationText(s.Options.Candidate), channelText(s.Settings.Environment))
	for i, spot := range s.Spots {
		fmt.Fprintf(out, "%s  %.5f,%.5f  ground %.0f m\n", SpotName(i), spot.At[0], spot.At[1], spot.GroundM)
		for _, reason := range spot.Reasons {
			writeWrapped(out, "  - ", reason)
		}
		for _, l := range spot.Links {
			if l.Result.Verdict == linkbudget.Unknown {
				fmt.Fprintf(out, "    %s %6.1f km  unknown\n", pad(l.Name, 20), l.Result.DistM/1000)
				continue
			}
			mast := "no mast is enough"
			if l.LowestM > 0 {
				mast = fmt.Sprintf("from %g m up", l.LowestM)
			}
			fmt.Fprintf(out, "    %s %6.1f km %+6.1f dB %4s %%  %-8s  %s\n", pad(l.Name, 20), l.Result.DistM/1000,
				float64(l.Result.MarginDB), percent(l.Result.Probability), l.Result.Verdict, mast)
		}
		fmt.Fprintln(out)
	}
	if len(s.Choices) > 0 {
		fmt.Fprintf(out, "mast against neighbours, over all spots listed\n")
		for _, c := range s.Choices {
			fmt.Fprintf(out, "  %5.1f m  %2d reached  %s\n", c.HeightM, c.Reached, SpotName(c.Spot))
		}
		fmt.Fprintln(out)
	}
	for _, caution := range s.cautions() {
		writeWrapped(out, "caution: ", caution)
	}
	return out.Flush()
}

// SpotsPlan returns the plan with the spots added as proposed stations, to be
// written by its own writer and read back as any plan. A name that is taken gets
// a number behind it.
func SpotsPlan(p *plan.Plan, s *Spots) *plan.Plan {
	out := *p
	out.Stations = append([]plan.Station(nil), p.Stations...)
	for i, spot := range s.Spots {
		name := SpotName(i)
		for n := 2; ; n++ {
			if _, taken := p.Station(name); !taken {
				break
			}
			name = fmt.Sprintf("%s (%d)", SpotName(i), n)
		}
		out.Stations = append(out.Stations, plan.Station{Name: name, At: spot.At, Status: plan.Proposed, HeightM: ptr(spot.HeightM), Feature: -1})
	}
	return &out
}
