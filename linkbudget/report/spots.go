package report

import (
	"fmt"
	"io"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/terrain/fault"
)

// Spots is the answer of a search for ground where a pole could stand.
type Spots struct {
	*siting.Answer
	Settings plan.Settings
	Options  siting.Options
	// Like is the station after which the new pole is built, nil if none.
	Like     *plan.Station
	Warnings []string
}

type spotsJSON struct {
	Schema   int          `json:"schema"`
	Command  string       `json:"command"`
	Settings settingsJSON `json:"settings"`
	Rank     string       `json:"rank"`
	AskedM   float64      `json:"asked_height_m"`
	MaxM     float64      `json:"max_height_m"`
	AtLeast  int          `json:"at_least"`
	Cells    int          `json:"cells"`
	Left     int          `json:"left_cells"`
	Unjudged int          `json:"unjudged_cells"`
	Open     int          `json:"open_cells"`
	Spots    []spotJSON   `json:"spots"`
	Choices  []choiceJSON `json:"choices"`
	Beyond   []string     `json:"beyond_range,omitempty"`
	Unknown  []string     `json:"unknown_ground,omitempty"` // neighbours without a height of the ground
	Cautions []string     `json:"cautions"`
}

type spotJSON struct {
	Name    string         `json:"name"`
	LonDeg  float64        `json:"lon_deg"`
	LatDeg  float64        `json:"lat_deg"`
	GroundM float64        `json:"ground_m"`
	Serves  bool           `json:"serves"`
	HeightM float64        `json:"height_m"`
	LowestM *float64       `json:"lowest_height_m,omitempty"`
	Reached int            `json:"reached"`
	Of      int            `json:"of"`
	Weakest *float64       `json:"weakest_probability,omitempty"`
	RoadM   *float64       `json:"road_distance_m,omitempty"`
	Links   []spotLinkJSON `json:"links"`
	Sun     *spotSunJSON   `json:"sun,omitempty"`
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

type spotSunJSON struct {
	PanelHeightM float64       `json:"panel_height_m"`
	TiltDeg      float64       `json:"tilt_deg"`
	AzimuthDeg   float64       `json:"azimuth_deg"`
	Month        int           `json:"month"`
	SunWhM2      float64       `json:"sun_wh_m2_day"`
	FreeWhM2     float64       `json:"sun_free_wh_m2_day"`
	Share        float64       `json:"sun_share"`
	ShortestDay  string        `json:"shortest_day"`
	DirectH      float64       `json:"direct_sun_h"`
	DaylightH    float64       `json:"daylight_h"`
	UnknownShare float64       `json:"unknown_share,omitempty"`
	Verdict      string        `json:"verdict,omitempty"`
	Reason       string        `json:"reason,omitempty"`
	Climate      climateJSON   `json:"climate"`
	Skyline      []skylineJSON `json:"skyline"`
}

type choiceJSON struct {
	Reached int      `json:"reached"`
	HeightM *float64 `json:"height_m,omitempty"`
	LonDeg  *float64 `json:"lon_deg,omitempty"`
	LatDeg  *float64 `json:"lat_deg,omitempty"`
	Spot    string   `json:"spot,omitempty"`
	Sure    bool     `json:"sure"`
}

// SpotName is the name under which a spot is listed and put into a plan; number
// counts from 0.
func SpotName(number int) string { return fmt.Sprintf("Spot %d", number+1) }

// SpotsJSON writes the answer as JSON, schema 1.
func SpotsJSON(w io.Writer, s *Spots) (err error) {
	defer fault.Recovered(&err)
	j := spotsJSON{
		Schema: 1, Command: "spots", Settings: newSettingsJSON(s.Settings), AtLeast: s.Options.AtLeast, Rank: s.Options.Rank.String(),
		AskedM: metres(s.Options.Candidate.HeightM), MaxM: metres(s.Options.MaxHeightM),
		Cells: s.Cells, Left: s.Left, Unjudged: s.Unjudged, Open: s.Open,
		Spots: []spotJSON{}, Choices: []choiceJSON{}, Beyond: s.Beyond, Unknown: s.Unknown, Cautions: s.cautions(),
	}
	for i := range s.Spots {
		j.Spots = append(j.Spots, newSpotJSON(i, &s.Spots[i]))
	}
	for _, c := range s.Choices {
		one := choiceJSON{Reached: c.Reached, Sure: c.Sure}
		if c.HeightM > 0 {
			one.HeightM, one.LonDeg, one.LatDeg = ptr(metres(c.HeightM)), ptr(placeDeg(c.At[0])), ptr(placeDeg(c.At[1]))
		}
		if c.Spot >= 0 {
			one.Spot = SpotName(c.Spot)
		}
		j.Choices = append(j.Choices, one)
	}
	return writeJSON(w, j)
}

func newSpotJSON(number int, spot *siting.Spot) spotJSON {
	out := spotJSON{
		Name: SpotName(number), LonDeg: placeDeg(spot.At[0]), LatDeg: placeDeg(spot.At[1]), GroundM: metres(spot.GroundM),
		Serves: spot.Serves, HeightM: metres(spot.HeightM), Reached: spot.Reached, Of: len(spot.Links),
		Reasons: spot.Reasons,
	}
	if spot.Weakest != nil {
		out.Weakest = ptr(fixed(*spot.Weakest, 4))
	}
	if spot.LowestM > 0 {
		out.LowestM = ptr(metres(spot.LowestM))
	}
	if spot.RoadM != nil {
		out.RoadM = ptr(fixed(*spot.RoadM, 1))
	}
	for _, l := range spot.Links {
		link := spotLinkJSON{To: l.Name, Must: l.Must, DistanceM: metres(l.Result.DistM), Verdict: l.Result.Verdict.String()}
		if l.Result.Verdict != linkbudget.Unknown {
			link.MarginDB, link.SigmaDB = ptr(db(l.Result.MarginDB)), ptr(db(l.Result.Doubt.SigmaDB))
			link.Probability = ptr(fixed(l.Result.Probability, 4))
		}
		if l.LowestM > 0 {
			link.LowestM = ptr(metres(l.LowestM))
		}
		out.Links = append(out.Links, link)
	}
	if spot.Sky != nil {
		out.Sun = newSpotSunJSON(spot.Sky)
	}
	return out
}

func newSpotSunJSON(sky *siting.Sky) *spotSunJSON {
	j := &spotSunJSON{
		PanelHeightM: metres(sky.PanelUpM), TiltDeg: sky.Plane.TiltDeg, AzimuthDeg: sky.Plane.AzimuthDeg,
		Month: int(sky.Month), SunWhM2: fixed(sky.SunWhM2, 0), FreeWhM2: fixed(sky.FreeWhM2, 0), Share: fixed(sky.Share(), 3),
		ShortestDay: sky.Day.Format("01-02"), DirectH: fixed(sky.DirectH, 2), DaylightH: fixed(sky.DaylightH, 2),
		UnknownShare: fixed(sky.UnknownShare, 3), Climate: climateJSON{Source: sky.Source,
			Assumed: sky.Assumed}, Skyline: skylineList(sky.Skyline),
	}
	if sky.Power != nil {
		j.Verdict = string(sky.Power.Verdict)
		if len(sky.Power.Findings) > 0 {
			j.Reason = sky.Power.Findings[0].String()
		}
	}
	return j
}
