package region

import (
	"context"
	"io"
	"runtime"

	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/geotiff"
)

// Layer is a raster file to be made while a region is summed up.
type Layer struct {
	Quantity    coverage.Quantity
	Description string
	// Tiles takes what stands behind the head. A region may be larger than memory, and the head
	// tells how long the tiles are: it is there when all of them are.
	Tiles io.Writer
	Head  []byte

	sizes []uint32
	image geotiff.Image
}

// Summary is what the poles of a region serve together.
type Summary struct {
	// Lattice is that of all cells; Table is of the chance that at least one pole reaches, Shares and
	// ByHeard as [coverage.Combined.Shares] has them.
	Lattice terrain.Lattice
	Table   coverage.Table
	Shares  []coverage.Share
	ByHeard []float64
}

// Sum goes through all blocks, by as many workers as are asked for, 0 for one a core, and tells progress,
// if set, how many are done. percents are those of the table. The error is that of reading
// a part, of a layer, or of ctx.
func (j *Joined) Sum(ctx context.Context, percents []float64, workers int, progress func(done, total int),
	layers ...*Layer) (*Summary, error) {
	if j.Region == nil || j.plan == nil {
		return nil, fault.Input("region: a Joined comes from Join")
	}
	for i, l := range layers {
		if l == nil || l.Tiles == nil {
			return nil, fault.Input("region: layer %d has nowhere to go", i+1)
		}
		l.sizes, l.Head = nil, nil
	}
	s := &summing{Joined: j, percents: percents, layers: layers, names: make([]string, len(j.stations))}
	for i, st := range j.stations {
		s.names[i] = st.Name
	}
	s.out = &Summary{Lattice: j.lattice, ByHeard: make([]float64, len(s.names)+1),
		Shares: make([]coverage.Share, len(s.names))}
	for i, n := range s.names {
		s.out.Shares[i].Name = n
	}
	across, down := j.blocks()
	total := across * down
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	spare := make([]*block, min(workers, total))
	for i := range spare {
		spare[i] = new(block)
	}
	for from := 0; from < total; from += len(spare) { // as many at a time, taken in by their order
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		found := make([]blockSum, min(len(spare), total-from))
		var group errgroup.Group
		for i := range found {
			group.Go(fault.Guarded(func() (err error) {
				found[i], err = s.sum(from+i, spare[i])
				return err
			}))
		}
		if err := group.Wait(); err != nil {
			return nil, err
		}
		for i := range found {
			if err := s.take(&found[i]); err != nil {
				return nil, err
			}
		}
		if progress != nil {
			progress(from+len(found), total)
		}
	}
	return s.out, s.end()
}

// summing is one run of Sum.
type summing struct {
	*Joined
	percents []float64
	layers   []*Layer
	names    []string
	out      *Summary
}

// blockSum is what one block adds.
type blockSum struct {
	table   coverage.Table
	shares  []coverage.Share
	byHeard []float64
	tiles   [][]byte // by layer
	images  []geotiff.Image
}

// sum reads a block and counts it.
func (s *summing) sum(number int, b *block) (blockSum, error) {
	across, _ := s.blocks()
	if err := s.gather(number, b); err != nil {
		return blockSum{}, err
	}
	col, row := number%across*side, number/across*side
	part := coverage.Combined{Lattice: s.lattice, Names: s.names}
	part.Cols, part.Rows = min(side, part.Cols-col), min(side, part.Rows-row)
	part.WestDeg += float64(col) * part.StepLonDeg
	part.NorthDeg -= float64(row) * part.StepLatDeg
	part.Cells = make([]coverage.Served, 0, part.Cols*part.Rows)
	for y := range part.Rows {
		for x := range part.Cols {
			served := b.cells[y*side+x].Served()
			if served.Heard == 0 {
				served.Best = -1 // parts do not keep it
			}
			part.Cells = append(part.Cells, served)
		}
	}
	out := blockSum{table: part.AsRaster(nil).Table(s.percents)}
	if len(s.sections[number]) > 0 {
		out.shares, out.byHeard = part.Shares()
	}
	for _, l := range s.layers {
		im, err := part.Image(l.Quantity, l.Description)
		if err != nil {
			return out, err
		}
		tiles, err := geotiff.Pack(im)
		if err != nil {
			return out, err
		}
		out.tiles, out.images = append(out.tiles, tiles[0]), append(out.images, im)
	}
	return out, nil
}

// take adds a block, which must be the next.
func (s *summing) take(b *blockSum) error {
	s.out.Table.Add(b.table)
	for i := range b.shares {
		s.out.Shares[i].Km2 += b.shares[i].Km2
		s.out.Shares[i].AloneKm2 += b.shares[i].AloneKm2
	}
	for n, km2 := range b.byHeard {
		s.out.ByHeard[n] += km2
	}
	for i, tile := range b.tiles {
		l := s.layers[i]
		if l.sizes == nil {
			l.image = b.images[i]
		}
		l.sizes = append(l.sizes, uint32(len(tile)))
		if _, err := l.Tiles.Write(tile); err != nil {
			return err
		}
	}
	return nil
}

// end makes the heads of the layers.
func (s *summing) end() error {
	for _, l := range s.layers {
		l.image.Cols, l.image.Rows, l.image.Row = s.lattice.Cols, s.lattice.Rows, nil
		l.image.WestDeg, l.image.NorthDeg = s.lattice.WestDeg, s.lattice.NorthDeg
		var err error
		if l.Head, err = geotiff.Head(l.image, l.sizes); err != nil {
			return err
		}
	}
	return nil
}
