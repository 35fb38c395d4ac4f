package mesh_test

import (
	"bytes"
	"context"
	"math"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
)

// Every digit of a part, changed into every other one in turn over the part, is told: no
// figure of a changed part comes into a merge.
func TestChangedDigitsAreRefused(t *testing.T) {
	opt := hillOptions()
	opt.Advice, opt.Shard, opt.Shards = false, 2, 60
	part, err := checkPart(hills(30, 6), rolling{}, opt)
	if err != nil {
		t.Fatal(err)
	}
	var text bytes.Buffer
	if err := part.WriteJSON(&text); err != nil {
		t.Fatal(err)
	}
	whole, digits := text.Bytes(), 0
	step := max(1, len(whole)/20000)
	for at := 0; at < len(whole); at += step {
		was := whole[at]
		if was < '0' || was > '9' {
			continue
		}
		digits++
		whole[at] = '0' + (was-'0'+1+byte(digits%9))%10
		if _, err := mesh.ReadPart(bytes.NewReader(whole)); err == nil {
			t.Fatalf("byte %d, %q for %q, was read: %s", at, whole[at], was, whole[max(0, at-30):min(len(whole), at+10)])
		}
		whole[at] = was
	}
	if digits < 2000 {
		t.Errorf("%d digits: too few to say anything", digits)
	}
	if _, err := mesh.ReadPart(bytes.NewReader(whole)); err != nil {
		t.Errorf("as it was written: %v", err)
	}
	at := bytes.Index(whole, []byte(`"distance_m":`)) + len(`"distance_m":1`)
	whole[at] ^= 1
	if _, err := mesh.ReadPart(bytes.NewReader(whole)); err == nil ||
		!strings.Contains(err.Error(), "compute shard 2 of 60 again") {
		t.Errorf("error %v, want what to do", err)
	}
}

// Figures that no path has are told, whoever made the part and its hash.
func TestMergeRefusesFiguresOfNoPath(t *testing.T) {
	opt := hillOptions()
	opt.Advice = false
	p := hills(30, 6)
	for want, wrong := range map[string]func(p *mesh.Pair){
		"probability: found 1.5":          func(p *mesh.Pair) { p.Probability = 1.5 },
		"pessimistic_probability: found":  func(p *mesh.Pair) { p.PessimisticProbability = -0.1 },
		"delivery: found 2":               func(p *mesh.Pair) { p.Delivery = 2 },
		"distance_m: found -5":            func(p *mesh.Pair) { p.DistM = -5 },
		"distance_m: found 3e+07":         func(p *mesh.Pair) { p.DistM = 3e7 },
		"azimuth_deg: found 361":          func(p *mesh.Pair) { p.AzimuthDeg = 361 },
		"elevation_deg: found 91":         func(p *mesh.Pair) { p.ElevationDeg = 91 },
		"sigma_db: found -1":              func(p *mesh.Pair) { p.SigmaDB = -1 },
		"margin_db: found NaN":            func(p *mesh.Pair) { p.MarginDB = linkbudget.DB(math.NaN()) },
		"forward.rx_dbm: found 1e+300":    func(p *mesh.Pair) { p.Forward.RxDBm = 1e300 },
		"doubt.model_db: found -2":        func(p *mesh.Pair) { p.Doubt.ModelDB = -2 },
		"filled_points: found -1":         func(p *mesh.Pair) { p.FilledPoints = -1 },
		"worst.lat_deg: found 95":         func(p *mesh.Pair) { p.Worst = &mesh.PairClearance{LatDeg: 95} },
		"gap.to_m: found 1, allowed 3 to": func(p *mesh.Pair) { p.PairNotes = &mesh.PairNotes{Gap: &mesh.PairGap{FromM: 3, ToM: 1}} },
	} {
		_, err := mesh.Merge(context.Background(), change(parts(t, p, opt, 4), func(p *mesh.Part) { wrong(&p.Pairs[1]) })...)
		for _, want := range []string{"part 3 of 4: pair 1: ", want, "compute it again"} {
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("error %v, want %q", err, want)
			}
		}
	}
	_, err := mesh.Merge(context.Background(), change(parts(t, p, opt, 4), func(p *mesh.Part) { p.Ground[0].M = 1e6 })...)
	if err == nil || !strings.Contains(err.Error(), "part 3 of 4: ground 0: ground_m: found 1000000") {
		t.Errorf("ground of 1000 km: %v", err)
	}
}
