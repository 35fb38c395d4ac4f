package terrain

import (
	"archive/zip"
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
)

const tinyASCII = "ncols 2 nrows 1 xllcorner 0 yllcorner 0 cellsize 1 4 5"

func TestOpenSourcesFolder(t *testing.T) {
	tile := &fstest.MapFile{Data: flatHGT(5)}
	packed := &fstest.MapFile{Data: zipBytes(t, zip.Deflate, zipEntry{"x.hgt", flatHGT(6)})}
	ascii := &fstest.MapFile{Data: []byte(tinyASCII)}
	fsys := fstest.MapFS{
		"dem/N11E010.hgt":      tile,
		"dem/N10E010.HGT":      tile,
		"dem/N12E010.hgt.zip":  packed,
		"dem/N13E010.zip":      packed,
		"dem/a.asc":            ascii,
		"dem/B.ASC":            ascii,
		"dem/._N11E010.hgt":    {Data: []byte("shadow")},
		"dem/readme.txt":       {Data: []byte("hello")},
		"dem/photos.zip":       {Data: []byte("not terrain by its name")},
		"dem/deeper/x.hgt":     {Data: []byte("not looked at")},
		"dem/folder.hgt/x.txt": {Data: []byte("a folder with an odd name")},
		"top.asc":              ascii,
	}
	for _, tc := range []struct {
		name string
		want []string
	}{
		{"dem", []string{"dem/B.ASC", "dem/N10E010.HGT", "dem/N11E010.hgt", "dem/N12E010.hgt.zip", "dem/N13E010.zip", "dem/a.asc"}},
		{".", []string{"top.asc"}},
		{"top.asc", []string{"top.asc"}},
		{"dem/N13E010.zip", []string{"dem/N13E010.zip"}},
	} {
		sources, err := OpenSources(fsys, tc.name)
		if err != nil {
			t.Errorf("%s: %v", tc.name, err)
			continue
		}
		var names []string
		for _, s := range sources {
			names = append(names, s.Name)
			g, err := s.Load()
			if err != nil {
				t.Errorf("%s: %v", s.Name, err)
			} else if g.Lattice != s.Lattice {
				t.Errorf("%s: loaded %+v, promised %+v", s.Name, g.Lattice, s.Lattice)
			}
		}
		if diff := cmp.Diff(tc.want, names); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tc.name, diff)
		}
	}
}

func TestOpenSourcesFaults(t *testing.T) {
	fsys := fstest.MapFS{
		"raster.img":      {Data: []byte("II*")},
		"other/a.img":     {},
		"other/b/c.hgt":   {},
		"bad/N10E010.hgt": {Data: []byte("short")},
		"bad/isle.hgt":    {Data: flatHGT(1)},
		"bad/g.asc":       {Data: []byte("ncols 2")},
		"bad/good.asc":    {Data: []byte(tinyASCII)},
	}
	for i := range 20 {
		fsys[fmt.Sprintf("many/%02d.img", i)] = &fstest.MapFile{}
	}
	for _, tc := range []struct {
		name      string
		elsewhere bool // ErrNotBuiltIn: another reader may know it
		words     []string
	}{
		{"nowhere", false, []string{"nowhere", "not exist"}},
		{"raster.img", true, []string{"raster.img", ".hgt.zip", ".asc", "-tags gdal"}},
		{"other", true, []string{"folder other", "a.img", "b/", ".hgt.zip", "-tags gdal"}},
		{"many", true, []string{"folder many", "07.img and 12 more"}},
		{"bad", false, nil},
	} {
		_, err := OpenSources(fsys, tc.name)
		if tc.name != "bad" { // there each of the joined errors names the package
			wantError(t, tc.name, err, tc.words...)
		} else {
			for _, word := range []string{"bad/N10E010.hgt", "5 bytes", "bad/isle.hgt", "bad/g.asc", "nrows is missing"} {
				wantOne(t, err, word)
			}
		}
		if errors.Is(err, ErrNotBuiltIn) != tc.elsewhere {
			t.Errorf("%s: error %v, ErrNotBuiltIn wanted: %v", tc.name, err, tc.elsewhere)
		}
	}
	empty := fstest.MapFS{"void": {Mode: 0o755 | 1<<31}}
	_, err := OpenSources(empty, "void")
	wantError(t, "empty folder", err, "folder void", "found nothing")
	_, err = OpenSources(fstest.MapFS{}, ".")
	wantError(t, "empty root", err, "folder .", "found nothing")
}

// wantOne checks that a joined error mentions a word.
func wantOne(t *testing.T, err error, word string) {
	t.Helper()
	if err == nil || !strings.Contains(err.Error(), word) {
		t.Errorf("error %v does not mention %q", err, word)
	}
}
