package plan

import (
	"fmt"
	"testing"
)

// tenThousand is a plan of 10 000 points with the usual keys.
func tenThousand() []byte {
	var features []string
	for i := range 10_000 {
		features = append(features, feature(
			fmt.Sprintf(`{"name":"Pole %d","status":"proposed","height_m":6.5,"tx_dbm":22,"gain_dbi":2.15,"inside":"wood","owner":"x"}`, i),
			fmt.Sprintf(`{"type":"Point","coordinates":[%.5f,%.5f]}`, -84+float64(i)*1e-4, 36.5)))
	}
	return []byte(collection(features...))
}

func BenchmarkRead10000(b *testing.B) {
	file := tenThousand()
	b.SetBytes(int64(len(file)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read("", file); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkGeoJSON10000(b *testing.B) {
	p, err := Read("", tenThousand())
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.GeoJSON(); err != nil {
			b.Fatal(err)
		}
	}
}
