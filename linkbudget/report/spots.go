package report

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"io"
	"time"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/magnetic"
)

// Spots is the answer of a search for ground where a pole could stand.
type Spots struct {
	*siting.Answer
	Settings plan.Settings
	Options  siting.Options
	// Like is the station after which the new pole is built, nil if none.
	Like     *plan.Station
	Warnings []string
	// Date is that of the magnetic bearings, the zero time for none.
	Date time.Time
}

// compass is that at a spot.
func (s *Spots) compass(spot *siting.Spot) magnetic.Compass {
	return magnetic.NewCompass(spot.At, s.Date)
}

// worstCompass is that of the spots of whose sky directions are told.
func (s *Spots) worstCompass() magnetic.Compass {
	var list []magnetic.Compass
	for i := range s.Spots {
		if s.Spots[i].Sky != nil {
			list = append(list, s.compass(&s.Spots[i]))
		}
	}
	return magnetic.Worst(list...)
}

// SpotName is the name under which a spot is listed and put into a plan; number
// counts from 0.
func SpotName(number int) string { return fmt.Sprintf("Spot %d", number+1) }

// SpotsJSON writes the answer as JSON, schema 1.
func SpotsJSON(w io.Writer, s *Spots) (err error) {
	defer fault.Recovered(&err)
	return writeCommand(w, "spots", func(o *object) {
		o.magnetic(s.worstCompass())
		o.settings(s.Settings)
		o.text("rank", s.Options.Rank.String())
		o.number("asked_height_m", s.Options.Candidate.HeightM, 3)
		o.number("max_height_m", s.Options.MaxHeightM, 3)
		o.count("at_least", s.Options.AtLeast)
		o.count("cells", s.Cells)
		o.count("left_cells", s.Left)
		o.count("unjudged_cells", s.Unjudged)
		o.count("open_cells", s.Open)
		o.list("spots", len(s.Spots), func(i int) { o.spot(i, &s.Spots[i], s.compass(&s.Spots[i])) })
		o.list("choices", len(s.Choices), func(i int) {
			c := &s.Choices[i]
			o.count("reached", c.Reached)
			if c.HeightM > 0 {
				o.number("height_m", c.HeightM, 3)
				o.stands(c.At)
			}
			if c.Spot >= 0 {
				o.text("spot", SpotName(c.Spot))
			}
			o.truth("sure", c.Sure)
		})
		o.some("beyond_range", s.Beyond)
		o.some("unknown_ground", s.Unknown) // neighbours without a height of the ground
		o.value("cautions", s.cautions())
	})
}

func (o *object) spot(number int, spot *siting.Spot, c magnetic.Compass) {
	o.text("name", SpotName(number))
	o.stands(spot.At)
	o.number("ground_m", spot.GroundM, 3)
	o.truth("serves", spot.Serves)
	o.number("height_m", spot.HeightM, 3)
	o.numberIf(spot.LowestM > 0, "lowest_height_m", spot.LowestM, 3)
	o.count("reached", spot.Reached)
	o.count("of", len(spot.Links))
	if spot.Weakest != nil {
		o.number("weakest_probability", *spot.Weakest, 4)
	}
	if spot.RoadM != nil {
		o.number("road_distance_m", *spot.RoadM, 1)
	}
	o.list("links", len(spot.Links), func(i int) {
		l := &spot.Links[i]
		r := &l.Result
		known := r.Verdict != linkbudget.Unknown
		o.text("to", l.Name)
		o.some("must", l.Must)
		o.number("distance_m", r.DistM, 3)
		o.numberIf(known, "margin_db", float64(r.MarginDB), 3)
		o.numberIf(known, "sigma_db", float64(r.Doubt.SigmaDB), 3)
		o.numberIf(known, "probability", r.Probability, 4)
		o.text("verdict", r.Verdict.String())
		o.numberIf(l.LowestM > 0, "lowest_height_m", l.LowestM, 3)
	})
	if spot.Sky != nil {
		o.object("sun", func(o *object) { o.sky(spot.Sky, c) })
	}
	o.value("reasons", spot.Reasons)
}

func (o *object) sky(sky *siting.Sky, c magnetic.Compass) {
	o.number("panel_height_m", sky.PanelUpM, 3)
	o.value("tilt_deg", sky.Plane.TiltDeg)
	o.value("azimuth_deg", sky.Plane.AzimuthDeg)
	o.numberIf(c.Known(), "magnetic_deg", c.BearingDeg(sky.Plane.AzimuthDeg), 1)
	o.count("month", int(sky.Month))
	o.number("sun_wh_m2_day", sky.SunWhM2, 0)
	o.number("sun_free_wh_m2_day", sky.FreeWhM2, 0)
	o.number("sun_share", sky.Share(), 3)
	o.text("shortest_day", sky.Day.Format("01-02"))
	o.number("direct_sun_h", sky.DirectH, 2)
	o.number("daylight_h", sky.DaylightH, 2)
	o.some("unknown_share", fixed(sky.UnknownShare, 3))
	if sky.Power != nil {
		o.some("verdict", string(sky.Power.Verdict))
		if len(sky.Power.Findings) > 0 {
			o.some("reason", sky.Power.Findings[0].String())
		}
	}
	o.object("climate", func(o *object) {
		o.text("source", sky.Source)
		o.truth("assumed", sky.Assumed)
	})
	o.skyline(sky.Skyline)
}

// spotColumns are the columns about the spot, those of its properties in
// SpotsGeoJSON too.
var spotColumns = []column[*siting.Spot]{
	{"ground_m", func(s *siting.Spot) any { return metres(s.GroundM) }},
	{"serves", func(s *siting.Spot) any { return s.Serves }},
	{"lowest_height_m", func(s *siting.Spot) any { return positive(s.LowestM, 3) }},
	{"reached", func(s *siting.Spot) any { return s.Reached }},
	{"of", func(s *siting.Spot) any { return len(s.Links) }},
	part("weakest_probability", func(s *siting.Spot) *float64 { return s.Weakest },
		func(_ *siting.Spot, v *float64) any { return fixed(*v, 4) }),
	part("road_distance_m", func(s *siting.Spot) *float64 { return s.RoadM },
		func(_ *siting.Spot, v *float64) any { return fixed(*v, 1) }),
	part("sun_month", spotSky, func(_ *siting.Spot, k *siting.Sky) any { return int(k.Month) }),
	part("sun_wh_m2_day", spotSky, func(_ *siting.Spot, k *siting.Sky) any { return fixed(k.SunWhM2, 0) }),
	part("sun_share", spotSky, func(_ *siting.Spot, k *siting.Sky) any { return fixed(k.Share(), 3) }),
	part("direct_sun_h", spotSky, func(_ *siting.Spot, k *siting.Sky) any { return fixed(k.DirectH, 2) }),
	part("daylight_h", spotSky, func(_ *siting.Spot, k *siting.Sky) any { return fixed(k.DaylightH, 2) }),
	part("sun_verdict", spotSky, func(_ *siting.Spot, k *siting.Sky) any {
		if k.Power == nil {
			return nil
		}
		return string(k.Power.Verdict)
	}),
}

func spotSky(s *siting.Spot) *siting.Sky { return s.Sky }

// SpotsCSV writes a row for every spot and neighbour (RFC 4180, lines end in CR
// LF); what is not known is an empty field, and texts are those of [MeshCSV].
func SpotsCSV(w io.Writer, s *Spots) (err error) {
	defer fault.Recovered(&err)
	buffered := bufio.NewWriter(w)
	out := csv.NewWriter(buffered)
	out.UseCRLF = true
	row := append([]string{"name", "lon_deg", "lat_deg", "height_m"}, columnKeys(spotColumns)...)
	row = append(row, "to", "must", "distance_m", "margin_db", "sigma_db", "probability", "verdict",
		"link_lowest_height_m")
	rows := [][]string{row}
	for i := range s.Spots {
		spot := &s.Spots[i]
		row := []string{SpotName(i),
			csvField(placeDeg(spot.At[0])), csvField(placeDeg(spot.At[1])), csvField(metres(spot.HeightM))}
		for _, c := range spotColumns {
			row = append(row, csvField(c.value(spot)))
		}
		for _, l := range spot.Links {
			r := l.Result
			figures := []string{"", "", ""}
			if r.Verdict != linkbudget.Unknown {
				figures = []string{csvField(db(r.MarginDB)), csvField(db(r.Doubt.SigmaDB)), csvField(fixed(r.Probability, 4))}
			}
			line := append(append([]string{}, row...), cellText(l.Name), csvField(l.Must), csvField(metres(r.DistM)))
			rows = append(rows, append(append(line, figures...), r.Verdict.String(), csvField(positive(l.LowestM, 3))))
		}
	}
	if err := out.WriteAll(rows); err != nil {
		return err
	}
	return buffered.Flush()
}
