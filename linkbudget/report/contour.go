package report

import (
	"bufio"
	"fmt"
	"io"
	"strconv"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/coverage"
)

// CoverageContours writes the outline of the cells at each level as GeoJSON,
// one MultiPolygon a level, by RFC 7946: rings closed, outer ones
// counter-clockwise, cut at the antimeridian. A level that no cell reaches has
// an empty MultiPolygon.
func CoverageContours(w io.Writer, c *Coverage) error {
	out := bufio.NewWriter(w)
	fmt.Fprint(out, "{\"type\": \"FeatureCollection\", \"features\": [")
	feature := func(first bool, properties string, polygons orb.MultiPolygon) {
		if !first {
			fmt.Fprint(out, ",")
		}
		fmt.Fprintf(out, "\n{\"type\": \"Feature\", \"properties\": {%s}, \"geometry\": {\"type\": \"MultiPolygon\", \"coordinates\": ", properties)
		writePolygons(out, polygons)
		fmt.Fprint(out, "}}")
	}
	for i, l := range c.Table.Levels {
		polygons := c.Raster.Outline(func(cell coverage.Cell) bool {
			return cell.State() == coverage.Foot || cell.State() == coverage.Judged && cell.Probability()*100 >= l.Percent
		})
		feature(i == 0, fmt.Sprintf("\"probability\": %s, \"area_km2\": %s, \"share_of_judged\": %s",
			number(l.Percent/100, 4), number(l.AreaKm2, 3), number(l.Share, 4)), polygons)
	}
	unknown := c.Raster.Outline(func(cell coverage.Cell) bool { return cell.State().Unjudged() })
	feature(len(c.Table.Levels) == 0, fmt.Sprintf("\"unjudged\": true, \"area_km2\": %s, \"share\": %s",
		number(c.Table.UnjudgedKm2, 3), number(c.Table.UnjudgedShare, 4)), unknown)
	fmt.Fprint(out, "\n]}\n")
	return out.Flush()
}

func number(v float64, decimals int) string {
	return strconv.FormatFloat(fixed(v, decimals), 'f', -1, 64)
}

func writePolygons(out *bufio.Writer, polygons orb.MultiPolygon) {
	var digits []byte
	out.WriteByte('[')
	for i, p := range polygons {
		if i > 0 {
			out.WriteByte(',')
		}
		out.WriteByte('[')
		for k, ring := range p {
			if k > 0 {
				out.WriteByte(',')
			}
			out.WriteByte('[')
			for m, at := range ring {
				if m > 0 {
					out.WriteByte(',')
				}
				digits = append(digits[:0], '[')
				digits = strconv.AppendFloat(digits, at[0], 'f', -1, 64)
				digits = append(digits, ',')
				digits = strconv.AppendFloat(digits, at[1], 'f', -1, 64)
				out.Write(append(digits, ']'))
			}
			out.WriteByte(']')
		}
		out.WriteByte(']')
	}
	out.WriteByte(']')
}
