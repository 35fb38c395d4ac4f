package region

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/polereach/polereach/terrain/fault"
)

// Part is one that WritePart has written: its head and where its blocks lie. Blocks are read when
// they are wanted, so r must stay open. Several goroutines may read it at once.
type Part struct {
	r        io.ReaderAt
	head     partHead
	sections []section
}

// OpenPart reads all of a part once and finds that not a byte of it has changed. What it says is
// compared with others by [Join].
func OpenPart(r io.ReaderAt, size int64) (*Part, error) {
	p := &Part{r: r}
	if err := p.open(size); err != nil {
		return nil, fmt.Errorf("coverage part: %w", err)
	}
	return p, nil
}

func (p *Part) open(size int64) error {
	if p.r == nil || size < tailBytes {
		return fault.Input("found %d bytes, allowed what coverage --shard has written", size)
	}
	tail := make([]byte, tailBytes)
	if _, err := p.r.ReadAt(tail, size-tailBytes); err != nil && err != io.EOF {
		return err
	}
	begin, err := strconv.ParseInt(string(tail[:tailDigits]), 10, 64)
	if err != nil || begin < 0 || begin > size-tailBytes {
		return fault.Input("it does not end as a part does: cut, or something else")
	}
	head := json.NewDecoder(io.NewSectionReader(p.r, 0, begin))
	if err := head.Decode(&p.head); err != nil {
		return fault.Input("its first line: %w", err)
	}
	if h := &p.head; h.Command != partCommand || h.Schema != partSchema {
		return fault.Input("found %q of schema %d, allowed %q of schema %d", h.Command, h.Schema, partCommand, partSchema)
	}
	sum := sha256.New()
	if _, err := io.Copy(sum, io.NewSectionReader(p.r, 0, size-int64(2*sha256.Size)-1)); err != nil {
		return err
	}
	if strings.TrimSuffix(string(tail[tailDigits+1:]), "\n") != hex.EncodeToString(sum.Sum(nil)) {
		return fault.Input("its sha256 is not that of its bytes: it was changed after it was written; compute shard %s again",
			p.number())
	}
	var index partIndex
	if err := json.NewDecoder(io.NewSectionReader(p.r, begin, size-tailBytes-begin)).Decode(&index); err != nil {
		return fault.Input("its index: %w", err)
	}
	for _, s := range index.Blocks {
		if s.Begin < 0 || s.Bytes < 0 || s.Begin > begin-s.Bytes {
			return fault.Input("its index has %d bytes at %d of %d", s.Bytes, s.Begin, begin)
		}
	}
	p.sections = index.Blocks
	return nil
}

// number says which shard it is.
func (p *Part) number() string {
	return fmt.Sprintf("%d of %d", p.head.Options.Shard, p.head.Options.Shards)
}
