package report

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"io"
	"strconv"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/siting"
)

// spotColumns are the columns about the spot, those of its properties in
// SpotsGeoJSON too.
var spotColumns = []struct {
	key   string
	value func(s *siting.Spot) any // nil: not known
}{
	{"ground_m", func(s *siting.Spot) any { return metres(s.GroundM) }},
	{"serves", func(s *siting.Spot) any { return s.Serves }},
	{"lowest_height_m", func(s *siting.Spot) any { return positive(s.LowestM) }},
	{"reached", func(s *siting.Spot) any { return s.Reached }},
	{"of", func(s *siting.Spot) any { return len(s.Links) }},
	{"weakest_probability", func(s *siting.Spot) any {
		if s.Weakest == nil {
			return nil
		}
		return fixed(*s.Weakest, 4)
	}},
	{"road_distance_m", func(s *siting.Spot) any {
		if s.RoadM == nil {
			return nil
		}
		return fixed(*s.RoadM, 1)
	}},
	{"sun_month", ofSky(func(k *siting.Sky) any { return int(k.Month) })},
	{"sun_wh_m2_day", ofSky(func(k *siting.Sky) any { return fixed(k.SunWhM2, 0) })},
	{"sun_share", ofSky(func(k *siting.Sky) any { return fixed(k.Share(), 3) })},
	{"direct_sun_h", ofSky(func(k *siting.Sky) any { return fixed(k.DirectH, 2) })},
	{"daylight_h", ofSky(func(k *siting.Sky) any { return fixed(k.DaylightH, 2) })},
	{"sun_verdict", ofSky(func(k *siting.Sky) any {
		if k.Power == nil {
			return nil
		}
		return string(k.Power.Verdict)
	})},
}

func ofSky(value func(*siting.Sky) any) func(*siting.Spot) any {
	return func(s *siting.Spot) any {
		if s.Sky == nil {
			return nil
		}
		return value(s.Sky)
	}
}

// csvField is a figure as text, empty where it is not known.
func csvField(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return fmt.Sprint(v)
}

// positive is nil for 0.
func positive(v float64) any {
	if v > 0 {
		return metres(v)
	}
	return nil
}

// SpotsCSV writes a row for every spot and neighbour (RFC 4180, lines end in CR
// LF); what is not known is an empty field.
func SpotsCSV(w io.Writer, s *Spots) error {
	buffered := bufio.NewWriter(w)
	out := csv.NewWriter(buffered)
	out.UseCRLF = true
	row := []string{"name", "lon_deg", "lat_deg", "height_m"}
	for _, c := range spotColumns {
		row = append(row, c.key)
	}
	rows := [][]string{append(row, "to", "must", "distance_m", "margin_db", "sigma_db", "probability", "verdict", "link_lowest_height_m")}
	for i := range s.Spots {
		spot := &s.Spots[i]
		row := []string{SpotName(i), csvField(placeDeg(spot.At[0])), csvField(placeDeg(spot.At[1])), csvField(metres(spot.HeightM))}
		for _, c := range spotColumns {
			row = append(row, csvField(c.value(spot)))
		}
		for _, l := range spot.Links {
			r := l.Result
			figures := []string{"", "", ""}
			if r.Verdict != linkbudget.Unknown {
				figures = []string{csvField(db(r.MarginDB)), csvField(db(r.Doubt.SigmaDB)), csvField(fixed(r.Probability, 4))}
			}
			line := append(append([]string{}, row...), l.Name, csvField(l.Must), csvField(metres(r.DistM)))
			rows = append(rows, append(append(line, figures...), r.Verdict.String(), csvField(positive(l.LowestM))))
		}
	}
	if err := out.WriteAll(rows); err != nil {
		return err
	}
	return buffered.Flush()
}
