package outfile

import "io"

// Pieces holds what is written to it. A buffer in one piece is copied as it grows: with it
// the CSV of 79,000 pairs took 131 MiB at the peak, for 91, and 1.4 times the time.
type Pieces [][]byte

func (p *Pieces) Write(data []byte) (n int, err error) {
	for n = len(data); len(data) > 0; {
		last := len(*p) - 1
		if last < 0 || len((*p)[last]) == cap((*p)[last]) {
			*p = append(*p, make([]byte, 0, writeB))
			last++
		}
		piece := &(*p)[last]
		part := min(len(data), cap(*piece)-len(*piece))
		*piece = append(*piece, data[:part]...)
		data = data[part:]
	}
	return n, nil
}

// WriteTo writes all of them ([io.WriterTo]).
func (p Pieces) WriteTo(w io.Writer) (written int64, err error) {
	for _, piece := range p {
		n, err := w.Write(piece)
		if written += int64(n); err != nil {
			return written, err
		}
	}
	return written, nil
}

// Bytes writes what there is already.
func Bytes(data []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
}

// writeB is what goes to a file at a time, bytes: with the 4 KiB of package bufio the
// JSON of a large mesh costs a sixth more.
const writeB = 1 << 16
