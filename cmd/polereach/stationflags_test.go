package main

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// linkAnswer is what the tests below read of link --format json.
type linkAnswer struct {
	A struct {
		Height float64 `json:"height_m"`
	} `json:"a"`
	B struct {
		Height float64 `json:"height_m"`
	} `json:"b"`
	Links []struct {
		LossDB      float64  `json:"loss_db"`
		SigmaDB     float64  `json:"sigma_db"`
		Assumed     []string `json:"assumed"`
		Diffraction struct {
			LossDB float64 `json:"loss_db"`
			Edge   float64 `json:"single_edge_db"`
		} `json:"diffraction"`
		Terms      []namedDB `json:"terms"`
		Directions []struct {
			TxDBm float64   `json:"tx_dbm"`
			Items []namedDB `json:"items"`
		} `json:"directions"`
	} `json:"links"`
}

type namedDB struct {
	Name string  `json:"name"`
	DB   float64 `json:"db"`
}

func of(t *testing.T, list []namedDB, name string) float64 {
	t.Helper()
	for _, item := range list {
		if item.Name == name {
			return item.DB
		}
	}
	t.Errorf("no %q in %v", name, list)
	return math.NaN()
}

func linkJSON(t *testing.T, args ...string) linkAnswer {
	t.Helper()
	r := polereach(t, append([]string{"link", "--format", "json"}, args...)...)
	var got linkAnswer
	if err := json.Unmarshal([]byte(r.out), &got); err != nil || len(got.Links) != 1 {
		t.Fatalf("%v: exit %d, stderr %q", err, r.code, r.err)
	}
	return got
}

// Each end of a link has what its own flags say, the other one the settings.
func TestEachEndHasItsOwnFlags(t *testing.T) {
	got := linkJSON(t, "-84.2405,36.5565", "-84.15,36.65", "--dem", demo+"dem", "--freq-mhz", "915", "--height-m", "7",
		"--feed-loss-db", "1",
		"--height-a-m", "5", "--tx-a-dbm", "20", "--gain-a-dbi", "5", "--feed-loss-a-db", "2", "--hardware-a-db", "1",
		"--wood-a-m", "40", "--tx-b-dbm", "10", "--gain-b-dbi", "6", "--hardware-b-db", "4", "--inside-b", "suburban")
	link := got.Links[0]
	ab, ba := link.Directions[0], link.Directions[1]
	for what, c := range map[string][2]float64{
		"height of A": {got.A.Height, 5}, "height of B": {got.B.Height, 7},
		"power of A": {ab.TxDBm, 20}, "power of B": {ba.TxDBm, 10},
		"gain of A":   {of(t, ab.Items, "transmitter antenna gain"), 5},
		"gain of B":   {of(t, ab.Items, "receiver antenna gain"), 6},
		"feeder of A": {of(t, ab.Items, "transmitter feed loss"), -2}, "feeder of B": {of(t, ab.Items, "receiver feed loss"),
			-1},
		"hardware of A": {of(t, ab.Items, "transmitter hardware"), -1},
		"hardware of B": {of(t, ab.Items, "receiver hardware"), -4},
	} {
		if !(math.Abs(c[0]-c[1]) < 1e-9) {
			t.Errorf("%s: %g, want %g", what, c[0], c[1])
		}
	}
	if of(t, link.Terms, "wood at A") <= 0 || of(t, link.Terms, "suburban at B") <= 0 {
		t.Error("the surroundings cost nothing")
	}
}

// Open country is assumed at 5 m: K_h2 log10(10/5), K_h2 = 21.8 + 6.2 log10 0.915 = 21.56,
// is 6.49 dB by ITU-R P.2108-1 §3.1 (2b); free costs nothing.
func TestSurroundingsOfAllStations(t *testing.T) {
	base := []string{"-84.2405,36.5565", "-84.15,36.65", "--dem", demo + "dem", "--freq-mhz", "915", "--height-m", "5"}
	assumed := linkJSON(t, base...).Links[0]
	for _, end := range []string{"open country at A", "open country at B"} {
		if got := of(t, assumed.Terms, end); !(math.Abs(got-6.49) < 0.01) {
			t.Errorf("%s: %g dB, want 6.49", end, got)
		}
	}
	if d := cmp.Diff([]string{"A", "B"}, assumed.Assumed); d != "" {
		t.Error(d)
	}
	free := linkJSON(t, append(base, "--inside", "free")...).Links[0]
	if free.Assumed != nil {
		t.Errorf("assumed %v where all is said", free.Assumed)
	}
	if lower := assumed.LossDB - free.LossDB; !(math.Abs(lower-2*6.49) < 0.02) || len(free.Terms) != 2 {
		t.Errorf("free takes off %g dB, want 12.98; terms %v", lower, free.Terms)
	}
	if !(free.SigmaDB < assumed.SigmaDB) {
		t.Errorf("the doubt of ends that were looked at is %g dB, of others %g", free.SigmaDB, assumed.SigmaDB)
	}
	noWood := linkJSON(t, append(base, "--inside", "suburban", "--wood-a-m", "0")...).Links[0]
	if of(t, noWood.Terms, "suburban at A") != of(t, noWood.Terms, "suburban at B") {
		t.Error("no wood at A takes the suburb away")
	}
	oneEnd := linkJSON(t, append(base, "--inside", "free", "--inside-b", "open")...).Links[0]
	if lower := assumed.LossDB - oneEnd.LossDB; !(math.Abs(lower-6.49) < 0.02) {
		t.Errorf("one free end takes off %g dB, want 6.49", lower)
	}
}

// What is said of all stations arrives in every command that judges paths.
func TestStationFlagsReachEveryCommand(t *testing.T) {
	long(t)
	plan := demo + "plan.geojson"
	for name, args := range map[string][]string{
		"site":     {"site", "--pole", "Sorrel Ridge", plan},
		"site at":  {"site", "--at", "-84.2727,36.56", "--height-m", "5", plan},
		"coverage": {"coverage", "--pole", "Tanager Knob", "--radius-km", "1", plan},
		"spots":    {"spots", "--cell-m", "600", "--top", "1", demo + "spots.geojson"},
		"plan":     {"plan", plan},
	} {
		t.Run(name, func(t *testing.T) {
			seen := map[string]string{}
			for _, flags := range [][]string{{"--hardware-db", "3"}, {"--hardware-db", "12"}, {"--inside", "free"},
				{"--inside", "dense_urban"}} {
				r := polereach(t, append(append([]string{}, args...), flags...)...)
				if r.out == "" {
					t.Fatalf("%v: exit %d, stderr %q", flags, r.code, r.err)
				}
				for other, out := range seen {
					if out == r.out {
						t.Errorf("%v and %s give the same answer", flags, other)
					}
				}
				seen[flags[0]+" "+flags[1]] = r.out
			}
		})
	}
}

// The receiver of a coverage stands in what its own flag says.
func TestReceiverInside(t *testing.T) {
	shares := map[string]float64{}
	for _, word := range []string{"free", "open", "dense_urban"} {
		r := polereach(t, "coverage", "--pole", "Tanager Knob", "--radius-km", "1.5", "--tx-dbm", "-10", "--receiver-inside",
			word, "--format", "json", demo+"plan.geojson")
		var got struct {
			Levels []struct {
				Share float64 `json:"share_of_judged"`
			}
		}
		if err := json.Unmarshal([]byte(r.out), &got); err != nil || len(got.Levels) == 0 {
			t.Fatalf("%v, %q\n%s", err, r.err, r.out[:min(len(r.out), 2000)])
		}
		shares[word] = got.Levels[0].Share
	}
	if !(shares["free"] > shares["open"] && shares["open"] > shares["dense_urban"]) {
		t.Errorf("shares served %v: they must fall as more stands around the receiver", shares)
	}
	refused(t, polereach(t, "coverage", "--pole", "Tanager Knob", "--receiver-inside", "marsh", demo+"plan.geojson"),
		"receiver-inside", "marsh", "free")
}
