package mesh_test

import (
	"bytes"
	"context"
	"encoding/json"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
)

// FuzzReadPart: what reads as a part is written and read again the same, and merges or is refused;
// a mesh that comes of it has figures that can be written.
func FuzzReadPart(f *testing.F) {
	p := hills(4, 2)
	opt := hillOptions()
	opt.Gateways, opt.Advice = nil, false
	for _, of := range [][2]int{{1, 1}, {1, 2}} {
		opt.Shard, opt.Shards = of[0], of[1]
		part, err := checkPart(p, rolling{}, opt)
		if err != nil {
			f.Fatal(err)
		}
		var b bytes.Buffer
		if err := part.WriteJSON(&b); err != nil {
			f.Fatal(err)
		}
		f.Add(b.Bytes())
	}
	f.Add([]byte(`{"schema":2,"command":"plan part","pairs":[{}],"plan":{"type":"FeatureCollection","features":[]}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		part, err := mesh.ReadPart(bytes.NewReader(data))
		if err != nil {
			return
		}
		var first, second bytes.Buffer
		if err := part.WriteJSON(&first); err != nil {
			t.Fatalf("read, and cannot be written: %v", err)
		}
		again, err := mesh.ReadPart(bytes.NewReader(first.Bytes()))
		if err != nil {
			t.Fatalf("written again: %v\n%s", err, &first)
		}
		if err := again.WriteJSON(&second); err != nil || !bytes.Equal(first.Bytes(), second.Bytes()) {
			t.Fatalf("written twice: %v\n%s", err, cmp.Diff(first.String(), second.String()))
		}
		if m, err := mesh.Merge(context.Background(), part); err == nil {
			bytesOf(t, m)
		}
	})
}

// FuzzCheck: the stations of any plan that reads are checked, or the plan is refused; every
// pair is judged, and the figures can be written, which NaN cannot.
func FuzzCheck(f *testing.F) {
	f.Add(`"height_m":6`, `"status":"proposed"`, `"required":true`, 10.1, 50.1, 0.01)
	f.Add(`"inside":"wood","tx_dbm":-30`, `"beam":"sector","azimuth_deg":90,"tilt_deg":-45`, `"sf":5,"bw_khz":62.5`, 10.24,
		50.0, 0.02)
	f.Add(`"noise_rise_db":60`, `"gain_dbi":30,"vertical_beamwidth_deg":1`, `"freq_mhz":100`, 10.9, 50.9, 1e-7)
	opt := hillOptions()
	opt.Gateways, opt.Advice, opt.Workers, opt.RangeM = []string{"A"}, false, 1, 8e3
	opt.MaxPairs, opt.MaxPoints = 10, 20e3
	f.Fuzz(func(t *testing.T, a, b, link string, lonDeg, latDeg, stepDeg float64) {
		comma := func(s string) string {
			if s == "" {
				return ""
			}
			return "," + s
		}
		at := func(k float64) string {
			text, err := json.Marshal(orb.Point{lonDeg + k*stepDeg, latDeg + k*k*stepDeg})
			if err != nil {
				return "[0,0]"
			}
			return string(text)
		}
		pole := func(name, props string, k float64) string {
			return `{"type":"Feature","properties":{"name":"` + name + `"` + comma(props) +
				`},"geometry":{"type":"Point","coordinates":` + at(k) + `}}`
		}
		p, err := plan.Read("plan", []byte(`{"type":"FeatureCollection","features":[`+pole("A", a, 0)+`,`+pole("B", b, 1)+`,`+
			pole("C", "", 2)+`,{"type":"Feature","properties":{"from":"A","to":"B"`+comma(link)+
			`},"geometry":{"type":"LineString","coordinates":[`+at(0)+`,`+at(1)+`]}}]}`))
		if err != nil {
			return
		}
		m, err := mesh.Check(context.Background(), p, rolling{}, opt)
		if err != nil {
			return
		}
		for _, pair := range m.Pairs {
			if pair.Verdict < linkbudget.Reaches || pair.Verdict > linkbudget.Unknown {
				t.Fatalf("%+v", pair)
			}
		}
		bytesOf(t, m)
	})
}
