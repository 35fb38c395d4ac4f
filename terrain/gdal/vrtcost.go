//go:build gdal

package gdal

import (
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// What one look at a post of a VRT may cost. A VRT names its sources as often as it likes,
// and they may be VRT files: seven of 20 sources each ask for 10^9 posts where one is wanted.
const (
	// maxLayers bounds the sources behind a post, in the mean; those of a mosaic overlap by
	// their edges, and few put more than a handful over each other.
	maxLayers = 64
	// maxShrink bounds the posts of a source behind one of the VRT: 64 in a row and in a column.
	maxShrink = 64 * 64
)

// vrtCost adds up what the sources of a VRT cover.
type vrtCost struct {
	cols, rows float64
	bands      float64
	posts      float64 // that all sources cover, those of VRT files times their own layers
	each       float64 // layers of the source that is being read, 0 for none
	from, to   float64 // its posts and those they become, 0 if not told
	shrink     float64
}

func (v *vrtCost) start(t xml.StartElement) {
	size := func(x, y string) (float64, float64) {
		w, _ := strconv.ParseFloat(strings.TrimSpace(attribute(t, x)), 64)
		h, _ := strconv.ParseFloat(strings.TrimSpace(attribute(t, y)), 64)
		return math.Max(w, 0), math.Max(h, 0)
	}
	switch strings.ToLower(t.Name.Local) {
	case "vrtdataset":
		if v.cols == 0 {
			v.cols, v.rows = size("rasterXSize", "rasterYSize")
		}
	case "vrtrasterband":
		v.bands++
	case "srcrect":
		w, h := size("xSize", "ySize")
		v.from = w * h
	case "dstrect":
		w, h := size("xSize", "ySize")
		v.to = w * h
	}
}

// source notes one whose own layers are given, 0 for a file that is no VRT or not yet known.
func (v *vrtCost) source(layers float64) { v.each = math.Max(layers, 1) }

func (v *vrtCost) end(t xml.EndElement) {
	if !strings.HasSuffix(strings.ToLower(t.Name.Local), "source") || v.each == 0 {
		return
	}
	all := v.cols * v.rows
	covers := all
	if v.to > 0 {
		covers = math.Min(v.to, all)
		v.shrink = math.Max(v.shrink, v.from/v.to)
	}
	v.posts += v.each * covers
	v.each, v.from, v.to = 0, 0, 0
}

// layers returns how many sources lie behind a post in the mean, 1 at the least.
func (v *vrtCost) layers() (float64, error) {
	layers := math.Max(1, v.posts/math.Max(v.cols*v.rows*v.bands, 1))
	switch {
	case !(layers <= maxLayers):
		return 0, fmt.Errorf("its sources lie %.4g over each other, allowed %d", layers, maxLayers)
	case !(v.shrink <= maxShrink):
		return 0, fmt.Errorf("one of its posts is made of %.4g of a source, allowed %d", v.shrink, maxShrink)
	}
	return layers, nil
}
