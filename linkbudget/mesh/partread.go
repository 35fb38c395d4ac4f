package mesh

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain/fault"
)

// ReadPart reads a part that WriteJSON has written, a pair at a time, so that a large one
// is not held twice. What it says is checked by Merge; here only that it is a part, of
// this schema, not a byte changed since, with a plan that can be read, and nothing behind.
func ReadPart(r io.Reader) (*Part, error) {
	p, whole := &Part{}, &sealReader{from: r, sum: sha256.New()}
	if err := p.read(json.NewDecoder(whole), whole); err != nil {
		return nil, fmt.Errorf("plan part: %w", err)
	}
	return p, nil
}

func (p *Part) read(from *json.Decoder, whole *sealReader) error {
	if err := opens(from, '{', "an object"); err != nil {
		return err
	}
	head := []byte{'{'} // all members but the pairs, to be taken apart together
	var pairs []Pair
	for from.More() {
		key, err := from.Token()
		if err != nil {
			return err
		}
		if key == "pairs" {
			if pairs, err = readPairs(from); err != nil {
				return err
			}
			continue
		}
		var value json.RawMessage
		if err := from.Decode(&value); err != nil {
			return err
		}
		if name, ok := key.(string); ok {
			head = append(append(appendKey(head, name), ':'), value...)
		}
	}
	if _, err := from.Token(); err != nil {
		return err
	}
	if _, err := from.Token(); err != io.EOF {
		return fault.Input("found more behind the part, allowed one part")
	}
	var j struct {
		partHead
		Plan json.RawMessage `json:"plan"`
	}
	if err := json.Unmarshal(append(head, '}'), &j); err != nil {
		return err
	}
	if j.Command != partCommand || j.Schema != PartSchema {
		return fault.Input("found %q of schema %d, allowed %q of schema %d", j.Command, j.Schema, partCommand, PartSchema)
	}
	if !whole.holds() {
		return fault.Input("its sha256 is not that of its text: it was changed after it was written; compute shard %d of %d "+
			"again", j.Shard, j.Shards)
	}
	text, err := plan.Read(j.Source, j.Plan)
	if err != nil {
		return err
	}
	*p = Part{j.Schema, j.Key, j.Options, j.Extent, j.Hash, pairs, j.Ground, text}
	return nil
}

// appendKey appends a member's name, behind a comma where it is not the first.
func appendKey(dst []byte, name string) []byte {
	if len(dst) > 1 {
		dst = append(dst, ',')
	}
	text, _ := json.Marshal(name) // a string always has one
	return append(dst, text...)
}

func readPairs(from *json.Decoder) (pairs []Pair, err error) {
	if err := opens(from, '[', "a list of pairs"); err != nil {
		return nil, err
	}
	for from.More() {
		pairs = append(pairs, Pair{})
		if err := from.Decode(&pairs[len(pairs)-1]); err != nil {
			return nil, err
		}
	}
	_, err = from.Token()
	return pairs, err
}

// opens takes the beginning of an object or a list.
func opens(from *json.Decoder, want json.Delim, allowed string) error {
	found, err := from.Token()
	switch {
	case err == io.EOF:
		return io.ErrUnexpectedEOF
	case err != nil:
		return err
	case found != want:
		return fault.Input("found %v, allowed %s", found, allowed)
	}
	return nil
}
