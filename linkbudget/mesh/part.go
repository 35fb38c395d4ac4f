package mesh

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Part is the result of one shard: everything needed to merge it with the
// others, the plan included. WriteJSON and ReadPart write and read it; numbers survive
// exactly. Several goroutines may read it at once; merging is reading.
type Part struct {
	Schema int // PartSchema
	// Key identifies plan, options, terrain and the order of the pairs. Parts
	// with different keys do not belong together.
	Key     string
	Options Options
	Extent  terrain.Extent
	// GroundHash is of the ground under the same poles in every part: parts that
	// differ in it have seen other terrain.
	GroundHash string
	// Pairs are those of the shard; Ground is that under its share of the poles.
	Pairs  []Pair
	Ground []GroundAt

	plan *plan.Plan
}

// PartSchema is the version of the JSON of a Part.
const PartSchema = 3

// GroundAt is the ground under one pole.
type GroundAt struct {
	Station int          `json:"station"`
	M       float64      `json:"ground_m"`
	Flag    terrain.Flag `json:"flag,omitempty"`
}

// partHead is what a part says before its pairs; behind them comes the plan, its own text,
// and the hash of all that.
type partHead struct {
	Schema  int            `json:"schema"`
	Command string         `json:"command"`
	Shard   int            `json:"shard"`
	Shards  int            `json:"shards"`
	Key     string         `json:"key"`
	Source  string         `json:"source"`
	Options Options        `json:"options"`
	Extent  terrain.Extent `json:"extent"`
	Hash    string         `json:"ground_hash"`
	Ground  []GroundAt     `json:"ground"`
}

const partCommand = "plan part"

// WriteJSON writes the part with the plan in one line, a pair at a time, so that a large one is not
// held twice. The error is that of w, or that there is no plan.
func (p *Part) WriteJSON(w io.Writer) error {
	const full = 1 << 16
	if p.plan == nil {
		return fault.Input("plan part: holds no plan")
	}
	text, err := p.plan.GeoJSON()
	if err != nil {
		return err
	}
	head, err := json.Marshal(partHead{p.Schema, partCommand, p.Options.Shard, p.Options.Shards, p.Key, p.plan.Source,
		p.Options, p.Extent, p.GroundHash, p.Ground})
	if err != nil {
		return err
	}
	tail, err := json.Marshal(json.RawMessage(text))
	if err != nil {
		return err
	}
	sum := sha256.New()
	both := io.MultiWriter(w, sum)
	b := bytes.NewBuffer(head[:len(head)-1])
	send := func() error {
		_, err := both.Write(plan.Escaped(b.Bytes()))
		b.Reset()
		return err
	}
	b.WriteString(`,"pairs":[`)
	each := json.NewEncoder(b)
	for i := range p.Pairs {
		if i > 0 {
			b.WriteByte(',')
		}
		if err := each.Encode(&p.Pairs[i]); err != nil {
			return err
		}
		b.Truncate(b.Len() - 1) // the end of the line
		if b.Len() >= full {
			if err := send(); err != nil {
				return err
			}
		}
	}
	b.WriteString(`],"plan":`)
	b.Write(tail)
	if err := send(); err != nil {
		return err
	}
	_, err = io.WriteString(w, sealOf(sum))
	return err
}

// key is a hash of all that decides the answer but the heights themselves.
func (j *job) key(extent terrain.Extent) (string, error) {
	text, err := j.p.GeoJSON()
	if err != nil {
		return "", err
	}
	opt := j.opt
	opt.Shard, opt.Workers, opt.Progress = 0, 0, nil
	settings, err := json.Marshal(struct {
		Schema  int
		Source  string
		Options Options
		Extent  terrain.Extent
		Pairs   int
	}{PartSchema, j.p.Source, opt, extent, len(j.list)})
	if err != nil {
		return "", errors.Join(errors.New("plan: options that cannot be written"), err)
	}
	h := sha256.New()
	h.Write(settings)
	h.Write([]byte{0})
	h.Write(text)
	return hex.EncodeToString(h.Sum(nil)), nil
}
