package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"
)

func TestBadPlanFlagsAreRefused(t *testing.T) {
	for name, c := range map[string]struct {
		args []string
		want []string
	}{
		"unknown gateway": {[]string{"--gateway", "Tanager Nob", demoPlan}, []string{"gateway", "Tanager Nob",
			gateway}},
		"gateway twice": {[]string{"--gateway", gateway, "--gateway", gateway, demoPlan},
			[]string{"gateway", "twice"}},
		"what-if without key": {[]string{"--what-if", "height_m=8", demoPlan}, []string{"what-if", "height_m=8",
			"pole=NAME"}},
		"what-if without change": {[]string{"--what-if", "pole=" + gateway, demoPlan}, []string{"what-if", "pole=NAME"}},
		"what-if of nobody": {[]string{"--what-if", "pole=Nobody at all,height_m=8", demoPlan},
			[]string{"what-if", "Nobody at all"}},
		"what-if unknown key": {[]string{"--what-if", "pole=" + gateway + ",colour=red", demoPlan},
			[]string{"what-if", "colour", "height_m"}},
		"what-if out of range": {[]string{"--what-if", "pole=" + gateway + ",height_m=500", demoPlan},
			[]string{"height_m", "500", "300 m", "With pole"}},
		"what-if text for a number": {[]string{"--what-if", "pole=" + gateway + ",height_m=tall", demoPlan},
			[]string{"height_m", "tall"}},
		"two faults of what-if": {[]string{"--what-if", "pole=Nobdy,colour=red", "--without", "Noone", demoPlan},
			[]string{"Nobdy", "colour", "Noone"}},
		"without the only gateway": {[]string{"--gateway", gateway, "--without", gateway, demoPlan},
			[]string{"only gateway", gateway}},
		"shard 0/3":            {[]string{"--shard", "0/3", demoPlan}, []string{"shard", "0/3", "1 to N"}},
		"shard 4/3":            {[]string{"--shard", "4/3", demoPlan}, []string{"shard", "4/3"}},
		"shard of words":       {[]string{"--shard", "a/b", demoPlan}, []string{"shard", "a/b"}},
		"no shard":             {[]string{"--shard", "", demoPlan}, []string{"shard", `""`}},
		"a million shards":     {[]string{"--shard", "1/1000000", demoPlan}, []string{"shard", "1000000"}},
		"shard and difference": {[]string{"--shard", "1/3", "--without", gateway, demoPlan}, []string{"shard", "--without"}},
		"shard as CSV":         {[]string{"--shard", "1/3", "--format", "csv", demoPlan}, []string{"shard", "format"}},
		"difference as CSV": {[]string{"--without", gateway, "--format", "csv", demoPlan},
			[]string{"csv", "text or json"}},
		"format":              {[]string{"--format", "xml", demoPlan}, []string{"xml", "geojson"}},
		"merge nothing":       {[]string{"--merge"}, []string{"merge", "none"}},
		"merge with settings": {[]string{"--merge", "--sf", "9", "x"}, []string{"--sf", "merge"}},
		"merge a plan":        {[]string{"--merge", demoPlan}, []string{"plan.geojson", "plan part"}},
		"merge no file":       {[]string{"--merge", "none.json"}, []string{"none.json"}},
		"two plans":           {[]string{demoPlan, demoPlan}, []string{"found 2"}},
		"range":               {[]string{"--range-km", "0", demoPlan}, []string{"range-km", "1000 km"}},
		"workers":             {[]string{"--workers", "-1", demoPlan}, []string{"workers", "-1"}},
		"pairs":               {[]string{"--max-pairs", "0", demoPlan}, []string{"max-pairs", "0"}},
		"strict without band": {[]string{"--strict-rules", "--band", "", demoPlan}, []string{"strict-rules", "--band"}},
		"changed from nothing": {[]string{"--changed-from", "none.geojson", demoPlan},
			[]string{"changed-from", "none.geojson"}},
		"changed from no plan": {[]string{"--changed-from", demo + "radio.json", demoPlan},
			[]string{"radio.json", "FeatureCollection"}},
		"keys of a plan": {[]string{"--keys", demoPlan}, []string{"--keys takes no plan"}},
		"keys as CSV":    {[]string{"--keys", "--format", "csv"}, []string{"csv", "text or json"}},
		"everything at once": {[]string{"--range-km", "-1", "--workers", "-1", "--sf", "4", demoPlan},
			[]string{"range-km", "workers", "5 to 12"}},
	} {
		t.Run(name, func(t *testing.T) { refused(t, polereach(t, append([]string{"plan"}, c.args...)...), c.want...) })
	}
	refused(t, polereach(t, "site", "--pole", gateway, "--format", "geojson", demoPlan), "geojson", "text, json, csv")
}

// Parts that do not belong together, or not all of them: every fault is told.
func TestForeignPartsAreNotMerged(t *testing.T) {
	ours, theirs := shards(t, 3), shards(t, 3, "--sf", "8")
	refused(t, polereach(t, "plan", "--merge", ours[0], theirs[1], ours[2]), "part 2 of 3",
		"another plan, settings or terrain")
	refused(t, polereach(t, "plan", "--merge", ours[0], ours[0]), "2 times", "part 2 of 3 is missing",
		"part 3 of 3 is missing")
	text, err := os.ReadFile(ours[1])
	if err != nil {
		t.Fatal(err)
	}
	half := write(t, "half.json", text[:len(text)/2])
	refused(t, polereach(t, "plan", "--merge", ours[0], half, ours[2]), "half.json")
	other := strings.Replace(string(text), `"verdict":"reaches"`, `"verdict":"reaches","a":11`, 1)
	changed := write(t, "changed.json", []byte(other))
	refused(t, polereach(t, "plan", "--merge", ours[0], changed, ours[2]), "changed.json", "was changed",
		"compute shard 2 of 3 again")
	other = other[:strings.Index(other, `,"sha256"`)]
	sealed := write(t, "sealed.json", fmt.Appendf(nil, "%s,\"sha256\":\"%x\"}\n", other, sha256.Sum256([]byte(other))))
	refused(t, polereach(t, "plan", "--merge", ours[0], sealed, ours[2]), "part 2 of 3", "does not hold the pairs")
}

// A plan with 50 faults lists all 50, each with its feature.
func TestPlanListsFiftyFaults(t *testing.T) {
	var features []string
	for i := range 50 {
		height := []string{"-3", `"tall"`, "0", "999", "true"}[i%5]
		features = append(features, feature(fmt.Sprintf(`{"name":"Pole %d","height_m":%s}`, i, height),
			point(fmt.Sprintf("[-84.%02d,36.55]", i))))
	}
	r := polereach(t, "plan", "--dem", demo+"dem", write(t, "p.geojson", []byte(collection(features...))))
	refused(t, r)
	lines := strings.Split(strings.TrimSpace(r.err), "\n")
	if len(lines) != 50 {
		t.Errorf("%d lines, want 50:\n%s", len(lines), r.err)
	}
	for i, line := range lines {
		if want := fmt.Sprintf("feature %d (\"Pole %d\"): height_m: found", i, i); !strings.Contains(line, want) {
			t.Errorf("line %d is %q, want %q in it", i, line, want)
		}
	}
}

// scattered is a plan of poles at random places around a spot of the demo
// ground, in degrees to each side.
func scattered(t *testing.T, n int, lonDeg, latDeg float64) string {
	r := rand.New(rand.NewPCG(1, uint64(n)))
	var b strings.Builder
	b.WriteString(`{"type":"FeatureCollection","features":[`)
	for i := range n {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString(feature(fmt.Sprintf(`{"name":"P%d","height_m":6}`, i),
			point(fmt.Sprintf("[%.6f,%.6f]", -84.25+lonDeg*(2*r.Float64()-1), 36.59+latDeg*(2*r.Float64()-1)))))
	}
	b.WriteString("]}")
	return write(t, "many.geojson", []byte(b.String()))
}

// A plan of 100,000 points is refused before any terrain is read, with what it
// would cost and the ways out.
func TestPlanOfAHundredThousandPoints(t *testing.T) {
	path := scattered(t, 100_000, 0.15, 0.13)
	begin := time.Now()
	r := polereach(t, "plan", "--dem", demo+"dem", "--sf", "12", path)
	refused(t, r, "100000 stations", "pairs within 50 km", "of one core", "shorter range", "--max-pairs")
	t.Logf("refused after %.1f s: %s", time.Since(begin).Seconds(), r.err)
}

// stopper interrupts a command as soon as it has written a word.
type stopper struct {
	bytes.Buffer
	word string
	stop func()
}

func (s *stopper) Write(p []byte) (int, error) {
	n, err := s.Buffer.Write(p)
	if strings.Contains(s.String(), s.word) {
		s.stop()
	}
	return n, err
}

// More pairs than --max-pairs allows need that flag, more points need --yes.
func TestPlanBeyondItsBounds(t *testing.T) {
	refused(t, polereach(t, "plan", "--dem", demo+"dem", "--max-pairs", "10", scattered(t, 30, 0.15, 0.13)),
		"allowed 10 pairs", "--max-pairs")
	args := []string{"plan", "--dem", demo + "dem", "--range-km", "1000", "--sf", "12", "--tx-dbm", "30", "--max-pairs",
		"1000000", scattered(t, 880, 5, 4)}
	refused(t, polereach(t, args...), "profile points", "--yes goes on")

	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	var out bytes.Buffer
	errOut := stopper{word: "of one core\n", stop: cancel}
	code := run(ctx, append([]string{"polereach"}, append(args, "--yes")...), &out, &errOut)
	if code != exitFailed || out.Len() > 0 || !strings.Contains(errOut.String(), "of one core\n") ||
		!strings.Contains(errOut.String(), "interrupted") {
		t.Errorf("exit %d, stderr %q", code, errOut.String())
	}
}
