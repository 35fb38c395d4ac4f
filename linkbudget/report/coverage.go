package report

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Coverage is an area served by one pole or by several together.
type Coverage struct {
	Poles    []linkbudget.Station
	Places   []plan.Station // where each stands
	Receiver linkbudget.Station
	Settings plan.Settings
	RadiusM  float64
	Area     *orb.Bound       // nil: all within the radius
	Lattice  terrain.Lattice  // of the cells
	Raster   *coverage.Raster // of several poles: the chance that one is heard; nil of a region
	Table    coverage.Table
	// Shares and ByHeard are those of [coverage.Combined.Shares], nil of a single pole.
	Shares   []coverage.Share
	ByHeard  []float64
	Levels   []float64 // percent
	Files    []string  // what else was written
	Warnings []string
}

// CoverageJSON writes the table as JSON, schema 1.
func CoverageJSON(w io.Writer, c *Coverage) (err error) {
	defer fault.Recovered(&err)
	r, t := c.Lattice, c.Table
	shares, byHeard := c.Shares, c.byHeard()
	return writeCommand(w, "coverage", func(o *object) {
		o.list("poles", len(c.Poles), func(i int) {
			o.text("name", c.Poles[i].Name)
			o.stands(c.Places[i].At)
			o.number("height_m", c.Poles[i].HeightM, 3)
			if shares != nil {
				o.number("carries_km2", shares[i].Km2, 3)
				o.number("alone_km2", shares[i].AloneKm2, 3)
			}
		})
		o.object("receiver", func(o *object) {
			o.number("height_m", c.Receiver.HeightM, 3)
			o.some("inside", insideWord(c.Receiver))
			o.number("tx_dbm", float64(c.Receiver.TxDBm), 3)
			o.number("gain_dbi", float64(c.Receiver.Antenna.PeakDBi), 3)
		})
		o.settings(c.Settings)
		o.number("radius_m", c.RadiusM, 3)
		if b := c.Area; b != nil { // as in RFC 7946
			o.value("bbox", []float64{b.Min[0], b.Min[1], math.Remainder(b.Max[0], 360), b.Max[1]})
		}
		o.object("cells", func(o *object) {
			o.count("cols", r.Cols)
			o.count("rows", r.Rows)
			o.value("west_deg", fixed(r.WestDeg, 9))
			o.value("north_deg", fixed(r.NorthDeg, 9))
			o.value("step_lon_deg", fixed(r.StepLonDeg, 12))
			o.value("step_lat_deg", fixed(r.StepLatDeg, 12))
			o.count("wanted", t.WantedCells)
		})
		o.number("area_km2", t.WantedKm2, 3)
		o.list("levels", len(t.Levels), func(i int) {
			o.number("probability", t.Levels[i].Percent/100, 4)
			o.number("area_km2", t.Levels[i].AreaKm2, 3)
			o.number("share_of_judged", t.Levels[i].Share, 4)
		})
		o.object("unjudged", func(o *object) {
			o.number("area_km2", t.UnjudgedKm2, 3)
			o.number("share", t.UnjudgedShare, 4)
			cells := map[string]int{}
			for s, n := range t.UnjudgedByState {
				cells[s.String()] = n
			}
			o.value("cells", cells)
		})
		o.someList("poles_from_here", len(byHeard), func(n int) {
			o.count("poles", n)
			o.number("area_km2", byHeard[n], 3)
		})
		o.value("cautions", c.cautions())
	})
}

// byHeard is ByHeard up to the most poles that reach anywhere, one at least.
func (c *Coverage) byHeard() []float64 {
	n := len(c.ByHeard)
	for n > 2 && c.ByHeard[n-1] == 0 {
		n--
	}
	return c.ByHeard[:n]
}

// cautions say what the figures do not hold.
func (c *Coverage) cautions() []string {
	out := append([]string(nil), c.Warnings...)
	if t := c.Table; t.UnjudgedShare > 0 {
		out = append(out, fmt.Sprintf("%.1f %% of the area could not be judged: terrain is missing there or on the way; "+
			"shares are of the rest", t.UnjudgedShare*100))
	}
	if assumed := c.assumed(); assumed != "" {
		out = append(out, "assumed: "+assumed)
	}
	if c.Shares != nil {
		out = append(out, "doubts of poles count as independent: where several would fail for one reason, as poles at one "+
			"place do, the chance that one reaches is lower")
	}
	return append(out, "one refraction case only; check the links that matter one by one")
}

// CoverageText writes the table for people.
func CoverageText(w io.Writer, c *Coverage) (err error) {
	defer fault.Recovered(&err)
	out := bufio.NewWriter(w)
	c.writeVerdict(out)
	for i, p := range c.Poles {
		at := c.Places[i].At
		fmt.Fprintf(out, "  %s  %.5f,%.5f  antenna %g m  %s\n", p.Name, at[0], at[1], p.HeightM, StationText(p))
	}
	fmt.Fprintf(out, "  to a receiver at %g m  %s  within %g km\n", c.Receiver.HeightM, StationText(c.Receiver),
		c.RadiusM/1000)
	if b := c.Area; b != nil {
		fmt.Fprintf(out, "  inside %.5f,%.5f to %.5f,%.5f\n", b.Min[0], b.Min[1], math.Remainder(b.Max[0], 360), b.Max[1])
	}
	fmt.Fprintf(out, "  %s\n", ChannelText(c.Settings.Environment))
	writeConditions(out, c.Settings)
	writeCalibration(out, "  ", c.Settings.Environment)
	fmt.Fprintln(out)
	fmt.Fprintf(out, "  chance at least      area   of judged\n")
	for _, l := range c.Table.Levels {
		fmt.Fprintf(out, "  %12g %% %9.1f km2 %8.1f %%\n", l.Percent, l.AreaKm2, l.Share*100)
	}
	fmt.Fprintf(out, "  judged         %9.1f km2\n", c.Table.JudgedKm2())
	fmt.Fprintf(out, "  not judged     %9.1f km2, %.1f %% of the area asked for\n", c.Table.UnjudgedKm2,
		c.Table.UnjudgedShare*100)
	fmt.Fprintf(out, "  whole area     %9.1f km2, %d cells\n", c.Table.WantedKm2, c.Table.WantedCells)
	if shares := c.Shares; shares != nil {
		fmt.Fprintf(out, "\n  poles reaching      area, each with %g %%\n", wantPercent(c.Settings.Environment))
		for n, km2 := range c.byHeard() {
			fmt.Fprintf(out, "  %14d %9.1f km2\n", n, km2)
		}
		fmt.Fprintf(out, "\n  who carries here%s area  nobody else reaches\n", pad("", 10))
		var names []string
		for _, s := range shares {
			names = append(names, s.Name)
		}
		cut := cutNames(names, 20)
		for _, s := range shares {
			fmt.Fprintf(out, "  %s %9.1f km2 %9.1f km2\n", pad(cut(s.Name), 20), s.Km2, s.AloneKm2)
		}
	}
	fmt.Fprintln(out)
	for _, f := range c.Files {
		fmt.Fprintf(out, "written: %s\n", f)
	}
	for _, caution := range c.cautions() {
		writeWrapped(out, "caution: ", caution)
	}
	writeEnd(w, out, nil, c.writeVerdict)
	return out.Flush()
}

// mostTold poles are named in the verdict, more only counted: all stand below it.
const mostTold = 4

// writeVerdict tells what is served at the wanted chance, or at the first level where that is
// none of them.
func (c *Coverage) writeVerdict(out io.Writer) {
	names := make([]string, len(c.Poles))
	for i := range c.Poles {
		names[i] = c.Poles[i].Name
	}
	text := "UNKNOWN, nothing could be judged"
	if c.Table.JudgedKm2() > 0 {
		want := wantPercent(c.Settings.Environment)
		i := slices.IndexFunc(c.Table.Levels, func(l coverage.Level) bool { return l.Percent == want })
		l := c.Table.Levels[max(0, i)]
		text = fmt.Sprintf("%g %% and more on %.1f km2, %.1f %% of the %.1f km2 judged", l.Percent, l.AreaKm2, 100*l.Share,
			c.Table.JudgedKm2())
	}
	who := listText(names, mostTold)
	if n := len(names); n > mostTold {
		who = fmt.Sprintf("%d poles together", n)
	}
	writeWrapped(out, "", who+": "+text)
}

// CoverageContours writes the outline of the cells at each level as GeoJSON,
// one MultiPolygon a level, by RFC 7946: rings closed, outer ones
// counter-clockwise, cut at the antimeridian. A level that no cell reaches has
// an empty MultiPolygon.
func CoverageContours(w io.Writer, c *Coverage) (err error) {
	defer fault.Recovered(&err)
	out := bufio.NewWriter(w)
	fmt.Fprint(out, "{\"type\": \"FeatureCollection\", \"features\": [")
	feature := func(first bool, properties string, polygons orb.MultiPolygon) {
		if !first {
			fmt.Fprint(out, ",")
		}
		fmt.Fprintf(out, "\n{\"type\": \"Feature\", \"properties\": {%s}, \"geometry\": {\"type\": \"MultiPolygon\", "+
			"\"coordinates\": ", properties)
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
	writeList(out, polygons, func(p orb.Polygon) {
		writeList(out, p, func(ring orb.Ring) {
			writeList(out, ring, func(at orb.Point) {
				writeList(out, at[:], func(deg float64) {
					out.Write(strconv.AppendFloat(out.AvailableBuffer(), deg, 'f', -1, 64))
				})
			})
		})
	})
}

func writeList[T any](out *bufio.Writer, list []T, write func(T)) {
	out.WriteByte('[')
	for i, one := range list {
		if i > 0 {
			out.WriteByte(',')
		}
		write(one)
	}
	out.WriteByte(']')
}
