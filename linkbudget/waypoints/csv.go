package waypoints

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/polereach/polereach/terrain/fault"
)

// columns are the heads by which a column is known, in any case.
var columns = map[string][]string{
	"lon":  {"lon", "lng", "long", "longitude", "lon_deg", "x"},
	"lat":  {"lat", "latitude", "lat_deg", "y"},
	"name": {"name", "label", "title", "waypoint", "description"},
}

// readCSV reads a table with a head, its fields apart by commas, semicolons or tabs. Where
// they are apart by semicolons or tabs, a comma in a number is its point.
func readCSV(data []byte) ([]Waypoint, error) {
	head, _, _ := bytes.Cut(data, []byte("\n"))
	apart := ','
	for _, r := range ";\t" {
		if bytes.ContainsRune(head, r) {
			apart = r
		}
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.FieldsPerRecord, r.TrimLeadingSpace = apart, -1, true
	rows, err := r.ReadAll()
	if err != nil {
		return nil, fault.Input("found no table: %w", err)
	}
	if len(rows) == 0 {
		return nil, nil
	}
	column := map[string]int{}
	for what, heads := range columns {
		column[what] = slices.IndexFunc(rows[0], func(h string) bool {
			return slices.Contains(heads, strings.ToLower(strings.TrimSpace(h)))
		})
	}
	if column["lon"] < 0 || column["lat"] < 0 {
		return nil, fault.Input("found the columns %q, allowed a head with %s and %s, and perhaps %s", rows[0],
			strings.Join(columns["lon"], ", "), strings.Join(columns["lat"], ", "), strings.Join(columns["name"], ", "))
	}
	var list []Waypoint
	var faults []error
	for i, row := range rows[1:] {
		field := func(what string) string {
			if k := column[what]; k >= 0 && k < len(row) {
				return strings.TrimSpace(row[k])
			}
			return ""
		}
		lon, lat := field("lon"), field("lat")
		if apart != ',' {
			lon, lat = strings.Replace(lon, ",", ".", 1), strings.Replace(lat, ",", ".", 1)
		}
		at, err := place(lon, lat)
		if err != nil {
			faults = append(faults, fmt.Errorf("row %d %q: %w", i+2, field("name"), err))
			continue
		}
		list = append(list, Waypoint{field("name"), at})
	}
	return list, errors.Join(faults...)
}
