//go:build gdal

package gdal

import (
	"context"
	"fmt"
	"math"

	binding "github.com/lukeroth/gdal"
	"github.com/polereach/polereach/terrain"
)

// Count looks at every post, block by block and past the cache; it takes the
// time it takes to read the file, and stops when ctx ends.
func (r *Raster) Count(ctx context.Context) (Counts, error) {
	c := Counts{LowestM: math.Inf(1), HighestM: math.Inf(-1), Posts: int64(r.info.Cols) * int64(r.info.Rows)}
	buffer := make([]float32, r.blockCols*r.blockRows)
	for row := 0; row < r.info.Rows; row += r.blockRows {
		for col := 0; col < r.info.Cols; col += r.blockCols {
			if err := ctx.Err(); err != nil {
				return Counts{}, err
			}
			cols, rows := r.blockSize(col/r.blockCols, row/r.blockRows)
			heightM := buffer[:cols*rows]
			err := r.file.use(func(ds binding.Dataset) error {
				n, err := r.read(ds, col, row, cols, rows, heightM)
				c.Implausible += n
				return err
			})
			if err != nil {
				return Counts{}, fmt.Errorf("gdal: %s: %w", r.info.Path, err)
			}
			for _, h := range heightM {
				if terrain.IsVoid(h) {
					c.Voids++
					continue
				}
				c.LowestM, c.HighestM = math.Min(c.LowestM, float64(h)), math.Max(c.HighestM, float64(h))
			}
		}
	}
	if c.Voids == c.Posts {
		c.LowestM, c.HighestM = 0, 0
	}
	return c, nil
}
