package report

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/mesh"
)

// meshLinkJSON is a link written the other way, by encoding/json, against which
// link.write is held.
type meshLinkJSON struct {
	From           string           `json:"from"`
	To             string           `json:"to"`
	Wanted         bool             `json:"wanted"`
	Required       bool             `json:"required"`
	Role           string           `json:"role,omitempty"`
	JoinedPairs    int              `json:"joined_pairs,omitempty"`
	RedundantPairs int              `json:"redundant_pairs,omitempty"`
	Detour         float64          `json:"detour_transmissions,omitempty"`
	HeightAM       float64          `json:"height_a_m"`
	HeightBM       float64          `json:"height_b_m"`
	DistanceM      float64          `json:"distance_m"`
	AzimuthDeg     float64          `json:"azimuth_deg"`
	BackAzimuthDeg float64          `json:"back_azimuth_deg"`
	ElevationDeg   *float64         `json:"elevation_deg,omitempty"`
	Path           string           `json:"path,omitempty"`
	Situation      string           `json:"situation,omitempty"`
	ClearanceF1    *float64         `json:"clearance_f1,omitempty"`
	ClearanceM     *float64         `json:"clearance_m,omitempty"`
	ClearanceAtM   *float64         `json:"clearance_at_m,omitempty"`
	ClearanceAt    *placeJSON       `json:"clearance_at,omitempty"`
	Terms          []meshTermJSON   `json:"terms,omitempty"`
	LossDB         *float64         `json:"loss_db,omitempty"`
	Weaker         string           `json:"weaker_direction,omitempty"`
	RxDBm          *float64         `json:"rx_dbm,omitempty"`
	SNRDB          *float64         `json:"snr_db,omitempty"`
	SensitivityDBm *float64         `json:"sensitivity_dbm,omitempty"`
	MarginDB       *float64         `json:"margin_db,omitempty"`
	SigmaDB        *float64         `json:"sigma_db,omitempty"`
	Doubt          []meshTermJSON   `json:"doubt,omitempty"`
	Probability    *float64         `json:"probability,omitempty"`
	TimeHeld       *float64         `json:"time_percent_held,omitempty"`
	Delivery       *float64         `json:"delivery,omitempty"`
	Directions     []meshDirection  `json:"directions,omitempty"`
	Pessimistic    *meshPessimistic `json:"pessimistic,omitempty"`
	Verdict        string           `json:"verdict"`
	Reasons        []string         `json:"reasons,omitempty"`
	Advice         []adviceJSON     `json:"advice,omitempty"`
	AdviceBest     *float64         `json:"advice_best_probability,omitempty"`
	BeyondRules    bool             `json:"beyond_rules,omitempty"`
	Gaps           []gapJSON        `json:"gaps,omitempty"`
	GapCount       int              `json:"gap_count,omitempty"`
	FilledPoints   int              `json:"filled_points,omitempty"`
}

type adviceJSON struct {
	Text         string       `json:"text"`
	Changes      []changeJSON `json:"changes,omitempty"`
	Move         *moveJSON    `json:"move,omitempty"`
	Rules        string       `json:"rules,omitempty"` // absent: within the band's table
	Probability  float64      `json:"probability"`
	MarginDB     float64      `json:"margin_db"`
	AirtimeRatio float64      `json:"airtime_ratio"`
}

type moveJSON struct {
	Station    string  `json:"station"`
	LonDeg     float64 `json:"lon_deg"`
	LatDeg     float64 `json:"lat_deg"`
	DistanceM  float64 `json:"distance_m"`
	AzimuthDeg float64 `json:"azimuth_deg"`
	RiseM      float64 `json:"rise_m"`
}

type changeJSON struct {
	Station string  `json:"station,omitempty"` // absent: the link
	Key     string  `json:"key"`
	From    float64 `json:"from"`
	To      float64 `json:"to"`
}

func newAdviceJSON(c *linkbudget.Counsel, banded bool) (list []adviceJSON) {
	for _, a := range c.Advice {
		one := adviceJSON{Text: a.Text(), Probability: fixed(a.Probability, 4), MarginDB: db(a.MarginDB),
			AirtimeRatio: fixed(a.AirtimeRatio, 3)}
		for _, ch := range a.Changes {
			one.Changes = append(one.Changes, changeJSON{ch.Station, ch.Key, fixed(ch.From, 6), fixed(ch.To, 6)})
		}
		if m := a.Move; m != nil {
			one.Move = &moveJSON{m.Station, placeDeg(m.At.Lon()), placeDeg(m.At.Lat()),
				metres(m.DistM), angleDeg(m.AzimuthDeg), metres(m.RiseM)}
		}
		if !banded {
			one.Rules = unruledText
		}
		list = append(list, one)
	}
	return list
}

func dbm(v linkbudget.DBm) float64 { return fixed(float64(v), 3) }
func angleDeg(v float64) float64   { return fixed(v, 4) }

type placeJSON struct {
	LonDeg float64 `json:"lon_deg"`
	LatDeg float64 `json:"lat_deg"`
}

type gapJSON struct {
	What  string     `json:"what"`
	FromM float64    `json:"from_m"`
	ToM   float64    `json:"to_m"`
	Place *placeJSON `json:"place,omitempty"`
}

type meshTermJSON struct {
	Name string  `json:"name"`
	DB   float64 `json:"db"`
}

type meshDirection struct {
	From           string  `json:"from"`
	To             string  `json:"to"`
	EIRPDBm        float64 `json:"eirp_dbm"`
	RxDBm          float64 `json:"rx_dbm"`
	SNRDB          float64 `json:"snr_db"`
	SensitivityDBm float64 `json:"sensitivity_dbm"`
	MarginDB       float64 `json:"margin_db"`
}

type meshPessimistic struct {
	MarginDB    float64 `json:"margin_db"`
	Probability float64 `json:"probability"`
}

// meshTerms lists what is there; free space and diffraction always are.
func meshTerms(always int, names []string, values ...linkbudget.DB) []meshTermJSON {
	var out []meshTermJSON
	for i, v := range values {
		if i < always || v != 0 {
			out = append(out, meshTermJSON{names[i], db(v)})
		}
	}
	return out
}

func newMeshLinkJSON(m *mesh.Mesh, l *link) meshLinkJSON {
	j := meshLinkJSON{
		From: l.from, To: l.to, Wanted: l.Wanted(), Required: l.Required, DistanceM: metres(l.DistM),
		HeightAM: metres(l.heightAM), HeightBM: metres(l.heightBM),
		AzimuthDeg: angleDeg(l.AzimuthDeg), BackAzimuthDeg: angleDeg(l.BackAzimuthDeg),
		Verdict: l.Verdict.String(), Reasons: l.Reasons(), BeyondRules: l.BeyondRules, FilledPoints: int(l.FilledPoints),
	}
	if r := l.rank; r != nil {
		j.Role, j.JoinedPairs, j.RedundantPairs, j.Detour = string(r.Role), r.JoinedPairs, r.RedundantPairs,
			fixed(r.Detour, 3)
	}
	if g := l.Gap(); g != nil {
		j.Gaps, j.GapCount = []gapJSON{{g.What, metres(g.FromM), metres(g.ToM), &placeJSON{placeDeg(g.LonDeg),
			placeDeg(g.LatDeg)}}}, g.Count
	}
	if !l.known() {
		return j
	}
	j.ElevationDeg, j.Path, j.Situation = ptr(angleDeg(l.ElevationDeg)), l.Path.String(), l.Situation.String()
	if w := l.Worst; w != nil {
		j.ClearanceF1, j.ClearanceM, j.ClearanceAtM = ptr(fixed(w.F1, 4)), ptr(metres(w.M)), ptr(metres(w.AtM))
		j.ClearanceAt = &placeJSON{placeDeg(w.LonDeg), placeDeg(w.LatDeg)}
	}
	j.Terms = meshTerms(2, []string{"free space", "diffraction", "troposcatter", "clutter", "time"}, l.FreeSpaceDB,
		l.DiffractionDB, l.TroposcatterDB, l.ClutterDB, l.TimeDB())
	d := l.Doubt
	j.Doubt = meshTerms(0, []string{"model", "ripple", "terrain", "hardware", "other"}, d.ModelDB, d.RippleDB,
		d.TerrainDB, d.HardwareDB, d.OtherDB)
	j.levels(m, l)
	if counsel := l.Counsel(); counsel != nil {
		if j.Advice = newAdviceJSON(counsel, m.Options.Band != ""); j.Advice == nil && counsel.Best > 0 {
			j.AdviceBest = ptr(fixed(counsel.Best, 4))
		}
	}
	return j
}

func (j *meshLinkJSON) levels(m *mesh.Mesh, l *link) {
	weaker, from, to := l.Weaker()
	j.Weaker = m.Stations[from].Station.Name + " to " + m.Stations[to].Station.Name
	j.LossDB, j.RxDBm, j.SNRDB = ptr(db(l.LossDB)), ptr(dbm(weaker.RxDBm)), ptr(db(weaker.SNRDB))
	j.SensitivityDBm, j.MarginDB, j.SigmaDB = ptr(dbm(weaker.SensitivityDBm)), ptr(db(l.MarginDB)), ptr(db(l.SigmaDB))
	j.Probability, j.Delivery = ptr(fixed(l.Probability, 4)), ptr(fixed(l.Delivery, 4))
	if l.Wanted() || l.TimePercentHeld > 0 {
		j.TimeHeld = ptr(fixed(l.TimePercentHeld, 2))
	}
	one := func(from, to string, d linkbudget.Level) meshDirection {
		return meshDirection{from, to, dbm(d.EIRPDBm), dbm(d.RxDBm), db(d.SNRDB), dbm(d.SensitivityDBm), db(d.MarginDB)}
	}
	j.Directions = []meshDirection{one(l.from, l.to, l.Forward), one(l.to, l.from, l.Backward)}
	j.Pessimistic = &meshPessimistic{db(l.PessimisticMarginDB), fixed(l.PessimisticProbability, 4)}
}

func TestLinksAreThoseOfEncodingJSON(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	names := []string{"Ash", "Birch, \"old\"", "Über <b> & co", "tab\tand\u2028", "bad \xff"}
	for range 3000 {
		some := func() float64 { // many sizes, often nothing
			if r.IntN(4) == 0 {
				return 0
			}
			return (r.Float64() - 0.5) * math.Pow(10, float64(r.IntN(14)-8))
		}
		m := &mesh.Mesh{}
		for _, name := range names {
			m.Stations = append(m.Stations, mesh.Pole{Station: linkbudget.Station{Name: name}})
		}
		level := func() linkbudget.Level {
			return linkbudget.Level{EIRPDBm: linkbudget.DBm(some()), RxDBm: linkbudget.DBm(some()),
				SensitivityDBm: linkbudget.DBm(some()),
				SNRDB:          linkbudget.DB(some()), MarginDB: linkbudget.DB(some())}
		}
		p := mesh.Pair{A: r.Int32N(int32(len(names))), B: r.Int32N(int32(len(names))), Link: r.Int32N(2) - 1,
			Required: r.IntN(2) == 0, BeyondRules: r.IntN(2) == 0}
		p.Summary = linkbudget.Summary{
			DistM: some(), AzimuthDeg: some(), BackAzimuthDeg: some(), ElevationDeg: some(), BackElevationDeg: some(),
			FreeSpaceDB: linkbudget.DB(some()), DiffractionDB: linkbudget.DB(some()), TroposcatterDB: linkbudget.DB(some()),
			ClutterDB: linkbudget.DB(some()), LossDB: linkbudget.DB(some()), MarginDB: linkbudget.DB(some()),
			SigmaDB:     linkbudget.DB(some()),
			Probability: some(), TimePercentHeld: some(), Delivery: some(), PessimisticMarginDB: linkbudget.DB(some()), PessimisticProbability: some(),
			Verdict: linkbudget.Marginal, FilledPoints: r.Int32N(3)}
		p.Forward, p.Backward = level(), level()
		p.Doubt = linkbudget.DoubtParts{ModelDB: linkbudget.DB(some()), RippleDB: linkbudget.DB(some()),
			TerrainDB: linkbudget.DB(some()), HardwareDB: linkbudget.DB(some()), OtherDB: linkbudget.DB(some())}
		p.Path, p.Situation = diffraction.PathGrazing, linkbudget.SituationLow
		if r.IntN(3) > 0 {
			p.Worst = &mesh.PairClearance{F1: some(), M: some(), AtM: some(), LonDeg: some(), LatDeg: some()}
		}
		if r.IntN(3) == 0 {
			p.PairNotes = &mesh.PairNotes{Reasons: []string{"one & two", "<three>"}, Counsel: &linkbudget.Counsel{Best: some()}}
		}
		if r.IntN(3) == 0 {
			p.Verdict, p.Worst = linkbudget.Unknown, nil
			if p.PairNotes == nil {
				p.PairNotes = &mesh.PairNotes{}
			}
			p.PairNotes.Gap = &mesh.PairGap{What: "void", FromM: some(), ToM: some(), LonDeg: some(), LatDeg: some(),
				Count: r.IntN(3)}
		}
		l := &link{Pair: &p, from: names[p.A], to: names[p.B], told: planned | named | located,
			heightAM: some(), heightBM: some()}
		if r.IntN(2) == 0 {
			l.rank = &mesh.LinkRank{Role: mesh.RoleFaster, JoinedPairs: r.IntN(2), RedundantPairs: r.IntN(2), Detour: some()}
		}
		var want bytes.Buffer
		enc := json.NewEncoder(&want)
		enc.SetEscapeHTML(false)
		if err := enc.Encode(newMeshLinkJSON(m, l)); err != nil {
			t.Fatal(err)
		}
		var got object
		if l.write(&got); got.err != nil || string(got.b)+"\n" != want.String() {
			t.Fatalf("error %v\n%s\nwant\n%s", got.err, got.b, want.String())
		}
	}
	bad := &link{Pair: &mesh.Pair{}}
	bad.DistM = math.NaN()
	var o object
	if bad.write(&o); o.err == nil {
		t.Error("NaN was written")
	}
	o = object{}
	if o.properties(bad); o.err == nil {
		t.Errorf("NaN was written: %s", o.b)
	}
}
