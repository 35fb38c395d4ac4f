package coverage

// AsRaster returns the chance that at least one pole is heard as a raster, for
// the same tables, files and pictures. Loss and margin mean nothing in it, so
// only Probability may be drawn; At is the first pole.
func (c *Combined) AsRaster(first *Raster) *Raster {
	r := &Raster{Lattice: c.Lattice, Cells: make([]Cell, len(c.Cells)), At: first.At, RadiusM: first.RadiusM, WantPercent: c.WantPercent}
	for i, s := range c.Cells {
		r.Cells[i] = s.State.Cell()
		if s.State == Judged {
			r.Cells[i] = Numbers{Probability: float64(s.Any)}.Cell()
		}
	}
	return r
}

// Share is the part of a combined area for which one pole is the best.
type Share struct {
	Name string
	// Km2 is where it is the best and reaches; AloneKm2 where no other reaches.
	Km2, AloneKm2 float64
}

// Shares tells what each pole contributes, and ByHeard the area in km² by the
// number of poles that reach, from none up.
func (c *Combined) Shares() (shares []Share, byHeard []float64) {
	shares, byHeard = make([]Share, len(c.Names)), make([]float64, len(c.Names)+1)
	for i, n := range c.Names {
		shares[i].Name = n
	}
	area := Raster{Lattice: c.Lattice}
	for row := range c.Rows {
		km2 := area.CellAreaM2(row) / 1e6
		for _, s := range c.Cells[row*c.Cols : (row+1)*c.Cols] {
			if s.State != Judged {
				continue
			}
			byHeard[s.Heard] += km2
			if s.Heard > 0 {
				shares[s.Best].Km2 += km2
			}
			if s.Heard == 1 {
				shares[s.Best].AloneKm2 += km2
			}
		}
	}
	return shares, byHeard
}
