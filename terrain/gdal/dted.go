//go:build gdal

package gdal

import (
	"encoding/binary"
	"errors"
	"fmt"
	"os"
	"strings"
	"sync"
)

// Lengths of a DTED file, bytes (MIL-PRF-89020B, section 3.13): labels of 80 that may stand
// before, then the heads UHL, DSI and ACC, then a record for each column from the west.
const (
	dtedLabel  = 80
	dtedHeads  = 80 + 648 + 2700
	dtedAround = 12 // of a record, beside two bytes for each post: 8 before them, the sum behind
)

// columns verifies the sums of the records of a DTED file, each once. GDAL does so too, but
// takes a sum that no record can have for the habit of a maker, and the record with it.
type columns struct {
	path       string
	cols, rows int

	mu   sync.Mutex
	done []bool
}

// newColumns returns nil where there is nothing to verify.
func newColumns(h head, path string, remote bool) *columns {
	if remote || h.driver != "DTED" {
		return nil
	}
	return &columns{path: path, cols: h.cols, rows: h.rows, done: make([]bool, h.cols)}
}

// verify checks a range of columns.
func (c *columns) verify(col, cols int) (err error) {
	if c == nil {
		return nil
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	var f *os.File
	var start int64
	record := make([]byte, dtedAround+2*c.rows)
	for k := max(col, 0); k < min(col+cols, c.cols); k++ {
		if c.done[k] {
			continue
		}
		if f == nil {
			if f, err = os.Open(c.path); err != nil {
				return plainPathError(err)
			}
			defer f.Close()
			if start, err = c.start(f); err != nil {
				return err
			}
		}
		if _, err := f.ReadAt(record, start+int64(k)*int64(len(record))); err != nil {
			return err
		}
		if err := verifyColumn(record); err != nil {
			return fmt.Errorf("column %d is damaged: %w", k, err)
		}
		c.done[k] = true
	}
	return nil
}

// start tells where the records begin, in a file that has room for them.
func (c *columns) start(f *os.File) (int64, error) {
	var at int64
	for word := make([]byte, 3); ; at += dtedLabel {
		if _, err := f.ReadAt(word, at); err != nil {
			return 0, err
		}
		if string(word) == "UHL" {
			break
		}
		if !strings.Contains("VOL HDR", string(word)) {
			return 0, errors.New("the head UHL is not found")
		}
	}
	info, err := f.Stat()
	if err != nil {
		return 0, err
	}
	at += dtedHeads
	if want := at + int64(c.cols)*int64(dtedAround+2*c.rows); info.Size() < want {
		return 0, fmt.Errorf("the file has %d bytes, %d columns of %d posts need %d", info.Size(), c.cols, c.rows, want)
	}
	return at, nil
}

// verifyColumn checks the mark before a record and the sum of its bytes behind it.
func verifyColumn(record []byte) error {
	body, tail := record[:len(record)-4], record[len(record)-4:]
	if body[0] != 0xAA {
		return fmt.Errorf("its record begins with %#x, must be 0xaa", body[0])
	}
	var sum uint32
	for _, b := range body {
		sum += uint32(b)
	}
	if told := binary.BigEndian.Uint32(tail); told != sum {
		return fmt.Errorf("its bytes add up to %d, the file says %d", sum, told)
	}
	return nil
}
