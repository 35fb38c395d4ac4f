package attack

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// way is a straight line over a raster, and its ground.
type way struct {
	ends    [2]string
	groundM []*float64 // nil: unknown
}

// census is what the command dem says of one file.
type census struct {
	West    float64 `json:"west_deg"`
	East    float64 `json:"east_deg"`
	South   float64 `json:"south_deg"`
	North   float64 `json:"north_deg"`
	Lowest  float64 `json:"lowest_m"`
	Highest float64 `json:"highest_m"`
	Voids   int64   `json:"voids"`
	Posts   int64   `json:"posts"`
}

// rasters damages sound rasters. What is read from one must be what was there, or a void,
// wherever the format can tell.
func (c *campaign) rasters(t *testing.T, share float64) {
	if c.onlyKind != "" && c.onlyKind != "damaged rasters" {
		return
	}
	sounds := c.makeSounds(t)
	whole := map[*sound]census{}
	for i, s := range sounds {
		one := &try{c: c, row: c.row("sound rasters"), kind: "sound rasters", number: uint64(i), dir: t.TempDir()}
		for name, data := range s.files {
			one.put(name, data)
		}
		found, ok := one.census(s)
		if !ok {
			t.Errorf("%s: the undamaged raster is not read", s.name)
			continue
		}
		whole[s] = found
		rng := rand.New(rand.NewPCG(c.seed, uint64(i)))
		for range 6 {
			within := func() string {
				return fmt.Sprintf("%.6f,%.6f", found.West+(found.East-found.West)*(0.05+0.9*rng.Float64()),
					found.South+(found.North-found.South)*(0.05+0.9*rng.Float64()))
			}
			w := way{ends: [2]string{within(), within()}}
			if w.groundM, ok = one.ground(s, w); !ok {
				t.Errorf("%s: no ground along %v of the undamaged raster", s.name, w.ends)
				continue
			}
			s.ways = append(s.ways, w)
		}
		one.count(1, 0, 1, 0)
	}
	sounds = slices.DeleteFunc(sounds, func(s *sound) bool { return len(s.ways) == 0 })
	c.each("damaged rasters", share, func(one *try) {
		s := sounds[int(one.number)%len(sounds)]
		body, done := hurt(one.rng, s.files[s.damaged()])
		for name, data := range s.files {
			one.put(name, data)
		}
		one.put(s.damaged(), body)
		one.damaged(s, done, len(body), whole[s])
	})
}

// damaged reads a damaged raster and compares.
func (t *try) damaged(s *sound, done damage, length int, whole census) {
	tells := s.tells(done, length)
	label := fmt.Sprintf("%s, %s at %d to %d", s.name, done.what, done.from, done.to)
	found, read := t.census(s)
	same := read && found.like(whole)
	if read && !same && tells {
		t.fault("%s: read without a word, %+v for %+v", label, found, whole)
	}
	w := s.ways[t.rng.IntN(len(s.ways))]
	if read || t.rng.IntN(3) == 0 {
		groundM, walked := t.ground(s, w)
		if walked && !sameGround(groundM, w.groundM) {
			same = false
			if tells {
				t.fault("%s: other ground along %v without a word", label, w.ends)
			}
		}
	}
	switch {
	case !read:
		t.count(1, 1, 0, 0)
	case same:
		t.count(1, 0, 1, 0)
	default:
		t.count(1, 0, 0, 1)
	}
}

// like reports whether all heights known are within what was there, none more.
func (c census) like(whole census) bool {
	if c.Voids == whole.Voids {
		return c == whole
	}
	known := c.Posts == c.Voids || c.Lowest >= whole.Lowest && c.Highest <= whole.Highest
	c.Voids, c.Lowest, c.Highest = whole.Voids, whole.Lowest, whole.Highest
	return known && c == whole
}

func sameGround(a, b []*float64) bool {
	return slices.EqualFunc(a, b, func(a, b *float64) bool { return a == nil || b != nil && *a == *b })
}

// census has every post read.
func (t *try) census(s *sound) (census, bool) {
	o := t.run(s.program, nil, "dem", "--format", "json", s.open)
	t.judge(o)
	if o.refused() || o.code < 0 {
		return census{}, false
	}
	var answer struct {
		Files []census `json:"files"`
	}
	if err := json.Unmarshal(o.out.Bytes(), &answer); err != nil || len(answer.Files) != 1 {
		t.fault("dem exits %d, and its JSON cannot be read: %v", o.code, err)
		return census{}, false
	}
	return answer.Files[0], true
}

// ground has a path computed.
func (t *try) ground(s *sound, w way) ([]*float64, bool) {
	o := t.run(s.program, nil, "link", "--profile", "--format", "json", "--height-m", "8", "--dem", s.open,
		w.ends[0], w.ends[1])
	t.judge(o)
	if o.refused() || o.code < 0 {
		return nil, false
	}
	var answer struct {
		Links []struct {
			Profile []struct {
				GroundM *float64 `json:"ground_m"`
			} `json:"profile"`
		} `json:"links"`
	}
	if err := json.Unmarshal(o.out.Bytes(), &answer); err != nil || len(answer.Links) != 1 {
		t.fault("link exits %d, and its JSON cannot be read: %v", o.code, err)
		return nil, false
	}
	var groundM []*float64
	for _, point := range answer.Links[0].Profile {
		groundM = append(groundM, point.GroundM)
	}
	return groundM, true
}
