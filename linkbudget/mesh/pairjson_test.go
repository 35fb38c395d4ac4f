package mesh

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
	"unsafe"

	"github.com/google/go-cmp/cmp"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/diffraction"
)

// A plan of 2,000 poles has 80,000 pairs, and the system clears every page of
// them before they are written: 33 figures of 8 bytes, 4 indices and counts of
// 4, six bytes in 8, and two pointers. A new field that does not fit is worth it or
// belongs to the notes.
func TestPairIsSmall(t *testing.T) {
	const want = 33*8 + 4*4 + 8 + 2*8
	if got := unsafe.Sizeof(Pair{}); unsafe.Sizeof(uintptr(0)) == 8 && got != want {
		t.Errorf("%d bytes, want %d", got, want)
	}
}

// drawnPair has every figure or lacks it.
func drawnPair(t *testing.T, r *rand.Rand) (p Pair) {
	t.Helper()
	fill(t, "Pair", reflect.ValueOf(&p).Elem(), r)
	if n := p.PairNotes; n != nil && n.Gap == nil && n.Reasons == nil && n.Counsel == nil {
		p.PairNotes = nil
	}
	return p
}

// fill puts a figure into every field: drawn, in every second one, or without r not zero.
func fill(t *testing.T, name string, v reflect.Value, r *rand.Rand) {
	t.Helper()
	whole, figure, size := 2, 0.25, 1
	if k := v.Kind(); r != nil && k != reflect.Struct && k != reflect.Array {
		if r.IntN(2) == 0 {
			return
		}
		whole, figure, size = r.IntN(4), (r.Float64()-0.5)*math.Pow(10, float64(r.IntN(30)-15)), 1+r.IntN(2)
	}
	switch v.Kind() {
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		v.SetInt(int64(whole))
	case reflect.Uint8, reflect.Uint16, reflect.Uint32:
		v.SetUint(uint64(whole))
	case reflect.Float32, reflect.Float64:
		v.SetFloat(figure)
	case reflect.String:
		v.SetString("<b> & \"c\"")
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(t, name, v.Elem(), r)
	case reflect.Array:
		for i := range v.Len() {
			fill(t, name, v.Index(i), r)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), size, size))
		for i := range size {
			fill(t, name, v.Index(i), r)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			fill(t, name+"."+v.Type().Field(i).Name, v.Field(i), r)
		}
	default:
		t.Fatalf("%s: a %v is not filled in here yet", name, v.Kind())
	}
}

func TestPairsComeBack(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		p := drawnPair(t, r)
		text, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		var again Pair
		if err := json.Unmarshal(text, &again); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(p, again); diff != "" {
			t.Fatalf("read again (-want +got):\n%s", diff)
		}
	}
	bad := Pair{}
	bad.DistM = math.NaN()
	if text, err := json.Marshal(bad); err == nil {
		t.Errorf("NaN was written: %s", text)
	}
	for _, text := range []string{`{"verdict":"reached"}`, `{"a":2147483648}`, `{"path":1}`} {
		if err := json.Unmarshal([]byte(text), new(Pair)); err == nil {
			t.Errorf("%s was read", text)
		}
	}
}

// Every field of a Pair, alone, is written and read again: two with one key, which
// encoding/json leaves out both, or one without, would not come back.
func TestEveryFieldOfAPairIsWritten(t *testing.T) {
	seen := map[string]string{}
	var each func(name string, kind reflect.Type, at func(p *Pair) reflect.Value)
	each = func(name string, kind reflect.Type, at func(p *Pair) reflect.Value) {
		if kind.Kind() == reflect.Struct {
			for i := range kind.NumField() {
				f := kind.Field(i)
				each(name+"."+f.Name, f.Type, func(p *Pair) reflect.Value { return at(p).Field(i) })
			}
			return
		}
		if kind == reflect.TypeFor[*PairNotes]() {
			each(name, kind.Elem(), func(p *Pair) reflect.Value {
				p.PairNotes = &PairNotes{}
				return reflect.ValueOf(p.PairNotes).Elem()
			})
			return
		}
		var p, again Pair
		fill(t, name, at(&p), nil)
		text, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		if other, taken := seen[string(text)]; taken {
			t.Errorf("with %s it is written like with %s: %s", name, other, text)
		}
		seen[string(text)] = name
		if err := json.Unmarshal(text, &again); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if diff := cmp.Diff(p, again); diff != "" {
			t.Errorf("%s, written as %s (-want +got):\n%s", name, text, diff)
		}
	}
	each("Pair", reflect.TypeFor[Pair](), func(p *Pair) reflect.Value { return reflect.ValueOf(p).Elem() })
	if len(seen) < 40 {
		t.Errorf("%d fields: the test passes some over", len(seen))
	}
}

// The keys of a part stay: this is one that was written, a figure of each, in an order of
// its own.
func TestPairsOfAnotherOrderAreRead(t *testing.T) {
	const text = `{"a":4,"b":3,"link":1,"required":true,"distance_m":8206.059857858005,"azimuth_deg":339.5860822568088,
		"back_azimuth_deg":159.56700702536185,"elevation_deg":-0.22317309687635883,"back_elevation_deg":0.16782459360381483,
		"path":"grazing","situation":"obstructed","worst":{"clearance_f1":0.3473885690314515,"clearance_m":1.8296300890894586,
		"clearance_at_m":85.55543518368965,"lon_deg":-84.24083333333333,"lat_deg":36.55722256227281},
		"free_space_db":109.95894927645848,"diffraction_db":13.022305898211139,"troposcatter_db":-0.25,
		"clutter_db":4.783238912970431,
		"loss_db":127.76449408764006,"forward":{"eirp_dbm":23.6499,"rx_dbm":-108.4646,"sensitivity_dbm":-125.9855,
		"snr_db":2.5208,
		"margin_db":17.5208},
		"backward":{"eirp_dbm":23.65,"rx_dbm":-108.5,"sensitivity_dbm":-125.75,"snr_db":2.75,"margin_db":17.25},
		"margin_db":17.520841699121846,
		"doubt":{"model_db":6.585,"ripple_db":0.5,"terrain_db":1.833,"hardware_db":3,"other_db":6},
		"sigma_db":9.577318511723572,"probability":0.9663308902938222,"delivery":1,"pessimistic_margin_db":17.496587233721286,
		"pessimistic_probability":0.9661409013696083,"verdict":"reaches","gap":{"what":"void","from_m":1,"to_m":2,"lon_deg":3,
		"lat_deg":4,"count":5},"filled_points":7,"beyond_rules":true,"reasons":["diffraction over the ground costs 13.0 dB"],
		"counsel":{"Advice":null,"Best":0.5,"Beyond":true}}`
	var want, got Pair
	want.A, want.B, want.Link, want.Required, want.BeyondRules = 4, 3, 1, true, true
	want.Summary = linkbudget.Summary{
		FilledPoints: 7, Verdict: linkbudget.Reaches,
		Path: diffraction.PathGrazing, Situation: linkbudget.SituationObstructed,
		Probability: 0.9663308902938222, Delivery: 1, MarginDB: 17.520841699121846, SigmaDB: 9.577318511723572,
		DistM: 8206.059857858005, AzimuthDeg: 339.5860822568088, BackAzimuthDeg: 159.56700702536185,
		ElevationDeg: -0.22317309687635883, BackElevationDeg: 0.16782459360381483,
		FreeSpaceDB: 109.95894927645848, DiffractionDB: 13.022305898211139,
		TroposcatterDB: -0.25, ClutterDB: 4.783238912970431,
		LossDB: 127.76449408764006, PessimisticMarginDB: 17.496587233721286, PessimisticProbability: 0.9661409013696083,
	}
	want.Forward = linkbudget.Level{
		EIRPDBm: 23.6499, RxDBm: -108.4646, SensitivityDBm: -125.9855, SNRDB: 2.5208, MarginDB: 17.5208,
	}
	want.Backward = linkbudget.Level{
		EIRPDBm: 23.65, RxDBm: -108.5, SensitivityDBm: -125.75, SNRDB: 2.75, MarginDB: 17.25,
	}
	want.Doubt = linkbudget.DoubtParts{ModelDB: 6.585, RippleDB: 0.5, TerrainDB: 1.833, HardwareDB: 3, OtherDB: 6}
	want.Worst = &PairClearance{
		0.3473885690314515, 1.8296300890894586, 85.55543518368965, -84.24083333333333, 36.55722256227281,
	}
	want.PairNotes = &PairNotes{
		Gap: &PairGap{"void", 1, 2, 3, 4, 5}, Reasons: []string{"diffraction over the ground costs 13.0 dB"},
		Counsel: &linkbudget.Counsel{Best: 0.5, Beyond: true},
	}
	if err := json.Unmarshal([]byte(text), &got); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
