package report

import (
	"bufio"
	"encoding/csv"
	"io"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/terrain/fault"
)

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
