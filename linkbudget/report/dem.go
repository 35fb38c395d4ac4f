package report

import (
	"bufio"
	"fmt"
	"io"

	"github.com/polereach/polereach/terrain"
)

type demReportJSON struct {
	Schema  int       `json:"schema"`
	Command string    `json:"command"`
	Files   []demJSON `json:"files"`
}

type demJSON struct {
	File       string   `json:"file"`
	WestDeg    float64  `json:"west_deg"`
	EastDeg    float64  `json:"east_deg"`
	SouthDeg   float64  `json:"south_deg"`
	NorthDeg   float64  `json:"north_deg"`
	Cols       int      `json:"cols"`
	Rows       int      `json:"rows"`
	StepLonDeg float64  `json:"step_lon_deg"`
	StepLatDeg float64  `json:"step_lat_deg"`
	SpacingEWM float64  `json:"spacing_east_m"`
	SpacingNSM float64  `json:"spacing_north_m"`
	LowestM    *float64 `json:"lowest_m,omitempty"`
	HighestM   *float64 `json:"highest_m,omitempty"`
	Voids      int      `json:"voids"`
	Posts      int      `json:"posts"`
}

func newDEMJSON(s terrain.Summary) demJSON {
	b := s.Lattice.Extent().Bound
	j := demJSON{
		File: s.Name, WestDeg: fixed(b.Left(), 9), EastDeg: fixed(b.Right(), 9), SouthDeg: fixed(b.Bottom(), 9), NorthDeg: fixed(b.Top(), 9),
		Cols: s.Lattice.Cols, Rows: s.Lattice.Rows,
		StepLonDeg: fixed(s.Lattice.StepLonDeg, 12), StepLatDeg: fixed(s.Lattice.StepLatDeg, 12),
		SpacingEWM: fixed(s.SpacingEastM, 2), SpacingNSM: fixed(s.SpacingNorthM, 2),
		Voids: s.Voids, Posts: s.Lattice.Cols * s.Lattice.Rows,
	}
	if s.Voids < j.Posts {
		j.LowestM, j.HighestM = ptr(metres(s.LowestM)), ptr(metres(s.HighestM))
	}
	return j
}

// DEMJSON writes the object of the command "dem".
func DEMJSON(w io.Writer, files []terrain.Summary) error {
	j := demReportJSON{Schema: 1, Command: "dem"}
	for _, s := range files {
		j.Files = append(j.Files, newDEMJSON(s))
	}
	return writeJSON(w, j)
}

// DEMText writes a few lines per terrain file.
func DEMText(w io.Writer, files []terrain.Summary) error {
	out := bufio.NewWriter(w)
	for _, s := range files {
		j := newDEMJSON(s)
		fmt.Fprintln(out, j.File)
		fmt.Fprintf(out, "  posts    %d x %d, lon %.5f to %.5f, lat %.5f to %.5f\n", j.Cols, j.Rows, j.WestDeg, j.EastDeg, j.SouthDeg, j.NorthDeg)
		fmt.Fprintf(out, "  spacing  %.2f\" x %.2f\", about %.0f m east-west, %.0f m north-south\n", j.StepLonDeg*3600, j.StepLatDeg*3600, j.SpacingEWM, j.SpacingNSM)
		if j.LowestM != nil {
			fmt.Fprintf(out, "  heights  %.0f to %.0f m\n", *j.LowestM, *j.HighestM)
		} else {
			fmt.Fprintln(out, "  heights  none: every post is void")
		}
		fmt.Fprintf(out, "  voids    %d of %d posts (%.1f %%)\n", j.Voids, j.Posts, 100*float64(j.Voids)/float64(j.Posts))
	}
	return out.Flush()
}
