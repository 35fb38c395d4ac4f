package terrain

import (
	"encoding/csv"
	"io/fs"
	"math"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
)

// referenceProfile reads one profile of reference_profiles.csv: distances and
// places computed with PROJ, heights bilinear with numpy (SOURCES.md beside it).
func referenceProfile(t *testing.T, fsys fs.FS, name string) Profile {
	t.Helper()
	f, err := fsys.Open("reference_profiles.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var p Profile
	for _, r := range rows { // profile,index,distance_m,lat_deg,lon_deg,bilinear_m
		if r[0] != name {
			continue
		}
		var v [4]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(r[i+2], 64); err != nil {
				t.Fatal(err)
			}
		}
		p.DistM, p.HeightM = append(p.DistM, v[0]), append(p.HeightM, v[3])
		p.Points = append(p.Points, orb.Point{v[2], v[1]})
	}
	if len(p.DistM) != 401 {
		t.Fatalf("%s: %d rows, want 401", name, len(p.DistM))
	}
	return p
}

// mustTiles joins all tiles of some files.
func mustTiles(t testing.TB, fsys fs.FS, names ...string) *Tiles {
	t.Helper()
	var all []Source
	for _, name := range names {
		sources, err := OpenSources(fsys, name)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, sources...)
	}
	tiles, err := NewTiles(all, TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return tiles
}

func TestReferenceProfiles(t *testing.T) {
	const (
		heightTolM  = 0.01 // a hundredth of the step in which posts are stored
		placeTolDeg = 1e-8
		distTolM    = 1e-3
	)
	fsys := demDir(t)
	for _, r := range []struct {
		name  string
		files []string
	}{
		{"fichtel_seam_50N", []string{"srtm3/N49E011.hgt.zip", "srtm3/N50E011.hgt.zip"}},
		{"azores_seam_28W", []string{"srtm3/N38W028.SRTMGL3.hgt.zip", "srtm3/N38W029.SRTMGL3.hgt.zip"}},
		{"azores_seam_28W", []string{"srtm3/N38W029.SRTMGL3.hgt.zip", "srtm3/N38W028.SRTMGL3.hgt.zip"}},
	} {
		want := referenceProfile(t, fsys, r.name)
		last := len(want.DistM) - 1
		got, err := NewProfile(mustTiles(t, fsys, r.files...), want.Points[0], want.Points[last],
			ProfileOptions{SpacingM: want.DistM[1] * (1 + 1e-6)}) // the row is rounded to 0.1 mm
		if err != nil {
			t.Fatal(err)
		}
		if len(got.DistM) != len(want.DistM) {
			t.Fatalf("%s: %d points, want %d", r.name, len(got.DistM), len(want.DistM))
		}
		var worstM, worstDeg float64
		for i := range want.DistM {
			if !(math.Abs(got.DistM[i]-want.DistM[i]) <= distTolM) {
				t.Errorf("%s: point %d is at %.5f m, want %.5f m", r.name, i, got.DistM[i], want.DistM[i])
			}
			offDeg := max(math.Abs(got.Points[i][0]-want.Points[i][0]), math.Abs(got.Points[i][1]-want.Points[i][1]))
			if !(offDeg <= placeTolDeg) {
				t.Errorf("%s: point %d is %v, want %v", r.name, i, got.Points[i], want.Points[i])
			}
			if got.Flags[i] != Ground || !(math.Abs(got.HeightM[i]-want.HeightM[i]) <= heightTolM) {
				t.Errorf("%s: point %d is %.4f m, %v, want %.4f m", r.name, i, got.HeightM[i], got.Flags[i], want.HeightM[i])
			}
			worstM, worstDeg = max(worstM, math.Abs(got.HeightM[i]-want.HeightM[i])), max(worstDeg, offDeg)
		}
		t.Logf("%s: heights within %.5f m, places within %.2g°", r.name, worstM, worstDeg)
	}
}
