//go:build gdal

package gdal

import (
	"context"
	"fmt"
	"math"

	binding "github.com/lukeroth/gdal"
	"github.com/polereach/polereach/terrain"
)

// mostCounted bounds the posts that Count looks at, and those of the file's blocks that are
// decoded for them: a few seconds of work.
const mostCounted = 1 << 26

// Count looks at every post, block by block and past the cache; it takes the time it takes
// to read the file, and stops when ctx ends. Of a raster of more than 2^26 posts it looks at
// blocks spread evenly over it.
func (r *Raster) Count(ctx context.Context) (Counts, error) {
	c := Counts{LowestM: math.Inf(1), HighestM: math.Inf(-1), Posts: int64(r.info.Cols) * int64(r.info.Rows)}
	buffer := make([]float32, r.blockCols*r.blockRows)
	wide, high := (r.info.Cols-1)/r.blockCols+1, (r.info.Rows-1)/r.blockRows+1
	work := float64(wide) * float64(high) * float64(max(r.blockCols*r.blockRows, r.fileBlockPosts))
	step := int64(math.Max(1, math.Ceil(work/mostCounted)))
	for step > 1 && gcd(step, int64(wide)) > 1 { // else whole columns of blocks are never met
		step++
	}
	for k := int64(0); k < int64(wide)*int64(high); k += step {
		bc, br := int(k%int64(wide)), int(k/int64(wide))
		if err := ctx.Err(); err != nil {
			return Counts{}, err
		}
		cols, rows := r.blockSize(bc, br)
		heightM := buffer[:cols*rows]
		err := r.file.use(func(ds binding.Dataset) error {
			n, err := r.read(ds, bc*r.blockCols, br*r.blockRows, cols, rows, heightM)
			c.Implausible += n
			return err
		})
		if err != nil {
			return Counts{}, fmt.Errorf("gdal: %s: %w", r.info.Path, err)
		}
		c.Looked += int64(len(heightM))
		for _, h := range heightM {
			if terrain.IsVoid(h) {
				c.Voids++
				continue
			}
			c.LowestM, c.HighestM = math.Min(c.LowestM, float64(h)), math.Max(c.HighestM, float64(h))
		}
	}
	if c.Voids == c.Looked {
		c.LowestM, c.HighestM = 0, 0
	}
	return c, nil
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
