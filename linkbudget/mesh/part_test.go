package mesh

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/polereach/polereach/linkbudget/plan"
)

// drawnPart is a part with so many pairs, and what encoding/json makes of the same when
// it is one struct, sealed.
func drawnPart(t *testing.T, pairs int) (*Part, []byte) {
	t.Helper()
	p, err := plan.Read("a<b.geojson", []byte(`{"type":"FeatureCollection","features":[
		{"type":"Feature","properties":{"name":"<Elm> & \"Oak\"","height_m":5},"geometry":{"type":"Point","coordinates":[-84.2,36.5]}}]}`))
	if err != nil {
		t.Fatal(err)
	}
	part := &Part{Schema: PartSchema, Key: "k", GroundHash: "g", Ground: []GroundAt{{Station: 0, M: 3}}, plan: p}
	part.Options.Shard, part.Options.Shards = 2, 5
	same := struct {
		partHead
		Pairs []Pair          `json:"pairs"`
		Plan  json.RawMessage `json:"plan"`
	}{partHead: partHead{PartSchema, partCommand, 2, 5, "k", "a<b.geojson", part.Options, part.Extent, "g", part.Ground},
		Pairs: []Pair{}}
	r := rand.New(rand.NewPCG(7, 1))
	for range pairs {
		part.Pairs = append(part.Pairs, drawnPair(t, r))
	}
	same.Pairs = append(same.Pairs, part.Pairs...)
	if same.Plan, err = p.GeoJSON(); err != nil {
		t.Fatal(err)
	}
	want, err := json.Marshal(same)
	if err != nil {
		t.Fatal(err)
	}
	want = want[:len(want)-1]
	return part, fmt.Appendf(want, `,"sha256":"%x"}`+"\n", sha256.Sum256(want))
}

// Written pair by pair, a part is the text that encoding/json makes of it at once: with no
// pair, one, and so many that it goes out in pieces. It comes back with the same pairs.
func TestPartsAreWrittenPairByPair(t *testing.T) {
	for _, n := range []int{0, 1, 500} {
		part, want := drawnPart(t, n)
		var pieces countedWrites
		if err := part.WriteJSON(&pieces); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(pieces.Bytes(), want) {
			t.Errorf("%d pairs (-want +got):\n%s", n, cmp.Diff(string(want), pieces.String()))
		}
		if n == 500 && pieces.n < 3 {
			t.Errorf("%d bytes in %d pieces: the test has too few pairs", len(want), pieces.n)
		}
		back, err := ReadPart(bytes.NewReader(want))
		if err != nil {
			t.Fatal(err)
		}
		for i := range part.Pairs {
			if diff := cmp.Diff(part.Pairs[i], back.Pairs[i]); diff != "" {
				t.Fatalf("pair %d (-want +got):\n%s", i, diff)
			}
		}
	}
}

type countedWrites struct {
	bytes.Buffer
	n int
}

func (c *countedWrites) Write(b []byte) (int, error) { c.n++; return c.Buffer.Write(b) }

// What is no part, or not the whole of one, is refused.
func TestReadPartRefuses(t *testing.T) {
	_, whole := drawnPart(t, 3)
	text := string(whole)
	for name, row := range map[string]struct{ text, want string }{
		"nothing":            {"", "unexpected EOF"},
		"a list":             {"[1]", "found [, allowed an object"},
		"another command":    {strings.Replace(text, partCommand, "plan", 1), `found "plan" of schema 3`},
		"another schema":     {strings.Replace(text, `"schema":3`, `"schema":1`, 1), "of schema 1, allowed"},
		"pairs of no list":   {`{"pairs":{}}`, "found {, allowed a list of pairs"},
		"pairs of null":      {`{"pairs":null}`, "found <nil>, allowed a list of pairs"},
		"a pair of no pair":  {`{"pairs":[3]}`, "cannot unmarshal number"},
		"a word of no class": {strings.Replace(text, `"verdict":"`, `"verdict":"x`, 1), "verdict: found"},
		"no plan":            {text[:strings.Index(text, `,"plan":`)] + "}", "plan part: "},
		"no seal":            {text[:strings.Index(text, `,"sha256":`)] + "}", "its sha256 is not that of its text"},
		"another seal": {strings.Replace(text, `,"sha256":"`, `,"sha256":"0`, 1), "its sha256 is not that of its text: it was " +
			"changed after it was written; compute shard 2 of 5 again"},
		"blanks behind it": {text + "\n", "its sha256 is not"},
		"more behind it":   {text + text, "found more behind the part"},
	} {
		if _, err := ReadPart(strings.NewReader(row.text)); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("%s: error %v, want %q in it", name, err, row.want)
		}
	}
	for n := range whole {
		if p, err := ReadPart(bytes.NewReader(whole[:n])); err == nil || p != nil {
			t.Fatalf("the first %d of %d bytes: %v, error %v", n, len(whole), p, err)
		}
	}
}

// A full disk is told, in whichever piece it comes.
func TestPartsOnAFullDisk(t *testing.T) {
	part, want := drawnPart(t, 500)
	for _, room := range []int{0, len(want) / 2, len(want) - 1} {
		if err := part.WriteJSON(&disk{room}); !errors.Is(err, errFull) {
			t.Errorf("room for %d of %d bytes: error %v", room, len(want), err)
		}
	}
	if err := part.WriteJSON(&disk{len(want)}); err != nil {
		t.Errorf("room for all: %v", err)
	}
}

var errFull = errors.New("no space left")

type disk struct{ room int }

func (d *disk) Write(b []byte) (int, error) {
	if len(b) > d.room {
		return 0, errFull
	}
	d.room -= len(b)
	return len(b), nil
}
