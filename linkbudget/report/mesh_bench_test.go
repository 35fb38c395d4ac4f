package report_test

import (
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/report"
)

// BenchmarkMesh writes all pairs of 100 poles in each form; read ns/pair.
func BenchmarkMesh(b *testing.B) {
	var features []string
	for i := range 100 {
		name := fmt.Sprint("Pole ", i)
		if i == 0 {
			name = "Ash" // the gateway
		}
		features = append(features, fmt.Sprintf(`{"type":"Feature","properties":{"name":%q},"geometry":{"type":"Point","coordinates":[%.6f,%.6f]}}`,
			name, 10+float64(i%10)*0.0213, 50+float64(i/10)*0.0137))
	}
	m := checked(b, `{"type":"FeatureCollection","features":[`+strings.Join(features, ",")+`]}`, nil)
	for _, form := range []struct {
		name  string
		write func(io.Writer, *mesh.Mesh) error
	}{{"csv", report.MeshCSV}, {"geojson", report.MeshGeoJSON}, {"json", report.MeshJSON}, {"text", report.MeshText}} {
		b.Run(form.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if err := form.write(io.Discard, m); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(b.Elapsed().Seconds()/float64(b.N)/float64(len(m.Pairs))*1e9, "ns/pair")
		})
	}
}
