package coverage

import (
	"errors"
	"io"
	"math"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/geotiff"
)

// WriteGeoTIFF writes one quantity as a GeoTIFF whose band is described: probabilities in whole per
// cent, rounded down so that a cell has a level in the file only if it has it in the table, as
// bytes, decibels in tenths as 16 bits with the scale 0.1. What is not judged has no data, and so
// have loss and margin at the foot of the pole. The error is that of Check, of w, of a
// quantity that one pole or a raster of whole per cent lacks, or of a file above 4 GiB.
func (r *Raster) WriteGeoTIFF(w io.Writer, q Quantity, description string) error {
	if err := r.Check(); err != nil {
		return err
	}
	if err := r.checkHas(q, "GeoTIFF"); err != nil {
		return err
	}
	im := imageOf(r.Lattice, q, description)
	if r.WholePercent() {
		im.Row = r.percentPixels
		return geotiff.Write(w, im)
	}
	im.Row = func(row, col int, out []int16) {
		for k, c := range r.Cells[row*r.Cols+col:][:len(out)] {
			switch state := c.State(); {
			case state == Judged && q == Probability:
				out[k] = int16(c.bits >> chanceBit * 100 / chanceSteps)
			case state == Judged && q == Margin:
				out[k] = int16(tenths(int(int16(c.bits >> marginBit))))
			case state == Judged:
				out[k] = int16(tenths(int(uint16(c.bits))))
			case state == Foot && q == Probability:
				out[k] = 100
			default:
				out[k] = im.NoData
			}
		}
	}
	return geotiff.Write(w, im)
}

// WriteGeoTIFF writes one quantity as [Raster.WriteGeoTIFF] does, poles as whole numbers: bytes
// where there are fewer than 255.
func (c *Combined) WriteGeoTIFF(w io.Writer, q Quantity, description string) error {
	im, err := c.Image(q, description)
	if err != nil {
		return err
	}
	return geotiff.Write(w, im)
}

// Image is what WriteGeoTIFF writes, for those who write a part of it at a time. The error is
// that of Check, or of a quantity that several poles lack.
func (c *Combined) Image(q Quantity, description string) (geotiff.Image, error) {
	if err := errors.Join(c.Check(), q.checkSeveral("GeoTIFF")); err != nil {
		return geotiff.Image{}, err
	}
	im := imageOf(c.Lattice, q, description)
	if len(c.Names) >= byteNoData {
		im.Wide, im.NoData = true, math.MinInt16
	}
	im.Row = func(row, col int, out []int16) {
		for k, s := range c.Cells[row*c.Cols+col:][:len(out)] {
			v, ok := s.Of(q)
			switch {
			case !ok:
				out[k] = im.NoData
			case q == Probability:
				out[k] = int16(math.Floor(v * 100))
			default:
				out[k] = int16(v)
			}
		}
	}
	return im, nil
}

// byteNoData marks pixels of one byte.
const byteNoData = math.MaxUint8

// imageOf is a raster without its numbers.
func imageOf(l terrain.Lattice, q Quantity, description string) geotiff.Image {
	im := geotiff.Image{Cols: l.Cols, Rows: l.Rows, WestDeg: l.WestDeg, NorthDeg: l.NorthDeg,
		StepLonDeg: l.StepLonDeg, StepLatDeg: l.StepLatDeg, NoData: byteNoData, Unit: q.Unit(), Description: description}
	if q == Margin || q == Loss {
		im.Wide, im.NoData, im.Scale = true, math.MinInt16, 0.1
	}
	return im
}

// tenths rounds hundredths, halves away from 0.
func tenths(hundredths int) int {
	if hundredths < 0 {
		return (hundredths - 5) / 10
	}
	return (hundredths + 5) / 10
}
