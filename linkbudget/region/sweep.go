package region

import (
	"cmp"
	"context"
	"fmt"
	"image"
	"io"
	"maps"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// held is how many blocks may lie in memory, but for those of one pole alone: a quarter of what there is, where
// each takes a MiB.
func (g *Region) held() int { return int(max(g.opt.MemoryBytes/4/(blockCells*16), 64)) }

// WritePart sweeps the poles of the shard and writes its part to w. The error is that
// of a sweep, with the pole's name, of w, or of ctx.
func (g *Region) WritePart(ctx context.Context, dem terrain.DEM, w io.Writer) error {
	if g.plan == nil || dem == nil {
		return fault.Input("region: a Region comes from Prepare, and needs a DEM")
	}
	ground, err := g.plan.GroundHash(dem, sampledGround)
	if err != nil {
		return err
	}
	out, err := g.beginPart(w, ground)
	if err != nil {
		return err
	}
	run := batchRun{g: g, dem: dem, total: len(g.share()), across: (g.lattice.Cols-1)/side + 1, held: g.held()}
	for rest := g.share(); len(rest) > 0; {
		n := run.batch(rest)
		if err := run.sweep(ctx, rest[:n]); err != nil {
			return err
		}
		rest = rest[n:]
		if err := run.write(ctx, run.leaving(rest), out); err != nil {
			return err
		}
	}
	return out.end()
}

// batchRun is the sweeps of a shard.
type batchRun struct {
	g           *Region
	dem         terrain.DEM
	across      int            // blocks in a row
	held        int            // the most blocks
	blocks      map[int]*block // in memory, by number
	spare       []*block
	done, total int
	progress    sync.Mutex
}

// batch returns how many of the poles go together, and makes the blocks that they lack.
func (b *batchRun) batch(poles []reach) (n int) {
	if b.blocks == nil {
		b.blocks = map[int]*block{}
	}
	for ; n < len(poles); n++ {
		var more []int
		eachBlock(poles[n].blocks(), b.across, func(number int) {
			if b.blocks[number] == nil {
				more = append(more, number)
			}
		})
		if n > 0 && len(b.blocks)+len(more) > b.held {
			break
		}
		for _, number := range more {
			b.blocks[number] = b.newBlock()
		}
	}
	return n
}

// leaving are the blocks that go to the part before the rest of the poles, by number: all but the half
// of those held that are wanted again first.
func (b *batchRun) leaving(rest []reach) []int {
	next := map[int]int{} // by block, the first pole that wants it
	for i := 0; i < len(rest) && len(next) < len(b.blocks); i++ {
		eachBlock(rest[i].blocks(), b.across, func(number int) {
			if _, known := next[number]; !known && b.blocks[number] != nil {
				next[number] = i
			}
		})
	}
	kept := slices.SortedFunc(maps.Keys(next), func(x, y int) int { return cmp.Or(cmp.Compare(next[x], next[y]), x-y) })
	kept = kept[:min(len(kept), b.held/2)]
	leaving := slices.Sorted(maps.Keys(b.blocks))
	slices.Sort(kept)
	return slices.DeleteFunc(leaving, func(number int) bool {
		_, stays := slices.BinarySearch(kept, number)
		return stays
	})
}

func (b *batchRun) newBlock() *block {
	if n := len(b.spare); n > 0 {
		one := b.spare[n-1]
		b.spare = b.spare[:n-1]
		clear(one.cells[:])
		return one
	}
	return new(block)
}

func (b *batchRun) drop(number int) {
	b.spare = append(b.spare, b.blocks[number])
	delete(b.blocks, number)
}

func eachBlock(r image.Rectangle, across int, f func(number int)) {
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			f(y*across + x)
		}
	}
}

// sweep sweeps a batch, as many poles at a time as fit the memory.
func (b *batchRun) sweep(ctx context.Context, poles []reach) error {
	workers, need := b.g.workers(), 1.0
	for _, r := range poles {
		need = max(need, b.g.needs(r))
	}
	atOnce := int(min(max(float64(b.g.opt.MemoryBytes/2)/need, 1), float64(min(workers, len(poles)))))
	opt := b.g.sweepOptions()
	opt.Workers = max(workers/atOnce, 1)
	var next atomic.Int64
	group, ctx := errgroup.WithContext(ctx)
	for range atOnce {
		group.Go(fault.Guarded(func() error {
			for {
				i := int(next.Add(1)) - 1
				if i >= len(poles) {
					return nil
				}
				if err := b.one(ctx, poles[i], opt); err != nil {
					return fmt.Errorf("pole %q: %w", b.g.stations[poles[i].pole].Name, err)
				}
			}
		}))
	}
	return group.Wait()
}

// needs is about what a sweep takes, bytes: its cells, and the posts between them and the pole.
func (g *Region) needs(r reach) float64 {
	at, l := g.plan.Stations[r.pole].At, g.lattice
	x := int(math.Remainder(at[0]-l.WestDeg, 360) / l.StepLonDeg)
	y := int((l.NorthDeg - at[1]) / l.StepLatDeg)
	posts := r.cells.Union(image.Rect(x, y, x+1, y+1))
	every := l.StepLatDeg / g.extent.StepLatDeg
	const cellBytes, postBytes = 8, 10 // the height, and what stands there
	return cellBytes*float64(r.cells.Dx())*float64(r.cells.Dy()) +
		postBytes*every*every*float64(posts.Dx())*float64(posts.Dy())
}

func (g *Region) workers() int {
	if g.opt.Workers > 0 {
		return g.opt.Workers
	}
	return runtime.GOMAXPROCS(0)
}

// one sweeps a pole and counts it in.
func (b *batchRun) one(ctx context.Context, r reach, opt coverage.Options) error {
	raster, err := coverage.Sweep(ctx, b.g.stations[r.pole], b.g.plan.Stations[r.pole].At, b.dem, opt)
	if err != nil {
		return err
	}
	if raster.Cols != r.cells.Dx() || raster.Rows != r.cells.Dy() {
		return fault.Input("region: %d by %d cells, by the extent of the terrain %v", raster.Cols, raster.Rows, r.cells)
	}
	want := raster.WantPercent
	eachBlock(r.blocks(), b.across, func(number int) {
		b.blocks[number].add(raster, r, image.Pt(number%b.across*side, number/b.across*side), want)
	})
	b.progress.Lock()
	defer b.progress.Unlock()
	b.done++
	if b.g.opt.Progress != nil {
		b.g.opt.Progress(b.done, b.total)
	}
	return ctx.Err()
}

// write packs blocks and hands them to the part.
func (b *batchRun) write(ctx context.Context, numbers []int, out *partWriter) error {
	packed := make([][]byte, len(numbers))
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(b.g.workers())
	for i, number := range numbers {
		group.Go(fault.Guarded(func() (err error) {
			if err = ctx.Err(); err == nil {
				packed[i], err = b.blocks[number].pack()
			}
			return err
		}))
	}
	if err := group.Wait(); err != nil {
		return err
	}
	for i, number := range numbers {
		if err := out.block(number, packed[i]); err != nil {
			return err
		}
		b.drop(number)
	}
	return nil
}
