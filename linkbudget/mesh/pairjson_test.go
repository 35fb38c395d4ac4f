package mesh

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"unsafe"

	"github.com/google/go-cmp/cmp"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/diffraction"
)

// A plan of 2,000 poles has 80,000 pairs, and the system clears every page of
// them before they are written: 31 figures of 8 bytes, 4 indices and counts of
// 4, five bytes in 8, and two pointers. A new field that does not fit is worth it or
// belongs to the notes.
func TestPairIsSmall(t *testing.T) {
	const want = 31*8 + 4*4 + 8 + 2*8
	if got := unsafe.Sizeof(Pair{}); unsafe.Sizeof(uintptr(0)) == 8 && got != want {
		t.Errorf("%d bytes, want %d", got, want)
	}
}

// pairText is a pair written the other way, by its tags alone.
type pairText struct {
	A                      int                 `json:"a"`
	B                      int                 `json:"b"`
	Link                   int                 `json:"link"`
	Required               bool                `json:"required,omitempty"`
	DistM                  float64             `json:"distance_m"`
	AzimuthDeg             float64             `json:"azimuth_deg"`
	BackAzimuthDeg         float64             `json:"back_azimuth_deg"`
	ElevationDeg           float64             `json:"elevation_deg,omitempty"`
	BackElevationDeg       float64             `json:"back_elevation_deg,omitempty"`
	Path                   string              `json:"path,omitempty"`
	Situation              string              `json:"situation,omitempty"`
	Worst                  *PairClearance      `json:"worst,omitempty"`
	FreeSpaceDB            float64             `json:"free_space_db,omitempty"`
	DiffractionDB          float64             `json:"diffraction_db,omitempty"`
	TroposcatterDB         float64             `json:"troposcatter_db,omitempty"`
	ClutterDB              float64             `json:"clutter_db,omitempty"`
	LossDB                 float64             `json:"loss_db,omitempty"`
	Forward                PairDirection       `json:"forward"`
	Backward               PairDirection       `json:"backward"`
	MarginDB               float64             `json:"margin_db,omitempty"`
	Doubt                  PairDoubt           `json:"doubt"`
	SigmaDB                float64             `json:"sigma_db,omitempty"`
	Probability            float64             `json:"probability,omitempty"`
	Delivery               float64             `json:"delivery,omitempty"`
	PessimisticMarginDB    float64             `json:"pessimistic_margin_db,omitempty"`
	PessimisticProbability float64             `json:"pessimistic_probability,omitempty"`
	Verdict                string              `json:"verdict"`
	Gap                    *PairGap            `json:"gap,omitempty"`
	FilledPoints           int                 `json:"filled_points,omitempty"`
	BeyondRules            bool                `json:"beyond_rules,omitempty"`
	Reasons                []string            `json:"reasons,omitempty"`
	Counsel                *linkbudget.Counsel `json:"counsel,omitempty"`
}

// drawnPair has every figure or lacks it, both ways alike.
func drawnPair(r *rand.Rand) (p Pair, same pairText) {
	one := func(v float64) float64 { return float64(r.IntN(2)) * v }
	some := func() float64 { return one((r.Float64() - 0.5) * math.Pow(10, float64(r.IntN(30)-15))) }
	db := func(p *linkbudget.DB, same *float64) { *same = some(); *p = linkbudget.DB(*same) }
	figure := func(p *float64, same *float64) { *same = some(); *p = *same }
	p.A, p.B, p.Link, p.FilledPoints = r.Int32(), r.Int32(), r.Int32N(3)-1, r.Int32N(2)*r.Int32()
	same.A, same.B, same.Link, same.FilledPoints = int(p.A), int(p.B), int(p.Link), int(p.FilledPoints)
	p.Required, p.BeyondRules = r.IntN(2) == 0, r.IntN(2) == 0
	same.Required, same.BeyondRules = p.Required, p.BeyondRules
	p.Verdict, p.Path, p.Situation = linkbudget.Verdict(r.IntN(5)), diffraction.PathClass(r.IntN(4)), linkbudget.Situation(r.IntN(5))
	same.Verdict, same.Path, same.Situation = p.Verdict.String(), p.Path.String(), p.Situation.String()
	for _, f := range []struct{ p, same *float64 }{{&p.DistM, &same.DistM}, {&p.AzimuthDeg, &same.AzimuthDeg},
		{&p.BackAzimuthDeg, &same.BackAzimuthDeg}, {&p.ElevationDeg, &same.ElevationDeg}, {&p.BackElevationDeg, &same.BackElevationDeg},
		{&p.Probability, &same.Probability}, {&p.Delivery, &same.Delivery}, {&p.PessimisticProbability, &same.PessimisticProbability}} {
		figure(f.p, f.same)
	}
	for _, f := range []struct {
		p    *linkbudget.DB
		same *float64
	}{{&p.FreeSpaceDB, &same.FreeSpaceDB}, {&p.DiffractionDB, &same.DiffractionDB}, {&p.TroposcatterDB, &same.TroposcatterDB},
		{&p.ClutterDB, &same.ClutterDB}, {&p.LossDB, &same.LossDB}, {&p.MarginDB, &same.MarginDB}, {&p.SigmaDB, &same.SigmaDB},
		{&p.PessimisticMarginDB, &same.PessimisticMarginDB}} {
		db(f.p, f.same)
	}
	for _, d := range []*PairDirection{&p.Forward, &p.Backward} {
		*d = PairDirection{linkbudget.DBm(some()), linkbudget.DBm(some()), linkbudget.DBm(some()), linkbudget.DB(some()), linkbudget.DB(some())}
	}
	p.Doubt = PairDoubt{linkbudget.DB(some()), linkbudget.DB(some()), linkbudget.DB(some()), linkbudget.DB(some()), linkbudget.DB(some())}
	same.Forward, same.Backward, same.Doubt = p.Forward, p.Backward, p.Doubt
	if r.IntN(2) == 0 {
		p.Worst = &PairClearance{some(), some(), some(), some(), some()}
		same.Worst = p.Worst
	}
	if r.IntN(2) == 0 {
		p.Notes = &PairNotes{Reasons: []string{"<b> & \"c\""}}
		same.Reasons = p.Notes.Reasons
		if r.IntN(2) == 0 {
			p.Notes.Gap = &PairGap{"void", some(), some(), some(), some(), r.IntN(3)}
			same.Gap = p.Notes.Gap
		}
		if r.IntN(2) == 0 {
			p.Notes.Counsel = &linkbudget.Counsel{Best: some()}
			same.Counsel = p.Notes.Counsel
		}
	}
	return p, same
}

func TestPairsAreWrittenByTheirTags(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		p, same := drawnPair(r)
		got, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		want, err := json.Marshal(same)
		if err != nil || string(got) != string(want) {
			t.Fatalf("%v\n%s\nwant\n%s", err, got, want)
		}
		again, _ := drawnPair(r) // nothing of it must stay
		if err := json.Unmarshal(got, &again); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(p, again); diff != "" {
			t.Fatalf("read again (-want +got):\n%s", diff)
		}
	}
	if text, err := json.Marshal(Pair{DistM: math.NaN()}); err == nil {
		t.Errorf("NaN was written: %s", text)
	}
	for _, text := range []string{`{"verdict":"reached"}`, `{"a":2147483648}`, `{"path":1}`} {
		if err := json.Unmarshal([]byte(text), new(Pair)); err == nil {
			t.Errorf("%s was read", text)
		}
	}
}

// Every figure of a Pair and of its notes, alone, is written and read again: a field
// that pairJSON or its move leave out does not come back.
func TestEveryFieldOfAPairIsWritten(t *testing.T) {
	seen := map[string]string{}
	check := func(name string, p Pair) {
		text, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		if other, taken := seen[string(text)]; taken {
			t.Errorf("with %s it is written like with %s: %s", name, other, text)
		}
		seen[string(text)] = name
		var again Pair
		if err := json.Unmarshal(text, &again); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if diff := cmp.Diff(p, again); diff != "" {
			t.Errorf("%s, written as %s (-want +got):\n%s", name, text, diff)
		}
	}
	check("nothing", Pair{})
	for i := range reflect.TypeFor[Pair]().NumField() {
		var p Pair
		name := reflect.TypeFor[Pair]().Field(i).Name
		if name == "Notes" {
			continue
		}
		fill(t, name, reflect.ValueOf(&p).Elem().Field(i))
		check(name, p)
	}
	for i := range reflect.TypeFor[PairNotes]().NumField() {
		p := Pair{Notes: &PairNotes{}}
		name := "Notes." + reflect.TypeFor[PairNotes]().Field(i).Name
		fill(t, name, reflect.ValueOf(p.Notes).Elem().Field(i))
		check(name, p)
	}
}

// fill puts a figure other than zero into every field.
func fill(t *testing.T, name string, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		v.SetInt(2)
	case reflect.Uint8, reflect.Uint16, reflect.Uint32:
		v.SetUint(2)
	case reflect.Float32, reflect.Float64:
		v.SetFloat(0.25)
	case reflect.String:
		v.SetString("text")
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(t, name, v.Elem())
	case reflect.Array:
		for i := range v.Len() {
			fill(t, name, v.Index(i))
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fill(t, name, v.Index(0))
	case reflect.Struct:
		for i := range v.NumField() {
			fill(t, name+"."+v.Type().Field(i).Name, v.Field(i))
		}
	default:
		t.Fatalf("%s: a %v is not filled in here yet", name, v.Kind())
	}
}

// What encoding/json does of itself stays: null changes nothing, and <, > and & are
// written as the encoder is told.
func TestPairsAreJSONAsAnyOther(t *testing.T) {
	p := Pair{A: 1, B: 2, Link: -1, Notes: &PairNotes{Reasons: []string{"<b> & \"c\""}}}
	same := pairText{A: 1, B: 2, Link: -1, Reasons: p.Notes.Reasons}
	for _, escape := range []bool{false, true} {
		written := func(v any) string {
			var b strings.Builder
			e := json.NewEncoder(&b)
			e.SetEscapeHTML(escape)
			if err := e.Encode(v); err != nil {
				t.Fatal(err)
			}
			return b.String()
		}
		if got, want := written(p), written(same); got != want {
			t.Errorf("escaped %v:\n%s\nwant\n%s", escape, got, want)
		}
	}
	for _, text := range []string{`null`, ` null`} {
		again := p
		if err := json.Unmarshal([]byte(text), &again); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(p, again); diff != "" {
			t.Errorf("%s changed a pair (-want +got):\n%s", text, diff)
		}
	}
}
