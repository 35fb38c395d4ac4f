package calibrate

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// hills is invented ground of 30 by 20 km.
func hills() *terrain.Grid {
	g := &terrain.Grid{
		Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 50.2, StepLonDeg: 0.002, StepLatDeg: 0.002, Cols: 201, Rows: 101},
		HeightM: make([]float32, 201*101),
	}
	for i := range g.HeightM {
		x, y := float64(i%201), float64(i/201)
		g.HeightM[i] = float32(300 + 40*math.Sin(x/9)*math.Cos(y/7))
	}
	return g
}

// tenNodes is a plan of them over the hills.
func tenNodes(t *testing.T) Predictor {
	t.Helper()
	r := rand.New(rand.NewPCG(7, 8))
	var b strings.Builder
	for i := range 10 {
		fmt.Fprintf(&b, `,{"type":"Feature","geometry":{"type":"Point","coordinates":[%.4f,%.4f]},"properties":{"name":"n%d","height_m":%d}}`,
			10.05+0.3*r.Float64(), 50.03+0.14*r.Float64(), i, 4+i)
	}
	p, err := plan.Read("plan", []byte(`{"type":"FeatureCollection","features":[`+b.String()[1:]+`]}`))
	if err != nil {
		t.Fatal(err)
	}
	return Predictor{Plan: p, DEM: hills(), Settings: plan.Settings{Station: linkbudget.DefaultStation("", 0),
		Environment: linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 11, BWHz: 125e3, CR: 1}}}}
}

// inventedLog is what the nodes would hear, of each other's packets with numbers: area, node by
// number, path and packets differ from the prediction; name renames nodes.
func inventedLog(t *testing.T, p Predictor, areaDB float64, name func(int) string) string {
	t.Helper()
	r := rand.New(rand.NewPCG(11, 12))
	half := (&comparison{p: p}).fromSensitivity(&signal{})
	var b strings.Builder
	b.WriteString("from,to,level_dbm,seq\n")
	for i := range p.Plan.Stations {
		for k := i + 1; k < len(p.Plan.Stations); k++ {
			f, err := p.path(context.Background(), i, k, nil, 0)
			if err != nil || f.Unknown != "" {
				t.Fatal(err, f.Unknown)
			}
			own := areaDB + 4*r.NormFloat64()
			for way, ends := range [2][2]int{{i, k}, {k, i}} {
				for n := range 30 {
					level := f.LevelDBm[way] + own + 2*r.NormFloat64()
					if level > f.SensitivityDBm[way]+half {
						fmt.Fprintf(&b, "%s,%s,%.2f,%d\n", name(ends[0]), name(ends[1]), level, n)
					}
				}
			}
		}
	}
	return b.String()
}

func compared(t *testing.T, p Predictor, text string, opt Options) *Answer {
	t.Helper()
	how, err := p.Options()
	if err != nil {
		t.Fatal(err)
	}
	l := NewLog(how)
	if err := l.Read(context.Background(), "log", strings.NewReader(text)); err != nil {
		t.Fatal(err)
	}
	a, err := Compare(context.Background(), l, p, opt)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func plainName(i int) string { return fmt.Sprintf("n%d", i) }

// An area 8 dB worse than predicted is found, the more so when what was not heard counts; with
// heard packets alone it seems better.
func TestAreaIsFound(t *testing.T) {
	p := tenNodes(t)
	text := inventedLog(t, p, -8, plainName)
	a, only := compared(t, p, text, Options{}), compared(t, p, text, Options{HeardOnly: true})
	t.Logf("with lost packets %+.1f ± %.1f dB, heard alone %+.1f ± %.1f dB; %d and %d links", a.Bias.DB, a.Bias.SigmaDB,
		only.Bias.DB,
		only.Bias.SigmaDB, len(a.Links), len(only.Links))
	if !(a.Bias.Low() < -8 && a.Bias.High() > -8) {
		t.Errorf("area %+.1f dB (%+.1f to %+.1f), drawn -8", a.Bias.DB, a.Bias.Low(), a.Bias.High())
	}
	if !(only.Bias.DB > a.Bias.DB) || !(len(only.Links) < len(a.Links)) {
		t.Errorf("heard alone %+.1f dB, with what was not heard %+.1f dB", only.Bias.DB, a.Bias.DB)
	}
	if a.Exchanged != nil {
		t.Errorf("nothing was exchanged, found %+v", a.Exchanged)
	}
}

// Two nodes whose names are swapped in the log are found, and the log is not changed.
func TestExchangedNamesAreFound(t *testing.T) {
	p := tenNodes(t)
	for _, pair := range [][2]int{{0, 5}, {2, 7}} {
		a := compared(t, p, inventedLog(t, p, -3, func(i int) string {
			switch i {
			case pair[0]:
				i = pair[1]
			case pair[1]:
				i = pair[0]
			}
			return plainName(i)
		}), Options{})
		want := fmt.Sprintf("n%d n%d", pair[0], pair[1])
		if len(a.Exchanged) != 1 || a.Exchanged[0].A+" "+a.Exchanged[0].B != want {
			t.Errorf("%s exchanged: found %+v", want, a.Exchanged)
		}
	}
}

// Before data the variances of a link are the square of its stated doubt.
func TestPriorsAddUpToTheStatedDoubt(t *testing.T) {
	p := tenNodes(t)
	how, err := p.Options()
	if err != nil {
		t.Fatal(err)
	}
	l := NewLog(how)
	if err := l.Read(context.Background(), "log", strings.NewReader(inventedLog(t, p, 0, plainName))); err != nil {
		t.Fatal(err)
	}
	c := &comparison{p: p, opt: Options{SeasonDB: 2.5}, signals: l.signals(p, false)}
	if c.paths, err = p.all(context.Background(), c.signals); err != nil {
		t.Fatal(err)
	}
	c.build(&Answer{})
	for key, f := range c.paths {
		sum := f.HardwareDB*f.HardwareDB + c.pathVariance(key.a, key.b, f)
		for _, station := range [2]int{key.a, key.b} {
			n := c.model.nodes[c.node[station]]
			sum += n.hardware + n.place
		}
		if math.Abs(math.Sqrt(sum)-f.SigmaDB) > 1e-9 {
			t.Errorf("path %v: %.6f dB, stated %.6f", key, math.Sqrt(sum), f.SigmaDB)
		}
	}
}

// What a plan is given says of every heard path what the answer says, whatever the order of
// its ends; a node that was moved or raised has lost what was heard of its paths; nothing
// changes without it.
func TestCalibrationInThePlan(t *testing.T) {
	p := tenNodes(t)
	a := compared(t, p, inventedLog(t, p, -8, plainName), Options{})
	var text strings.Builder
	if err := NewFile(a.Calibration, p.Settings).Write(&text); err != nil {
		t.Fatal(err)
	}
	f, err := ReadFile("calibration.json", []byte(text.String()))
	if err != nil {
		t.Fatal(err)
	}
	cal, notes := f.For(p.Plan, p.Settings)
	if notes != nil || len(cal.Paths) == 0 {
		t.Errorf("notes %v, %d paths", notes, len(cal.Paths))
	}
	evaluate := func(from, to string, raised float64, c *linkbudget.Calibration) linkbudget.Result {
		x, _ := p.Plan.Station(from)
		y, _ := p.Plan.Station(to)
		profile, err := terrain.NewProfile(p.DEM, x.At, y.At, terrain.ProfileOptions{})
		if err != nil {
			t.Fatal(err)
		}
		s, env := p.Settings.Fill(x), p.Settings.Environment
		s.HeightM += raised
		env.Calibration = c
		r, err := linkbudget.Evaluate(profile, s, p.Settings.Fill(y), env)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	for _, l := range a.Links {
		before, after := evaluate(l.From, l.To, 0, nil), evaluate(l.From, l.To, 0, cal)
		if more := float64(after.Forward.RxDBm - before.Forward.RxDBm); math.Abs(more-l.After.DB) > 1e-9 {
			t.Errorf("%s to %s: %+.3f dB, the answer says %+.3f", l.From, l.To, more, l.After.DB)
		}
		if got := float64(after.Doubt.SigmaDB); got < l.After.SigmaDB-1e-9 || got < 2.5 {
			t.Errorf("%s to %s: doubt %.3f dB, the answer says %.3f, season 2.5", l.From, l.To, got, l.After.SigmaDB)
		}
		var squares, sum float64
		for _, item := range after.Doubt.Items {
			squares += float64(item.DB * item.DB)
		}
		sum = float64(after.Forward.TxDBm)
		for _, item := range after.Forward.Items {
			sum += float64(item.DB)
		}
		if math.Abs(math.Sqrt(squares)-float64(after.Doubt.SigmaDB)) > 1e-9 ||
			math.Abs(sum-float64(after.Forward.RxDBm)) > 1e-9 {
			t.Errorf("%s to %s: the lists do not add up", l.From, l.To)
		}
		// A mast that grows by a centimetre does not forget what was heard; one of 40 m more does.
		for _, raisedM := range []float64{0.01, 40} {
			known, plain := evaluate(l.From, l.To, raisedM, cal), evaluate(l.From, l.To, raisedM, nil)
			more := float64(known.Forward.RxDBm - plain.Forward.RxDBm)
			if small := raisedM < 1; known.Calibrated.Heard != small || small && (math.Abs(more-l.After.DB) > 0.05 ||
				math.Abs(float64(known.Doubt.SigmaDB-after.Doubt.SigmaDB)) > 0.05) {
				t.Errorf("%s to %s raised by %g m: %+.2f ± %.2f dB, was %+.2f ± %.2f", l.From, l.To, raisedM, more,
					known.Doubt.SigmaDB, l.After.DB, after.Doubt.SigmaDB)
			}
		}
	}
	moved := *p.Plan
	moved.Stations = append([]plan.Station(nil), moved.Stations...)
	moved.Stations[3].At = orb.Point{moved.Stations[3].At[0] + 0.001, moved.Stations[3].At[1]}
	cal, notes = f.For(&moved, p.Settings)
	if len(notes) != 1 || !strings.Contains(notes[0], "n3") || len(cal.Nodes) != len(f.Nodes)-1 {
		t.Errorf("a node moved by 70 m: %v, %d of %d nodes", notes, len(cal.Nodes), len(f.Nodes))
	}
}

// Where half of the packets arrive: 20 bytes at SF7, 4/5, have that at -9.46 dB by the model of
// the waterfall, shifted by -0.61 dB so that 64 bytes lose 1 % at the data sheet's -7.5 dB
// (second derivation, integral of the symbol error rate).
func TestHalfOfThePackets(t *testing.T) {
	var p Predictor
	p.Settings.Environment = linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 7, BWHz: 125e3, CR: 1},
		Packet: linkbudget.Packet{PayloadB: 20, PreambleSymbols: 8}}
	c := &comparison{p: p}
	if got, want := c.fromSensitivity(&signal{}), -9.46-0.61+7.5; math.Abs(got-want) > 0.02 {
		t.Errorf("%.3f dB from the sensitivity, wanted %.2f", got, want)
	}
	if got := c.fromSensitivity(&signal{sf: 9}); math.Abs(got-(-15.11+0.09+7.5)) > 0.02 {
		t.Errorf("SF9 in the log: %.3f dB from the sensitivity of SF7, wanted %.2f", got, -15.11+0.09+7.5)
	}
}
