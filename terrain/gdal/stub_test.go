//go:build !gdal

package gdal

import (
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Without the tag, every way in says what is missing and how to get it.
func TestNotBuilt(t *testing.T) {
	if Built {
		t.Error("Built is true")
	}
	_, openErr := Open("some.tif", Options{Cache: NewCache(1)})
	if openErr == nil || !strings.Contains(openErr.Error(), "some.tif") {
		t.Errorf("error %v does not name the file", openErr)
	}
	if !errors.Is(openErr, ErrNotBuilt) {
		t.Fatalf("error %v, want ErrNotBuilt", openErr)
	}
	for _, w := range []string{".hgt,", ".hgt.zip", "ESRI ASCII grid", "apt-get install libgdal-dev",
		"go build -tags gdal"} {
		if !strings.Contains(openErr.Error(), w) {
			t.Errorf("error %q does not mention %q", openErr, w)
		}
	}
	r := &Raster{}
	if _, err := r.Count(context.Background()); !errors.Is(err, ErrNotBuilt) {
		t.Errorf("Count: %v", err)
	}
	if err := r.Heights(nil, nil, nil); !errors.Is(err, ErrNotBuilt) {
		t.Errorf("Heights: %v", err)
	}
	if r.Info() != (Info{}) || r.Extent() != (terrain.Extent{}) || r.Close() != nil {
		t.Error("a raster of the stub holds something")
	}
	var h [1]float64
	var flag [1]terrain.Flag
	if err := Join(nil).Heights([]orb.Point{{1, 2}}, h[:], flag[:]); err != nil || flag[0] != terrain.Outside {
		t.Errorf("Join: %v, %v", flag[0], err)
	}
}
