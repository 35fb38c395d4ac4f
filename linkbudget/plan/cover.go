package plan

import (
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/landcover"
)

// Cover is a Polygon that says what stands on the ground there, or a MultiPolygon: one with stands, top_m or both. It
// is no ground for a pole. What covers of the terrain say there does not hold; where two such
// Polygons overlap, the later in the file does.
type Cover struct {
	Name    string           // may be empty
	Stands  *string          // a word of terrain.CoverClass, nil for suburban
	TopM    *float64         // of what stands above the ground, m; nil for that of the class
	Parts   orb.MultiPolygon // of each what an odd number of its rings holds
	Feature int

	raw []byte
}

func (c *Cover) keys() *keySet         { return &coverKeys.keySet }
func (c *Cover) bind(i int) any        { return coverKeys.bind(i, c) }
func (c *Cover) source() ([]byte, int) { return c.raw, c.Feature }

func (c *Cover) shape() orb.Geometry {
	if len(c.Parts) == 1 {
		return c.Parts[0]
	}
	return c.Parts
}

// coverClasses are those that may be drawn.
var coverClasses = []terrain.CoverClass{terrain.CoverWater, terrain.CoverOpen, terrain.CoverSuburban,
	terrain.CoverWood, terrain.CoverUrban, terrain.CoverDenseUrban}

// isCover tells ground on which something stands from ground for a pole, also where a key is slightly wrong.
func isCover(props []member) bool {
	return slices.ContainsFunc(props, func(m member) bool {
		key := letters(m.name)
		return (key == "stands" || key == "topm" || strings.EqualFold(unitless(m.name), "top")) && !isAbsent(m.value)
	})
}

// cover takes a Cover in.
func (r *reader) cover(c Cover, props []member, named bool) {
	for _, key := range [...]string{"height_m", "status"} {
		if !isAbsent(find(props, key)) {
			r.add(key, "found beside what stands there, allowed on ground for a pole: the height of what stands is top_m, "+
				"ground for a pole another Polygon")
		}
	}
	r.properties(props, &c, "Polygon")
	if !named {
		c.Name = r.nick
	}
	r.plan.Cover = append(r.plan.Cover, c)
}

// covers looks at Polygons on which something stands.
func (c *checker) covers(p *Plan) {
	positions := 0
	for i := range p.Cover {
		of := &p.Cover[i]
		c.item(of, "Cover", i)
		if of.TopM != nil && of.Stands != nil && !of.Standing().Class.Stands() && slices.Contains(coverKeys.rows[1].words,
			*of.Stands) {
			c.add("top_m", "found beside stands %s, allowed beside what rises above the ground", quote(*of.Stands))
		}
		c.missing(len(of.Parts) == 0, "geometry.coordinates", "allowed 1 Polygon or more")
		for part, rings := range of.Parts {
			if len(of.Parts) == 1 {
				part = -1
			}
			for k, ring := range rings {
				positions += len(ring)
				c.dateLine(path{part, k, 0}, ring)
				if onOneLine(ring) {
					c.add(path{part, k, -1}.String(), "found all positions on one straight line, allowed a ring around some ground")
				}
			}
		}
	}
	if positions > landcover.MaxPositions {
		c.it, c.feature = nil, -1
		c.add("geometry.coordinates", "found %d positions in the Polygons that say what stands there, allowed %d in one "+
			"plan; simplify them", positions, landcover.MaxPositions)
	}
}

// onOneLine reports whether a ring holds no ground, its positions on one straight line.
func onOneLine(ring orb.Ring) bool {
	var first, along orb.Point
	for i, p := range ring {
		way := orb.Point{p[0] - first[0], p[1] - first[1]}
		switch {
		case i == 0:
			first = p
		case along == orb.Point{}:
			along = way
		case along[0]*way[1] != along[1]*way[0]:
			return false
		}
	}
	return len(ring) > 0
}

// dateLine refuses a ring across longitude 180.
func (c *checker) dateLine(at path, ring orb.Ring) {
	for n := 1; n < len(ring); n++ {
		if landcover.CrossesDateLine(ring[n-1], ring[n]) {
			at.pos = n
			c.add(at.String(), "found longitude %g after %g, allowed sides of up to 180 degrees: split the Polygon "+
				"at longitude 180", ring[n][0], ring[n-1][0])
			return
		}
	}
}

// Standing is what stands there, Drawn: with a height alone houses, or what else is solid; its height is 0
// where only the class is told.
func (c *Cover) Standing() terrain.Standing {
	s := terrain.Standing{Class: terrain.CoverSuburban, Drawn: true}
	if c.Stands != nil {
		s.Class = coverClasses[max(slices.Index(coverKeys.rows[1].words, *c.Stands), 0)]
	}
	if c.TopM != nil {
		s.HeightM = float32(*c.TopM)
	}
	return s
}

// drawnCover is the cover of a plan over that of the terrain.
type drawnCover struct {
	terrain.Outlined
	under terrain.Cover
}

// OnTerrain is the terrain with what the Polygons of the plan say on it, over what its cover
// says, and in the place of what those of another plan said. The terrain comes back as it is
// where neither plan says anything. The error is that of Validate.
func (p *Plan) OnTerrain(dem terrain.DEM) (terrain.DEM, error) {
	if p == nil {
		return nil, fault.Input("plan: found none")
	}
	ground, under := terrain.GroundAndCover(dem)
	other, laid := under.(drawnCover)
	if laid {
		under = other.under
	}
	if len(p.Cover) == 0 {
		if laid {
			return terrain.WithCover(ground, under), nil
		}
		return dem, nil
	}
	if err := p.Validate(); err != nil {
		return nil, err
	}
	var outlines []landcover.Outline
	for i := range p.Cover {
		for _, part := range p.Cover[i].Parts {
			outlines = append(outlines, landcover.Outline{Rings: part, Stands: p.Cover[i].Standing()})
		}
	}
	cover, err := landcover.Drawn(outlines, under)
	if err != nil {
		return nil, err
	}
	return terrain.WithCover(ground, drawnCover{cover.(terrain.Outlined), under}), nil
}

// OwnCover is CoverText of a plan alone.
const OwnCover = "the plan"

// CoverText is what stands on the ground by its sources: those of rasters and the plan.
func (p *Plan) CoverText(rasters string) string {
	const own = OwnCover
	if p == nil || len(p.Cover) == 0 || rasters == own || strings.HasPrefix(rasters, own+" over ") {
		return rasters
	}
	if rasters == "" {
		return own
	}
	return own + " over " + rasters
}

// SameCover reports whether the same stands on the ground by the Polygons of two plans.
func (p *Plan) SameCover(q *Plan) bool {
	if p == nil || q == nil {
		return p == q
	}
	return slices.EqualFunc(p.Cover, q.Cover, func(a, b Cover) bool {
		return a.Standing() == b.Standing() && a.Parts.Equal(b.Parts)
	})
}
