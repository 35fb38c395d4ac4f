package report

import (
	"bufio"
	"fmt"
	"io"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// DEMJSON writes the object of the command "dem".
func DEMJSON(w io.Writer, files []terrain.Summary) (err error) {
	defer fault.Recovered(&err)
	return writeCommand(w, "dem", func(o *object) {
		o.list("files", len(files), func(i int) { o.dem(&files[i]) })
	})
}

func (o *object) dem(s *terrain.Summary) {
	o.text("file", s.Name)
	o.text("format", s.Format)
	o.text("crs", s.CRS)
	o.some("vertical_crs", s.VerticalCRS)
	b := s.Extent.Bound
	o.value("west_deg", fixed(b.Left(), 9))
	o.value("east_deg", fixed(b.Right(), 9))
	o.value("south_deg", fixed(b.Bottom(), 9))
	o.value("north_deg", fixed(b.Top(), 9))
	o.count("cols", s.Cols)
	o.count("rows", s.Rows)
	if s.Degrees {
		o.value("step_lon_deg", fixed(s.Extent.StepLonDeg, 12))
		o.value("step_lat_deg", fixed(s.Extent.StepLatDeg, 12))
	}
	o.number("spacing_east_m", s.SpacingEastM, 2)
	o.number("spacing_north_m", s.SpacingNorthM, 2)
	o.numberIf(s.Voids < s.Looked, "lowest_m", s.LowestM, 3)
	o.numberIf(s.Voids < s.Looked, "highest_m", s.HighestM, 3)
	o.value("voids", s.Voids)
	o.some("implausible", s.Implausible)
	o.value("posts", s.Posts)
	if s.Looked < s.Posts {
		o.value("posts_looked_at", s.Looked)
	}
	o.text("vertical_unit", s.VerticalUnit)
	o.some("surface", s.Surface)
}

// DEMText writes a few lines per terrain file.
func DEMText(w io.Writer, files []terrain.Summary) (err error) {
	defer fault.Recovered(&err)
	out := bufio.NewWriter(w)
	for i := range files {
		demText(out, &files[i])
	}
	return out.Flush()
}

func demText(out io.Writer, s *terrain.Summary) {
	fmt.Fprintln(out, s.Name)
	fmt.Fprintf(out, "  format   %s\n", s.Format)
	system := s.CRS
	if s.VerticalCRS != "" {
		system += ", heights above " + s.VerticalCRS
	}
	fmt.Fprintf(out, "  system   %s\n", system)
	b := s.Extent.Bound
	fmt.Fprintf(out, "  posts    %d x %d, lon %.5f to %.5f, lat %.5f to %.5f\n", s.Cols, s.Rows,
		b.Left(), b.Right(), b.Bottom(), b.Top())
	if s.Degrees {
		fmt.Fprintf(out, "  spacing  %.2f\" x %.2f\", about %s m east-west, %s m north-south\n",
			s.Extent.StepLonDeg*3600, s.Extent.StepLatDeg*3600, spacing(s.SpacingEastM), spacing(s.SpacingNorthM))
	} else {
		fmt.Fprintf(out, "  spacing  about %s m along rows, %s m along columns\n", spacing(s.SpacingEastM),
			spacing(s.SpacingNorthM))
	}
	unit := ""
	if s.VerticalUnit != "metre" {
		unit = ", stored in " + s.VerticalUnit
	}
	if s.Voids < s.Looked {
		fmt.Fprintf(out, "  heights  %.0f to %.0f m%s\n", s.LowestM, s.HighestM, unit)
	} else {
		fmt.Fprintln(out, "  heights  none: every post is void")
	}
	implausible := ""
	if s.Implausible > 0 {
		implausible = fmt.Sprintf(", %d of them given as heights that cannot be ground", s.Implausible)
	}
	fmt.Fprintf(out, "  voids    %d of %d posts (%.1f %%)%s\n", s.Voids, s.Looked, 100*float64(s.Voids)/float64(s.Looked),
		implausible)
	if s.Looked < s.Posts {
		fmt.Fprintf(out, "  sample   heights and voids are those of %d posts, the raster has %d\n", s.Looked, s.Posts)
	}
	switch s.Surface {
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
