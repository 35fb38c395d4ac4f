//go:build gdal

package gdal

import (
	"fmt"
	"regexp"
	"strings"
	"unsafe"

	binding "github.com/lukeroth/gdal"
)

// head is what the head of a raster file says, as GDAL gives it.
type head struct {
	remote     bool
	driver     string
	cols, rows int
	wkt        string
	transform  [6]float64
	notes      []string // metadata and descriptions

	compression string
	bands       []bandHead
}

// bandHead is the same of one band.
type bandHead struct {
	number               int
	description          string
	typeName             string
	complexNumbers       bool
	colour               string // what the band shows, empty for plain numbers
	alpha                bool
	unit                 string
	scale, offset        float64
	masked               bool
	blockCols, blockRows int
	pixelBytes           int // of a stored block: of all bands where they lie pixel by pixel
}

// noTransform is what GDAL gives for a file without a geotransform.
var noTransform = [6]float64{0, 1, 0, 0, 0, 1}

// maxBands bounds the bands looked at.
const maxBands = 64

// colours names the colour interpretations that are no heights.
var colours = map[binding.ColorInterp]string{
	binding.CI_PaletteIndex: "palette", binding.CI_RedBand: "red", binding.CI_GreenBand: "green",
	binding.CI_BlueBand: "blue",
	binding.CI_HueBand:  "hue", binding.CI_SaturationBand: "saturation", binding.CI_LightnessBand: "lightness",
	binding.CI_CyanBand: "cyan", binding.CI_MagentaBand: "magenta", binding.CI_YellowBand: "yellow",
	binding.CI_BlackBand:   "black",
	binding.CI_YCbCr_YBand: "YCbCr", binding.CI_YCbCr_CbBand: "YCbCr", binding.CI_YCbCr_CrBand: "YCbCr",
}

// read asks GDAL; it runs inside call.
func (h *head) read(ds binding.Dataset) {
	h.driver = ds.Driver().ShortName()
	h.wkt = ds.Projection()
	h.transform = ds.GeoTransform()
	h.notes = ds.Metadata("")
	h.compression = ds.MetadataItem("COMPRESSION", "IMAGE_STRUCTURE")
	for n := 1; n <= min(ds.RasterCount(), maxBands); n++ {
		b := ds.RasterBand(n)
		t := b.RasterDataType()
		out := bandHead{
			number: n, typeName: t.Name(), complexNumbers: t.IsComplex() != 0,
			unit: b.GetUnitType(), masked: b.GetMaskFlags()&binding.GMF_ALL_VALID == 0, scale: 1,
		}
		if v, has := b.GetScale(); has {
			out.scale = v
		}
		if v, has := b.GetOffset(); has {
			out.offset = v
		}
		out.blockCols, out.blockRows, out.pixelBytes = storedBlock(ds, h.driver, n)
		out.colour = colours[b.ColorInterp()]
		out.alpha = b.ColorInterp() == binding.CI_AlphaBand
		for _, s := range []string{b.MetadataItem("DESCRIPTION", ""), b.MetadataItem("long_name", ""),
			b.MetadataItem("standard_name", ""), bandDescription(b)} {
			if s != "" {
				out.description += s + " "
				h.notes = append(h.notes, s)
			}
		}
		h.bands = append(h.bands, out)
	}
	h.cols, h.rows = ds.RasterXSize(), ds.RasterYSize()
}

// storedBlock returns the shape of a band's blocks in the file and the bytes of a pixel in them; it
// runs inside call.
func storedBlock(ds binding.Dataset, driver string, band int) (cols, rows, pixelBytes int) {
	b := ds.RasterBand(band)
	cols, rows = b.BlockSize()
	pixelBytes = b.RasterDataType().Size() / 8
	if driver == "GTiff" && ds.MetadataItem("INTERLEAVE", "IMAGE_STRUCTURE") == "PIXEL" {
		pixelBytes *= ds.RasterCount()
	}
	return cols, rows, pixelBytes
}

// heightWords name a band of heights among others.
var heightWords = regexp.MustCompile(`(?i)\b(elevation|altitude|height|dem)\b`)

// heights chooses the band that holds the heights.
func (h *head) heights() (*bandHead, error) {
	var plain, named []*bandHead
	var seen []string
	for i := range h.bands {
		b := &h.bands[i]
		what := b.typeName
		switch {
		case b.alpha:
			continue
		case b.colour != "":
			what = b.colour
		case b.complexNumbers:
		default:
			plain = append(plain, b)
			if heightWords.MatchString(strings.ReplaceAll(b.description, "_", " ")) {
				named = append(named, b)
			}
		}
		seen = append(seen, what)
	}
	switch {
	case len(seen) == 1 && len(plain) == 1:
		return plain[0], nil
	case len(named) == 1:
		return named[0], nil
	case len(h.bands) == 0:
		return nil, fmt.Errorf("it has no band of pixels")
	}
	return nil, fmt.Errorf("it holds no heights that could be told: its bands are %s; wanted is one band of plain "+
		"numbers, or one described as elevation or height", strings.Join(seen, ", "))
}

// bandDescription returns the name of a band. The binding gives it to its type
// for objects of any kind only, and no way from a band to that; both types hold
// the same pointer and nothing else.
func bandDescription(b binding.RasterBand) string {
	return (*binding.MajorObject)(unsafe.Pointer(&b)).Description()
}
