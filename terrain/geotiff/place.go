package geotiff

import (
	"encoding/xml"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Place tells where posts lie and above what.
type Place struct {
	// WestDeg and NorthDeg place the first post, the centre of the first pixel, degrees on WGS 84.
	WestDeg, NorthDeg float64
	// StepLonDeg and StepLatDeg are the distances between posts, degrees, both above 0.
	StepLonDeg, StepLatDeg float64
	// CRS is the name of the coordinate system, VerticalCRS that of the heights, empty if the
	// file names none.
	CRS, VerticalCRS string
}

// place reads where the posts lie: OGC 19-008r4, sections 7.2 (keys) and 7.4 (raster to model).
func (r *Raster) place(d *directory) error {
	keys, err := d.geoKeys()
	if err != nil {
		return err
	}
	if err := errors.Join(r.system(keys), r.vertical(keys)); err != nil {
		return err
	}
	scale, err := d.floats(33550)
	tie, err2 := d.floats(33922)
	matrix, err3 := d.floats(34264)
	if err := errors.Join(err, err2, err3); err != nil {
		return err
	}
	var x, y, dx, dy float64 // of the corner of the first pixel, or of its centre where pixels are points
	switch {
	case len(scale) >= 2 && len(tie) >= 6:
		if len(scale) > 2 && scale[2] != 0 && scale[2] != 1 || tie[2] != 0 || tie[5] != 0 {
			return refused(wayValues, "its heights are scaled by a tie point %v and a pixel scale %v", tie[:6], scale)
		}
		dx, dy = scale[0], scale[1]
		x, y = tie[3]-tie[0]*dx, tie[4]+tie[1]*dy
	case len(matrix) == 16:
		if matrix[1] != 0 || matrix[4] != 0 {
			return refused(wayWarp, "it is rotated or sheared")
		}
		x, y, dx, dy = matrix[3], matrix[7], matrix[0], -matrix[5]
	case len(tie) > 6:
		return refused(wayWarp, "it lies by %d tie points, must be by one and a pixel scale", len(tie)/6)
	default:
		return refused(wayWarp+" (with -s_srs for what it lies in)", "nothing in it tells where its pixels lie")
	}
	if !(dx > 0) || !(dy > 0) || math.IsInf(dx, 1) || math.IsInf(dy, 1) || x-x != 0 || y-y != 0 {
		return refused(wayWarp, "pixels of %g° by %g° from %g°, %g° on, must be above 0° (north up, west left)",
			dx, dy, x, y)
	}
	if keys.shorts[1025] != 2 { // pixels are areas
		x, y = x+dx/2, y-dy/2
	}
	r.WestDeg, r.StepLonDeg = evenPart(x, dx, r.Cols)
	r.NorthDeg, r.StepLatDeg = evenPart(y, dy, r.Rows)
	return nil
}

// evenPart takes posts to the even parts of a degree they stand on, so that tiles fit together in
// spite of their rounded digits: where no post moves by more than 1e-4 of a step.
func evenPart(first, step float64, count int) (float64, float64) {
	const near = 1e-4
	n := math.Round(1 / step)
	k := math.Round(first * n)
	if n >= 1 && math.Abs(step*n-1)*float64(count) <= near && math.Abs(first*n-k) <= near {
		return k / n, 1 / n
	}
	return first, step
}

// geoKeys are the keys of the GeoTIFF directory, by how they are stored.
type geoKeys struct {
	shorts  map[uint16]uint64
	doubles map[uint16]float64
	texts   map[uint16]string
}

// geoKeys reads them: OGC 19-008r4, section 7.1.
func (d *directory) geoKeys() (geoKeys, error) {
	k := geoKeys{map[uint16]uint64{}, map[uint16]float64{}, map[uint16]string{}}
	list, err := d.numbers(34735, mostText/8)
	doubles, err2 := d.floats(34736)
	text, err3 := d.text(34737)
	if err := errors.Join(err, err2, err3); err != nil || list == nil {
		return k, err
	}
	if len(list) < 4 || uint64(len(list)/4-1) < list[3] {
		return k, fmt.Errorf("%d numbers of GeoTIFF keys, too few for those it promises", len(list))
	}
	for e := list[4 : 4+4*list[3]]; len(e) > 0; e = e[4:] {
		id, from, n, value := uint16(e[0]), e[1], e[2], e[3]
		switch {
		case from == 0:
			k.shorts[id] = value
		case from == 34736 && value < uint64(len(doubles)) && n <= uint64(len(doubles))-value:
			for i, v := range doubles[value : value+n] {
				if i == 0 || math.Abs(v) > math.Abs(k.doubles[id]) {
					k.doubles[id] = v // of several the largest: whether they are 0 matters
				}
			}
		case from == 34737 && value <= uint64(len(text)):
			k.texts[id] = strings.TrimRight(text[value:min(value+n, uint64(len(text)))], "|")
		case from == 34735:
		default:
			return k, fmt.Errorf("GeoTIFF key %d lies at %d of tag %d, beyond its end", id, value, from)
		}
	}
	return k, nil
}

// Geographic systems (EPSG) that PROJ does not tell from WGS 84.
var systems = map[uint64]string{
	4326: "WGS 84", 4979: "WGS 84", 4258: "ETRS89", 4937: "ETRS89", 4269: "NAD83", 4283: "GDA94", 4674: "SIRGAS 2000",
	4167: "NZGD2000", 4612: "JGD2000", 4171: "RGF93 v1",
}

// Their datums and ellipsoids, for systems that name their parts.
var (
	datums     = map[uint64]bool{6326: true, 6258: true, 6269: true}
	ellipsoids = map[uint64]bool{7030: true, 7019: true}
)

const userDefined = 32767

// system refuses everything but degrees on WGS 84 or a datum alike.
func (r *Raster) system(k geoKeys) error {
	code, model := k.shorts[2048], k.shorts[1024]
	_, hasProjection := k.shorts[3072]
	switch {
	case model == 1 || model == 0 && hasProjection:
		return refused(wayWarp, "its coordinates are projected (%s), must be longitude and latitude on WGS 84",
			named(k, 3072, 1026, 3073))
	case model == 0 && code == 0:
		return refused("gdal_translate -a_srs EPSG:4326 OLD.tif NEW.tif, if that is what it lies in",
			"it names no coordinate system")
	case model != 2 && model != 0:
		return refused(wayWarp, "coordinates of the model %d, must be 2 (longitude and latitude)", model)
	}
	r.CRS = systems[code]
	alike := r.CRS != ""
	if code == userDefined || code == 0 {
		r.CRS = strings.TrimSpace(k.texts[2049])
		axis, flattening := k.doubles[2057], k.doubles[2059]
		alike = datums[k.shorts[2050]] || ellipsoids[k.shorts[2056]] ||
			math.Abs(axis-6378137) <= 0.5 && math.Abs(flattening-298.257223) <= 1e-4
	}
	// Degrees are EPSG 9102 and 9122, Greenwich is 8901.
	unit, meridian := k.shorts[2054], k.shorts[2051]
	switch {
	case !alike:
		return refused(wayWarp, "its coordinates are those of %s, must be WGS 84 or a datum alike",
			named(k, 2048, 2049, 1026))
	case unit != 0 && unit != 9102 && unit != 9122 || meridian != 0 && meridian != 8901 || k.doubles[2061] != 0:
		return refused(wayWarp, "its coordinates are in the unit %d from the meridian %d (%g°), must be degrees from "+
			"Greenwich", unit, meridian, k.doubles[2061])
	case k.doubles[2062] != 0:
		return refused(wayWarp, "its datum is shifted against WGS 84")
	}
	return nil
}

// named tells a system by its number, else by the first of its texts.
func named(k geoKeys, number uint16, texts ...uint16) string {
	if code := k.shorts[number]; code != 0 && code != userDefined {
		return fmt.Sprintf("EPSG:%d", code)
	}
	for _, t := range texts {
		if k.texts[t] != "" {
			return strconv.Quote(k.texts[t])
		}
	}
	return "one of its own"
}

// Vertical systems (EPSG) in metres, upwards.
var verticals = map[uint64]string{
	3855: "EGM2008 height", 5773: "EGM96 height", 5798: "EGM84 height", 5714: "MSL height", 5703: "NAVD88 height",
	5711: "AHD height", 5621: "EVRF2007 height", 5730: "EVRF2000 height", 7837: "DHHN2016 height", 5783: "DHHN92 height",
	5728: "LN02 height", 5720: "NGF-IGN69 height", 5701: "ODN height",
}

// vertical takes the system of the heights, which must be in metres.
func (r *Raster) vertical(k geoKeys) error {
	code, unit := k.shorts[4096], k.shorts[4099]
	metre := unit == 9001
	if unit == 0 {
		metre = code == 0 || verticals[code] != ""
	}
	if r.VerticalCRS = verticals[code]; r.VerticalCRS == "" && code != 0 {
		r.VerticalCRS = strings.Trim(named(k, 4096, 4097), `"`)
	}
	if !metre {
		return refused(wayMetres, "its heights are those of %s in the unit %d, built in are metres",
			named(k, 4096, 4097), unit)
	}
	return nil
}

// metadata reads tag 42112, an XML text of GDAL: what it says of scale, offset and unit must
// leave the heights as they are.
func (r *Raster) metadata(d *directory, description string) error {
	text, err := d.text(42112)
	if err != nil {
		return err
	}
	var list struct {
		Items []struct {
			Name string `xml:"name,attr"`
			Role string `xml:"role,attr"`
			Text string `xml:",chardata"`
		} `xml:"Item"`
	}
	if text = strings.TrimSpace(text); text != "" {
		if err := xml.Unmarshal([]byte(text), &list); err != nil {
			return fmt.Errorf("tag 42112, metadata: %w", err)
		}
	}
	notes := []string{description}
	for _, item := range list.Items {
		value := strings.TrimSpace(item.Text)
		number, err := strconv.ParseFloat(value, 64)
		switch item.Role {
		case "scale", "offset":
			if neutral := map[string]float64{"scale": 1}[item.Role]; err != nil || number != neutral {
				return refused(wayValues, "its heights have the %s %.40q, must be %g", item.Role, value, neutral)
			}
		case "unittype":
			switch strings.ToLower(value) {
			case "", "m", "metre", "metres", "meter", "meters", "unknown":
			default:
				return refused(wayMetres, "its heights are in %.40q, built in are metres", value)
			}
		default:
			notes = append(notes, item.Name+"="+value)
		}
	}
	r.Surface = SurfaceOf(notes)
	return nil
}
