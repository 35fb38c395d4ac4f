package tiles

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// zipped is a tile of level ground as SRTM is delivered.
func zipped(t *testing.T, tile Tile) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, err := z.Create(tile.String() + ".hgt")
	if err == nil {
		_, err = w.Write(bytes.Repeat([]byte{1, 44}, 1201*1201))
	}
	if err = errors.Join(err, z.Close()); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func check(path string) (orb.Bound, error) {
	sources, err := terrain.OpenSources(os.DirFS(filepath.Dir(path)), filepath.Base(path))
	if err != nil {
		return orb.Bound{}, err
	}
	g, err := sources[0].Load()
	if err != nil {
		return orb.Bound{}, err
	}
	return g.Extent().Bound, nil
}

// serve is a distribution on the loopback.
func serve(t *testing.T, files map[string]http.HandlerFunc) Job {
	t.Helper()
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if f := files[strings.Trim(r.URL.Path, "/")]; f != nil {
			f(w, r)
			return
		}
		http.NotFound(w, r)
	}))
	t.Cleanup(s.Close)
	d, err := Choose(s.URL + "/{tile}.hgt.zip")
	if err != nil {
		t.Fatal(err)
	}
	return Job{From: d, Folder: filepath.Join(t.TempDir(), "dem"), Check: check, Wait: time.Millisecond,
		Stall: 300 * time.Millisecond}
}

func sends(data []byte) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("ETag", fmt.Sprintf(`"%d"`, len(data)))
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
	}
}

func in(t *testing.T, folder string) []string {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	var list []string
	for _, e := range entries {
		list = append(list, e.Name())
	}
	return list
}

var square = []Tile{{36, -86}, {36, -85}, {37, -86}, {37, -85}}

// Tiles come whole, one that is not there is told, and a second run fetches nothing.
func TestFetch(t *testing.T) {
	a, b := zipped(t, square[0]), zipped(t, square[1])
	job := serve(t, map[string]http.HandlerFunc{"N36W086.hgt.zip": sends(a), "N36W085.hgt.zip": sends(b)})
	found, err := job.Look(context.Background(), square)
	if err != nil || names(found.Missing) != "N36W086 N36W085" || names(found.Absent) != "N37W086 N37W085" ||
		found.Bytes != int64(len(a)+len(b)) || len(found.Here) != 0 {
		t.Fatalf("%+v, %v", found, err)
	}
	var came int64
	var stored []string
	fetch := func(list []Tile) error {
		return job.Fetch(context.Background(), list, func(n int64) { came += n },
			func(t Tile) { stored = append(stored, t.String()) })
	}
	if err := fetch(found.Missing); err != nil || came != found.Bytes || len(stored) != 2 {
		t.Fatalf("%d bytes, %v; %v", came, stored, err)
	}
	want := []string{creditFile, "N36W085.hgt.zip", "N36W086.hgt.zip"}
	if got := in(t, job.Folder); !slices.Equal(got, want) {
		t.Errorf("in the folder: %v", got)
	}
	credits, err := os.ReadFile(filepath.Join(job.Folder, creditFile))
	if err != nil || strings.Count(string(credits), "licence:") != 1 || strings.Count(string(credits), "SHA-256") != 2 {
		t.Errorf("%s, %v", credits, err)
	}
	again, err := job.Look(context.Background(), square)
	if err != nil || len(again.Missing) != 0 || len(again.Here) != 2 {
		t.Errorf("%+v, %v", again, err)
	}
	// A tile fetched again has one line.
	if err := fetch(square[:1]); err != nil {
		t.Fatal(err)
	}
	credits, _ = os.ReadFile(filepath.Join(job.Folder, creditFile))
	if strings.Count(string(credits), "SHA-256") != 2 || strings.Count(string(credits), "N36W086.hgt.zip:") != 1 {
		t.Errorf("%s", credits)
	}
}

// What is no tile, or one of another place, is not stored; the others are.
func TestFetchRefuses(t *testing.T) {
	good := zipped(t, square[1])
	elsewhere := httptest.NewServer(sends(good))
	defer elsewhere.Close()
	leads := func(to string) http.HandlerFunc {
		return func(w http.ResponseWriter, r *http.Request) { http.Redirect(w, r, to, http.StatusFound) }
	}
	for name, c := range map[string]struct {
		answer http.HandlerFunc
		want   string
	}{
		"a page":         {sends([]byte("<html>come back</html>")), "is no tile"},
		"half":           {sends(good[:len(good)/2]), "is no tile"},
		"another place":  {sends(zipped(t, Tile{50, 10})), "N50E010"},
		"another host":   {leads(elsewhere.URL + "/x"), "leads to another host"},
		"a file":         {leads("file:///etc/hostname"), "leads to"},
		"round and back": {leads("/N36W086.hgt.zip"), "redirects"},
		"forbidden":      {func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(403) }, "403"},
	} {
		job := serve(t, map[string]http.HandlerFunc{"N36W086.hgt.zip": c.answer, "N36W085.hgt.zip": sends(good)})
		err := job.Fetch(context.Background(), square[:2], func(int64) {}, func(Tile) {})
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "N36W086: ") ||
			strings.Contains(err.Error(), besideName) {
			t.Errorf("%s: %v", name, err)
		}
		if got, want := in(t, job.Folder), []string{creditFile, "N36W085.hgt.zip"}; !slices.Equal(got, want) {
			t.Errorf("%s: in the folder: %v", name, got)
		}
	}
}

// Ctrl-C leaves whole tiles only; what befalls all tiles alike is told once.
func TestFetchInterrupted(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	job := serve(t, map[string]http.HandlerFunc{"N36W086.hgt.zip": sends(zipped(t, square[0])),
		"N36W085.hgt.zip": func(w http.ResponseWriter, r *http.Request) {
			w.Header().Set("Content-Length", "1000000")
			_, _ = w.Write(make([]byte, 5000))
			w.(http.Flusher).Flush()
			<-r.Context().Done()
		}})
	job.Stall = time.Hour
	err := job.Fetch(ctx, square[:2], func(int64) {}, func(Tile) { stop() })
	if !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	if got, want := in(t, job.Folder), []string{creditFile, "N36W086.hgt.zip"}; !slices.Equal(got, want) {
		t.Errorf("in the folder: %v", got)
	}
	down := serve(t, nil)
	down.From.Address = "http://127.0.0.1:1/{tile}"
	if _, err = down.Look(context.Background(), square); err == nil || strings.Contains(err.Error(), "\n") ||
		!strings.HasPrefix(err.Error(), "N36W086, N36W085, N37W086, N37W085: ") {
		t.Error(err)
	}
}

// What a killed run left goes when it is old.
func TestLeftoversGo(t *testing.T) {
	job := serve(t, map[string]http.HandlerFunc{"N36W086.hgt.zip": sends(zipped(t, square[0]))})
	old, young := filepath.Join(job.Folder, besideName+"1"), filepath.Join(job.Folder, besideName+"2")
	for _, f := range []string{old, young} {
		if err := os.MkdirAll(f, 0o777); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Chtimes(old, time.Time{}, time.Now().Add(-2*time.Hour)); err != nil {
		t.Fatal(err)
	}
	if err := job.Fetch(context.Background(), square[:1], func(int64) {}, func(Tile) {}); err != nil {
		t.Fatal(err)
	}
	if got := in(t, job.Folder); len(got) != 3 || got[0] != besideName+"2" {
		t.Errorf("in the folder: %v", got)
	}
}
