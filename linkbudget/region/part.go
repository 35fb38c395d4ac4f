package region

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"hash"
	"io"

	"github.com/polereach/polereach/terrain"
)

// A part is a line of JSON, partHead; packed blocks; a line of JSON, partIndex; and its end: where the
// index begins, in tailDigits digits, a blank, and the SHA-256 (FIPS 180-4) of every byte before it
// in hexadecimal.
const (
	partCommand = "coverage part"
	partSchema  = 1
	tailDigits  = 20
	tailBytes   = tailDigits + 1 + 2*sha256.Size + 1
)

// partHead is what a part belongs to.
type partHead struct {
	Command string          `json:"command"`
	Schema  int             `json:"schema"`
	Source  string          `json:"source"`
	Options Options         `json:"options"`
	Extent  terrain.Extent  `json:"extent"`
	Ground  string          `json:"ground_sha256"`
	Plan    json.RawMessage `json:"plan"`
}

// partIndex tells where the blocks of a part lie.
type partIndex struct {
	Blocks []section `json:"blocks"`
}

// section is one packed block: its number in the region, row by row, and its place in the part.
type section struct {
	Number int   `json:"n"`
	Begin  int64 `json:"at"`
	Bytes  int64 `json:"bytes"`
}

// partWriter writes a part from its beginning to its end.
type partWriter struct {
	w     io.Writer
	sum   hash.Hash
	at    int64
	index partIndex
}

func (p *partWriter) Write(data []byte) (int, error) {
	n, err := p.w.Write(data)
	p.sum.Write(data[:n])
	p.at += int64(n)
	return n, err
}

func (g *Region) beginPart(w io.Writer, ground string) (*partWriter, error) {
	p := &partWriter{w: w, sum: sha256.New()}
	text, err := g.plan.GeoJSON()
	if err != nil {
		return nil, err
	}
	return p, p.line(partHead{partCommand, partSchema, g.plan.Source, g.opt, g.extent, ground, text})
}

func (p *partWriter) line(v any) error {
	line, err := json.Marshal(v)
	if err == nil {
		_, err = p.Write(append(line, '\n'))
	}
	return err
}

func (p *partWriter) block(number int, packed []byte) error {
	p.index.Blocks = append(p.index.Blocks, section{number, p.at, int64(len(packed))})
	_, err := p.Write(packed)
	return err
}

func (p *partWriter) end() error {
	begin := p.at
	if err := p.line(p.index); err != nil {
		return err
	}
	if _, err := fmt.Fprintf(p, "%0*d ", tailDigits, begin); err != nil {
		return err
	}
	_, err := fmt.Fprintf(p.w, "%s\n", hex.EncodeToString(p.sum.Sum(nil)))
	return err
}

// sampledGround is under how many poles every part looks, to tell terrain apart: few, since each may
// stand on a file of its own.
const sampledGround = 16
