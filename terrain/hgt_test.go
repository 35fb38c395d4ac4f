package terrain

import (
	"encoding/binary"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/paulmach/orb"
)

// hgtBytes lays out a tile as SRTM_Topo.txt describes it: big-endian, first
// the northern row, each from the west.
func hgtBytes(posts int, heightM func(col, row int) int16) []byte {
	b := make([]byte, 0, 2*posts*posts)
	for row := range posts {
		for col := range posts {
			b = binary.BigEndian.AppendUint16(b, uint16(heightM(col, row)))
		}
	}
	return b
}

// flatHGT is a 3" tile of one height.
func flatHGT(heightM int16) []byte {
	return hgtBytes(postsSRTM3, func(int, int) int16 { return heightM })
}

// wantError checks that an error names every word.
func wantError(t *testing.T, what string, err error, words ...string) {
	t.Helper()
	if err == nil {
		t.Errorf("%s: no error", what)
		return
	}
	for _, word := range words {
		if !strings.Contains(err.Error(), word) {
			t.Errorf("%s: error %q does not mention %q", what, err, word)
		}
	}
	if n := strings.Count(err.Error(), "terrain: "); n > 1 {
		t.Errorf("%s: error %q names the package %d times", what, err, n)
	}
}

// Tiles in all four hemispheres: the posts carry 10 m per degree of latitude
// and 1 m per degree of longitude, both counted from the corner the name gives
// (typed in by hand), so a mirrored or shifted tile shows.
func TestHGTHemispheres(t *testing.T) {
	for _, tc := range []struct {
		name                 string
		southDeg, westDeg    float64
		posts, heightOfSteps int
	}{
		{"N36W085.hgt", 36, -85, 1201, 1200},
		{"n50e011.HGT", 50, 11, 1201, 1200},
		{"s01e180.hgt", -1, 180, 1201, 1200},
		{"S34W059.SRTMGL1.hgt", -34, -59, 3601, 3600},
		{"N00E000.hgt", 0, 0, 1201, 1200},
		{"S90W180.hgt", -90, -180, 1201, 1200},
		{"n89e179_v3.hgt", 89, 179, 1201, 1200},
	} {
		t.Run(tc.name, func(t *testing.T) {
			// Heights in steps of the lattice: row 0 is the northern one.
			raw := hgtBytes(tc.posts, func(col, row int) int16 {
				return int16(2*(tc.posts-1-row) + col/4)
			})
			fsys := fstest.MapFS{tc.name: {Data: raw}}
			g := mustLoad(t, fsys, tc.name)
			steps := float64(tc.heightOfSteps)
			for _, at := range []struct{ north, east float64 }{ // parts of the degree
				{0, 0}, {1, 1}, {0, 1}, {1, 0}, {0.25, 0.75}, {0.5, 0.1}, {0.9, 0.3},
			} {
				want := 2*steps*at.north + steps*at.east/4
				p := orb.Point{tc.westDeg + at.east, tc.southDeg + at.north}
				h, flag := heightAt(t, g, p)
				if flag != Ground || !(math.Abs(h-want) <= 1e-6) {
					t.Errorf("%v: %g m, %v; want %g m", p, h, flag, want)
				}
			}
			b := g.Extent().Bound
			if b.Min != (orb.Point{tc.westDeg, tc.southDeg}) || b.Max != (orb.Point{tc.westDeg + 1, tc.southDeg + 1}) {
				t.Errorf("bound %v, want the degree north and east of %g, %g", b, tc.southDeg, tc.westDeg)
			}
		})
	}
}

func TestHGTVoids(t *testing.T) {
	heights := []int16{-32768, -32767, -501, -500, -431, 0, -1, 8849, 9000, 9001, 32767}
	void := []bool{true, true, true, false, false, false, false, false, false, true, true}
	raw := hgtBytes(postsSRTM3, func(col, row int) int16 {
		if row == 0 && col < len(heights) {
			return heights[col]
		}
		return 7
	})
	g := mustLoad(t, fstest.MapFS{"N10E010.hgt": {Data: raw}}, "N10E010.hgt")
	for i, want := range void {
		h := g.HeightM[i]
		if IsVoid(h) != want || !want && h != float32(heights[i]) {
			t.Errorf("%d m was read as %g, void %v, want void %v", heights[i], h, IsVoid(h), want)
		}
	}
}

func TestCornerOf(t *testing.T) {
	for _, tc := range []struct {
		name string
		want corner
		ok   bool
	}{
		{"N36W085.hgt", corner{36, -85}, true},
		{"a/b.c/s01e180.hgt", corner{-1, 180}, true},
		{"N38W028.SRTMGL3.hgt", corner{38, -28}, true},
		{`folder\N38W028.hgt`, corner{38, -28}, true},
		{"N38W028-void-filled.hgt", corner{38, -28}, true},
		{"N38W028", corner{38, -28}, true},
		{"S00W000.hgt", corner{0, 0}, true},
		{"", corner{}, false},
		{"tile.hgt", corner{}, false},
		{"N36W85.hgt", corner{}, false},
		{"N036W085.hgt", corner{}, false},
		{"N36W0851.hgt", corner{}, false},
		{"N36W085x.hgt", corner{}, false},
		{"X36W085.hgt", corner{}, false},
		{"N36X085.hgt", corner{}, false},
		{"N+6W085.hgt", corner{}, false},
		{"N36W-85.hgt", corner{}, false},
		{"N90E000.hgt", corner{}, false}, // would reach beyond the pole
		{"S91E000.hgt", corner{}, false},
		{"N10E181.hgt", corner{}, false},
		{"N10W181.hgt", corner{}, false},
		{"srtm_20_05.hgt", corner{}, false},
	} {
		got, ok := cornerOf(tc.name)
		if ok != tc.ok || ok && got != tc.want {
			t.Errorf("cornerOf(%q) = %v, %v; want %v, %v", tc.name, got, ok, tc.want, tc.ok)
		}
	}
	for c, want := range map[corner]string{{36, -85}: "N36W085", {-1, 180}: "S01E180", {0, 0}: "N00E000",
		{-34, -9}: "S34W009"} {
		if got := c.String(); got != want {
			t.Errorf("%#v is written %q, want %q", c, got, want)
		}
	}
}

func TestHGTFaults(t *testing.T) {
	whole := flatHGT(5)
	for _, tc := range []struct {
		name  string
		data  []byte
		words []string
	}{
		{"N10E010.hgt", whole[:len(whole)-1], []string{"N10E010.hgt", "2884801 bytes", "2884802", "25934402"}},
		{"N10E010.hgt", append(whole[:len(whole):len(whole)], 0), []string{"N10E010.hgt", "2884803 bytes"}},
		{"N10E010.hgt", nil, []string{"N10E010.hgt", "0 bytes"}},
		{"island.hgt", whole, []string{"island.hgt", "does not tell where", "N36W085.hgt"}},
	} {
		_, err := OpenSources(fstest.MapFS{tc.name: {Data: tc.data}}, tc.name)
		wantError(t, tc.name, err, tc.words...)
	}
}

// A file that shrinks or grows between opening and loading.
func TestHGTChangedBeforeLoad(t *testing.T) {
	for what, tc := range map[string]struct {
		later []byte
		words []string
	}{
		"shorter":  {flatHGT(5)[:5000], []string{"N10E010.hgt", "after 5000 of 2884802 bytes", "unexpected EOF"}},
		"at a row": {flatHGT(5)[:2402], []string{"after 2402 of 2884802 bytes", "unexpected EOF"}},
		"longer":   {append(flatHGT(5), 1), []string{"N10E010.hgt", "more than the 2884802 bytes"}},
	} {
		fsys := fstest.MapFS{"N10E010.hgt": {Data: flatHGT(5)}}
		sources, err := OpenSources(fsys, "N10E010.hgt")
		if err != nil {
			t.Fatal(err)
		}
		fsys["N10E010.hgt"].Data = tc.later
		_, err = sources[0].Load()
		wantError(t, what, err, tc.words...)
		delete(fsys, "N10E010.hgt")
		_, err = sources[0].Load()
		wantError(t, "gone", err, "N10E010.hgt")
	}
}

// A read error in the middle is passed on.
func TestHGTReadError(t *testing.T) {
	broken := errors.New("the disk is on fire")
	l, err := corner{10, 10}.lattice(bytesSRTM3)
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []int64{0, 7000, bytesSRTM3} {
		r := io.MultiReader(io.LimitReader(zeros{}, n), failing{broken})
		if _, err := readHGT(r, l); !errors.Is(err, broken) {
			t.Errorf("after %d bytes: error %v, want the reader's own", n, err)
		}
	}
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

func BenchmarkLoadHGT(b *testing.B) {
	raw := hgtBytes(postsSRTM1, func(col, row int) int16 { return int16(col/8 + row/8) })
	fsys := fstest.MapFS{"N10E010.hgt": {Data: raw}}
	b.SetBytes(int64(len(raw)))
	for b.Loop() {
		mustLoad(b, fsys, "N10E010.hgt")
	}
}
