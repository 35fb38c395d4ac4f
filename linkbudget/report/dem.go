package report

import (
	"bufio"
	"fmt"
	"io"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

type demReportJSON struct {
	Schema  int       `json:"schema"`
	Command string    `json:"command"`
	Files   []demJSON `json:"files"`
}

type demJSON struct {
	File         string   `json:"file"`
	Format       string   `json:"format"`
	CRS          string   `json:"crs"`
	VerticalCRS  string   `json:"vertical_crs,omitempty"`
	WestDeg      float64  `json:"west_deg"`
	EastDeg      float64  `json:"east_deg"`
	SouthDeg     float64  `json:"south_deg"`
	NorthDeg     float64  `json:"north_deg"`
	Cols         int      `json:"cols"`
	Rows         int      `json:"rows"`
	StepLonDeg   *float64 `json:"step_lon_deg,omitempty"` // of posts in degrees only
	StepLatDeg   *float64 `json:"step_lat_deg,omitempty"`
	SpacingEWM   float64  `json:"spacing_east_m"`
	SpacingNSM   float64  `json:"spacing_north_m"`
	LowestM      *float64 `json:"lowest_m,omitempty"`
	HighestM     *float64 `json:"highest_m,omitempty"`
	Voids        int64    `json:"voids"`
	Implausible  int64    `json:"implausible,omitempty"`
	Posts        int64    `json:"posts"`
	VerticalUnit string   `json:"vertical_unit"`
	Surface      string   `json:"surface,omitempty"`
}

func newDEMJSON(s terrain.Summary) demJSON {
	b := s.Extent.Bound
	j := demJSON{
		File: s.Name, Format: s.Format, CRS: s.CRS, VerticalCRS: s.VerticalCRS,
		WestDeg: fixed(b.Left(), 9), EastDeg: fixed(b.Right(), 9), SouthDeg: fixed(b.Bottom(), 9), NorthDeg: fixed(b.Top(), 9),
		Cols: s.Cols, Rows: s.Rows,
		SpacingEWM: fixed(s.SpacingEastM, 2), SpacingNSM: fixed(s.SpacingNorthM, 2),
		Voids: s.Voids, Implausible: s.Implausible, Posts: s.Posts, VerticalUnit: s.VerticalUnit, Surface: s.Surface,
	}
	if s.Degrees {
		j.StepLonDeg, j.StepLatDeg = ptr(fixed(s.Extent.StepLonDeg, 12)), ptr(fixed(s.Extent.StepLatDeg, 12))
	}
	if s.Voids < s.Posts {
		j.LowestM, j.HighestM = ptr(metres(s.LowestM)), ptr(metres(s.HighestM))
	}
	return j
}

// DEMJSON writes the object of the command "dem".
func DEMJSON(w io.Writer, files []terrain.Summary) (err error) {
	defer fault.Recovered(&err)
	j := demReportJSON{Schema: 1, Command: "dem"}
	for _, s := range files {
		j.Files = append(j.Files, newDEMJSON(s))
	}
	return writeJSON(w, j)
}

// DEMText writes a few lines per terrain file.
func DEMText(w io.Writer, files []terrain.Summary) (err error) {
	defer fault.Recovered(&err)
	out := bufio.NewWriter(w)
	for _, s := range files {
		demText(out, newDEMJSON(s))
	}
	return out.Flush()
}

func demText(out io.Writer, j demJSON) {
	fmt.Fprintln(out, j.File)
	fmt.Fprintf(out, "  format   %s\n", j.Format)
	system := j.CRS
	if j.VerticalCRS != "" {
		system += ", heights above " + j.VerticalCRS
	}
	fmt.Fprintf(out, "  system   %s\n", system)
	fmt.Fprintf(out, "  posts    %d x %d, lon %.5f to %.5f, lat %.5f to %.5f\n", j.Cols, j.Rows, j.WestDeg, j.EastDeg, j.SouthDeg, j.NorthDeg)
	if j.StepLonDeg != nil {
		fmt.Fprintf(out, "  spacing  %.2f\" x %.2f\", about %s m east-west, %s m north-south\n",
			*j.StepLonDeg*3600, *j.StepLatDeg*3600, spacing(j.SpacingEWM), spacing(j.SpacingNSM))
	} else {
		fmt.Fprintf(out, "  spacing  about %s m along rows, %s m along columns\n", spacing(j.SpacingEWM), spacing(j.SpacingNSM))
	}
	unit := ""
	if j.VerticalUnit != "metre" {
		unit = ", stored in " + j.VerticalUnit
	}
	if j.LowestM != nil {
		fmt.Fprintf(out, "  heights  %.0f to %.0f m%s\n", *j.LowestM, *j.HighestM, unit)
	} else {
		fmt.Fprintln(out, "  heights  none: every post is void")
	}
	implausible := ""
	if j.Implausible > 0 {
		implausible = fmt.Sprintf(", %d of them given as heights that cannot be ground", j.Implausible)
	}
	fmt.Fprintf(out, "  voids    %d of %d posts (%.1f %%)%s\n", j.Voids, j.Posts, 100*float64(j.Voids)/float64(j.Posts), implausible)
	switch j.Surface {
	case "surface":
		fmt.Fprintln(out, "  model    of the surface, with trees and roofs, as its metadata say")
	case "bare earth":
		fmt.Fprintln(out, "  model    of the bare earth, as its metadata say")
	}
}

// spacing writes metres with as many decimals as matter beside a post.
func spacing(m float64) string {
	if m < 10 {
		return fmt.Sprintf("%.1f", m)
	}
	return fmt.Sprintf("%.0f", m)
}
