package report

import (
	"io"

	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

type sunJSON struct {
	Schema      int             `json:"schema"`
	Command     string          `json:"command"`
	Pole        sunPoleJSON     `json:"pole"`
	Climate     climateJSON     `json:"climate"`
	System      *sunSystemJSON  `json:"system,omitempty"`
	Verdict     string          `json:"verdict"`
	Month       int             `json:"month,omitempty"`
	CouldBe     []string        `json:"could_be,omitempty"` // of the dullest and the brightest weather
	Free        string          `json:"verdict_without_hills,omitempty"`
	Reasons     []sunReasonJSON `json:"reasons"`
	DoubtShare  float64         `json:"sun_doubt_share"`
	Months      []sunMonthJSON  `json:"months"`
	Charge      *chargeJSON     `json:"charge,omitempty"`
	Heat        *heatJSON       `json:"heat,omitempty"`
	FrostAlone  bool            `json:"frost_alone,omitempty"`
	Frost       []sunAdviceJSON `json:"against_frost,omitempty"`
	Advice      []sunAdviceJSON `json:"advice,omitempty"`
	AdviceTried []string        `json:"advice_tried,omitempty"`
	Thieves     []thiefJSON     `json:"thieves"`
	Skyline     []skylineJSON   `json:"skyline"`
	Warnings    []string        `json:"warnings,omitempty"`
	Cautions    []string        `json:"cautions"`
}

type sunPoleJSON struct {
	Name         string   `json:"name,omitempty"`
	LonDeg       float64  `json:"lon_deg"`
	LatDeg       float64  `json:"lat_deg"`
	GroundM      *float64 `json:"ground_m,omitempty"`
	PanelHeightM float64  `json:"panel_height_m"`
}

type climateJSON struct {
	Source  string `json:"source"`
	Assumed bool   `json:"assumed"`
	Basis   string `json:"basis,omitempty"`
	Snow    bool   `json:"snow_counted,omitempty"`
	Next    string `json:"next,omitempty"`
}

type sunSystemJSON struct {
	Panels     []sunPanelJSON `json:"panels"`
	Charger    string         `json:"charger"`
	Cells      int            `json:"cells"`
	CapacityWh float64        `json:"capacity_wh"` // aged and warm
	LoadWh     float64        `json:"load_wh_per_day"`
	LoadStated bool           `json:"load_stated"`
}

type sunPanelJSON struct {
	PeakW      float64 `json:"peak_w"`
	TiltDeg    float64 `json:"tilt_deg"`
	AzimuthDeg float64 `json:"azimuth_deg"`
	Derate     float64 `json:"derate"`
}

type sunReasonJSON struct {
	Verdict string `json:"verdict"`
	Month   int    `json:"month,omitempty"`
	Text    string `json:"text"`
}

type sunMonthJSON struct {
	Month        int      `json:"month"`
	SunFreeH     float64  `json:"sun_free_h"`
	SunH         float64  `json:"sun_h"`
	FreeWhM2     float64  `json:"free_wh_m2"`
	PlaneWhM2    float64  `json:"plane_wh_m2"`
	GainWh       *float64 `json:"gain_wh,omitempty"`
	LoadWh       *float64 `json:"load_wh,omitempty"`
	Ratio        *float64 `json:"ratio,omitempty"`
	AutonomyDays *float64 `json:"autonomy_days,omitempty"`
	UsableWh     *float64 `json:"usable_wh,omitempty"`
	LowestWh     *float64 `json:"lowest_poor_wh,omitempty"`
	ColdestWh    *float64 `json:"lowest_poor_cold_wh,omitempty"`
	EmptyHours   *int     `json:"empty_hours,omitempty"`
	FrostDays    *int     `json:"frost_days,omitempty"`
	Verdict      string   `json:"verdict,omitempty"`
}

// chargeJSON holds the runs with the sun poor, as computed, rich, and poor in
// colder air.
type chargeJSON struct {
	ReserveWh    float64    `json:"reserve_wh"`
	LowestWh     [4]float64 `json:"lowest_wh"`
	EmptyHours   [4]int     `json:"empty_hours"`
	EmptyShare   [4]float64 `json:"empty_share"`
	FirstEmpty   *int       `json:"first_empty_day,omitempty"` // of the run as computed, from 1
	FrostDays    int        `json:"frost_days"`
	NoChargeDays int        `json:"no_charge_days"`
}

type heatJSON struct {
	Month   int     `json:"month"`
	AirC    float64 `json:"air_c"`
	RiseK   float64 `json:"rise_k"`
	InsideC float64 `json:"inside_c"`
	LimitC  float64 `json:"limit_c"`
	LimitOf string  `json:"limit_of"`
	Verdict string  `json:"verdict"`
}

// sunAdviceJSON is a change; null in Set takes the key away.
type sunAdviceJSON struct {
	Text    string         `json:"text"`
	Verdict string         `json:"verdict"`
	Set     map[string]any `json:"set,omitempty"`
	Spot    string         `json:"spot,omitempty"`
}

type thiefJSON struct {
	FromDeg    float64 `json:"from_deg"`
	ToDeg      float64 `json:"to_deg"`
	HighestDeg float64 `json:"elevation_deg"`
	DistM      float64 `json:"distance_m,omitempty"`
	Obstacle   bool    `json:"obstacle,omitempty"`
	TakesWhM2  float64 `json:"takes_wh_m2"`
	Share      float64 `json:"share"`
	Month      int     `json:"month"`
}

type skylineJSON struct {
	AzimuthDeg float64  `json:"azimuth_deg"`
	ElevDeg    float64  `json:"elevation_deg"`
	MostDeg    *float64 `json:"most_deg,omitempty"` // where missing ground could stand higher
	DistM      float64  `json:"distance_m,omitempty"`
	Obstacle   bool     `json:"obstacle,omitempty"`
}

// SunJSON writes the object of the command "sun".
func SunJSON(w io.Writer, s *power.PoleSurvey, opt SunOptions) (err error) {
	defer fault.Recovered(&err)
	r := &s.Result
	j := sunJSON{
		Schema: 1, Command: "sun", Verdict: string(r.Verdict), Month: r.Month, DoubtShare: power.SunDoubt, Free: string(s.Free),
		Pole: sunPoleJSON{opt.Name, placeDeg(s.Skyline.At.Lon()), placeDeg(s.Skyline.At.Lat()), nil, metres(opt.PanelUpM)},
		Climate: climateJSON{Source: s.Source, Assumed: s.Assumed, Basis: r.Basis,
			Snow: s.SnowCounted}, Reasons: []sunReasonJSON{}, Months: []sunMonthJSON{}, Thieves: []thiefJSON{}, Skyline: skylineList(s.Skyline),
		AdviceTried: s.Counsel.Tried, Cautions: opt.Cautioning,
		Warnings: append(append([]string(nil), opt.Warnings...), r.Warnings...),
	}
	if len(s.Skyline.Directions) > 0 {
		j.Pole.GroundM = ptr(metres(s.Skyline.EyeM - opt.PanelUpM))
	}
	if s.Assumed {
		j.Climate.Next = opt.Next
	}
	for _, end := range s.Ends {
		j.CouldBe = append(j.CouldBe, string(end.Verdict))
	}
	for _, f := range r.Findings {
		j.Reasons = append(j.Reasons, sunReasonJSON{string(f.Verdict), f.Month, f.String()})
	}
	if s.Stated.Enough() {
		j.System = &sunSystemJSON{Charger: s.System.Charger.Kind.String(), Cells: s.System.Bank.Cells,
			CapacityWh: fixed(r.CapacityWh, 3), LoadWh: fixed(r.LoadWh, 3), LoadStated: s.Stated.Load}
		for _, p := range s.System.Panels {
			j.System.Panels = append(j.System.Panels, sunPanelJSON{p.PeakW, p.TiltDeg, p.AzimuthDeg, fixed(p.Derates.Product(), 4)})
		}
	}
	j.Months = sunMonths(s)
	if r.Verdict != power.Unknown {
		j.Charge = newChargeJSON(r)
	}
	if h := r.Heat; h.Known {
		j.Heat = &heatJSON{h.Month, fixed(h.AirC, 1), fixed(h.RiseK, 1), fixed(h.InsideC, 1), h.LimitC, h.LimitOf, string(h.Verdict)}
	}
	j.FrostAlone = r.FrostAlone
	j.Frost, j.Advice = sunAdvice(s.Counsel.AgainstFrost), sunAdvice(s.Counsel.Advice)
	for _, t := range s.Thieves {
		j.Thieves = append(j.Thieves, thiefJSON{t.FromDeg, t.ToDeg, angleDeg(t.HighestDeg), fixed(t.DistM, 0), t.Obstacle,
			fixed(t.TakesWhM2, 0), fixed(t.Share, 3), t.Month})
	}
	return writeJSON(w, j)
}

func sunAdvice(list []power.Advice) []sunAdviceJSON {
	var out []sunAdviceJSON
	for _, a := range list {
		one := sunAdviceJSON{Text: a.Text(), Verdict: string(a.Result.Verdict), Spot: a.Spot}
		for _, c := range a.Changes {
			for _, set := range c.Set {
				if one.Set == nil {
					one.Set = map[string]any{}
				}
				one.Set[set.Key] = set.Value
			}
		}
		out = append(out, one)
	}
	return out
}

func skylineList(s terrain.Skyline) []skylineJSON {
	list := []skylineJSON{}
	for i, d := range s.Directions {
		one := skylineJSON{AzimuthDeg: angleDeg(s.StepDeg * float64(i)), ElevDeg: fixed(d.ElevDeg, 2), DistM: fixed(d.DistM, 0), Obstacle: d.Obstacle}
		if d.MostDeg > d.ElevDeg {
			one.MostDeg = ptr(fixed(d.MostDeg, 2))
		}
		list = append(list, one)
	}
	return list
}

func sunMonths(s *power.PoleSurvey) []sunMonthJSON {
	list := []sunMonthJSON{}
	if len(s.Panels) == 0 {
		return list
	}
	for i, m := range s.Panels[0].Months {
		one := sunMonthJSON{Month: i + 1, SunFreeH: fixed(s.SunHours[i].FreeH, 2), SunH: fixed(s.SunHours[i].SeenH, 2),
			FreeWhM2: fixed(m.FreeWhM2, 0), PlaneWhM2: fixed(m.PlaneWhM2, 0)}
		if b, ok := s.Result.MonthOf(i + 1); ok {
			one.GainWh, one.LoadWh = ptr(fixed(b.GainWh, 3)), ptr(fixed(b.LoadWh, 3))
			one.UsableWh, one.FrostDays, one.EmptyHours = ptr(fixed(b.UsableWh, 3)), ptr(b.FrostDays), ptr(b.EmptyHours)
			one.LowestWh, one.ColdestWh = ptr(fixed(b.LowestWh, 3)), ptr(fixed(b.ColdestWh, 3))
			if ratio, ok := b.Ratio(); ok {
				one.Ratio = ptr(fixed(ratio, 3))
			}
			if days, ok := b.AutonomyDays(); ok {
				one.AutonomyDays = ptr(fixed(days, 2))
			}
			one.Verdict = string(b.Verdict)
		}
		list = append(list, one)
	}
	return list
}

func newChargeJSON(r *power.Result) *chargeJSON {
	c := &chargeJSON{ReserveWh: fixed(r.ReserveWh, 3), FrostDays: r.FrostDays, NoChargeDays: r.NoChargeDays}
	for i, run := range []power.Run{r.Low, r.Mid, r.High, r.Cold} {
		c.LowestWh[i], c.EmptyHours[i], c.EmptyShare[i] = fixed(run.LowestWh,
			3), len(run.EmptyOn), fixed(r.EmptyShare(run), 4)
	}
	if len(r.Mid.EmptyOn) > 0 {
		c.FirstEmpty = ptr(r.Mid.EmptyOn[0]/24 + 1)
	}
	return c
}
