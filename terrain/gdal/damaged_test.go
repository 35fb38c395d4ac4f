//go:build gdal

package gdal

import (
	"context"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
)

// damagedPlaces are asked one by one, as one unreadable block fails the call.
func damagedPlaces() []orb.Point {
	return placesIn(orb.Bound{Min: orb.Point{-84.413, 36.447}, Max: orb.Point{-84.079, 36.732}}, 100)
}

// lookAtDamaged is the child's part: the first line names the file as it was,
// the others its damaged copies. It writes a line before each file, so that the
// last line tells where a crash came, and one with what was found.
func lookAtDamaged(lines []string) error {
	at := damagedPlaces()
	want := make([]float64, len(at))
	whole, err := Open(lines[0], Options{})
	if err != nil {
		return err
	}
	for i, p := range at {
		h, known := heightOrError(whole, p)
		if !known {
			return fmt.Errorf("%v: no height in the file as it was", p)
		}
		want[i] = h
	}
	for _, path := range lines[1:] {
		fmt.Printf("looking %s\n", path)
		began := time.Now()
		r, err := Open(path, Options{Cache: NewCache(1 << 20)})
		if err != nil {
			fmt.Printf("refused %s %.3f\n", path, time.Since(began).Seconds())
			continue
		}
		equal, missing, other := 0, 0, 0
		for i, p := range at {
			h, known := heightOrError(r, p)
			switch {
			case !known:
				missing++
			case h == want[i]:
				equal++
			case h != h || math.IsInf(h, 0) || h < lowestGroundM || h > highestGroundM:
				return fmt.Errorf("%s: %v gives %g m", path, p, h)
			default:
				other++
			}
		}
		told := 1
		if c, err := r.Count(context.Background()); err == nil && c.Voids == 0 {
			told = 0
		}
		r.Close()
		fmt.Printf("opened %s %.3f %d %d %d %d\n", path, time.Since(began).Seconds(), equal, missing, other, told)
	}
	return nil
}

// outcome is what became of one damaged file.
type outcome struct {
	opened                bool
	seconds               float64
	equal, missing, other int
	told                  bool // by an error or voids in a look at all posts
}

func lookInChild(t *testing.T, whole string, damaged []string) map[string]outcome {
	t.Helper()
	out, errOut, err := inChild(t, "damaged", 2*time.Minute, append([]string{whole}, damaged...)...)
	if err != nil {
		end := out
		if len(end) > 500 {
			end = "..." + end[len(end)-500:]
		}
		t.Fatalf("the child ended with %v; the last it wrote:\n%s\n%s", err, end, errOut)
	}
	if errOut != "" {
		t.Errorf("something was printed: %q", errOut)
	}
	found := map[string]outcome{}
	for line := range strings.Lines(out) {
		f := strings.Fields(line)
		if f[0] == "looking" {
			continue
		}
		o := outcome{opened: f[0] == "opened"}
		o.seconds, _ = strconv.ParseFloat(f[2], 64)
		if o.opened {
			o.equal, _ = strconv.Atoi(f[3])
			o.missing, _ = strconv.Atoi(f[4])
			o.other, _ = strconv.Atoi(f[5])
			o.told = f[6] == "1"
		}
		if o.seconds > 10 {
			t.Errorf("%s took %.1f s", f[1], o.seconds)
		}
		found[f[1]] = o
	}
	if len(found) != len(damaged) {
		t.Errorf("%d files answered for, want %d", len(found), len(damaged))
	}
	return found
}

func TestTruncated(t *testing.T) {
	whole := cumberland + "cumberland_ll_int16.tif"
	data, err := os.ReadFile(whole)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	var paths []string
	for k := range 20 {
		// Eight within the head, the others all over.
		n := k * 60
		if k >= 8 {
			n = len(data) * (k - 7) / 13
		}
		path := filepath.Join(dir, fmt.Sprintf("cut%06d.tif", n))
		if err := os.WriteFile(path, data[:n], 0o644); err != nil {
			t.Fatal(err)
		}
		paths = append(paths, path)
	}
	refused, missing, equal := 0, 0, 0
	for path, o := range lookInChild(t, whole, paths) {
		if !o.opened {
			refused++
			continue
		}
		if o.other > 0 {
			t.Errorf("%s: %d heights differ from those of the whole file", path, o.other)
		}
		if o.missing == 0 && filepath.Base(path) != fmt.Sprintf("cut%06d.tif", len(data)*12/13) {
			t.Errorf("%s: all heights found in a part of the file", path)
		}
		missing, equal = missing+o.missing, equal+o.equal
	}
	t.Logf("20 cut files: %d refused; in the others %d heights equal, %d missing with an error, none wrong", refused,
		equal, missing)
}

func TestBitsTurnedOver(t *testing.T) {
	whole := cumberland + "cumberland_ll_int16.tif"
	data, err := os.ReadFile(whole)
	if err != nil {
		t.Fatal(err)
	}
	head := firstTile(t, data)
	dir := t.TempDir()
	rng := rand.New(rand.NewPCG(2, 7))
	inHead := map[string]bool{}
	var paths []string
	for k := range 200 {
		// Every second in the head, where they do most.
		at := head + rng.IntN(len(data)-head)
		if k%2 == 0 {
			at = rng.IntN(head)
		}
		bit := rng.IntN(8)
		turned := append([]byte(nil), data...)
		turned[at] ^= 1 << bit
		path := filepath.Join(dir, fmt.Sprintf("byte%06d_%d_%03d.tif", at, bit, k))
		if err := os.WriteFile(path, turned, 0o644); err != nil {
			t.Fatal(err)
		}
		paths = append(paths, path)
		inHead[path] = k%2 == 0
	}
	var refusedHead, movedHead, sameHead, refused, missing, same int
	for path, o := range lookInChild(t, whole, paths) {
		switch {
		case inHead[path] && !o.opened:
			refusedHead++
		case inHead[path] && o.other > 0:
			// The head has no checksum: another origin, spacing or datum is read
			// as it is told.
			movedHead++
		case inHead[path]:
			sameHead++
		case !o.opened:
			refused++
		case o.other > 0:
			t.Errorf("%s: %d heights are wrong, though the blocks carry a checksum", path, o.other)
		case o.missing > 0:
			missing++
		default:
			same++
		}
	}
	t.Logf("100 bits in the head: %d refused, %d without effect on heights, %d that tell another place or scale",
		refusedHead, sameHead, movedHead)
	t.Logf("100 bits in the blocks: %d refused, %d fail where they are hit, %d never looked at, none wrong", refused,
		missing, same)
}

// firstTile returns where the blocks of a little-endian GeoTIFF begin; the head
// lies before them in the file used here (TIFF 6.0, section 2; TileOffsets is
// tag 324).
func firstTile(t *testing.T, data []byte) int {
	t.Helper()
	le := binary.LittleEndian
	if string(data[:4]) != "II*\x00" {
		t.Fatal("not a little-endian TIFF")
	}
	dir := int(le.Uint32(data[4:]))
	for k := range int(le.Uint16(data[dir:])) {
		entry := data[dir+2+12*k:]
		if le.Uint16(entry) != 324 {
			continue
		}
		first := len(data)
		for i := range int(le.Uint32(entry[4:])) {
			first = min(first, int(le.Uint32(data[int(le.Uint32(entry[8:]))+4*i:])))
		}
		if first <= dir || first > 4096 {
			t.Fatalf("the blocks begin at %d, the head at %d", first, dir)
		}
		return first
	}
	t.Fatal("no TileOffsets")
	return 0
}
