//go:build gdal

package gdal

import (
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/paulmach/orb"

	binding "github.com/lukeroth/gdal"
)

// counting serves a raster and counts who asks.
func counting(t *testing.T) (url string, asked *atomic.Int64) {
	t.Helper()
	asked = new(atomic.Int64)
	folder := t.TempDir()
	stored(123).write(t, filepath.Join(folder, "a.tif"))
	stored(123).write(t, filepath.Join(folder, "b.tif"))
	files := http.FileServer(http.Dir(folder))
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked.Add(1)
		files.ServeHTTP(w, r)
	}))
	t.Cleanup(s.Close)
	return s.URL, asked
}

// vrtOver returns a VRT over one source of 3 × 3 posts.
func vrtOver(source string) string {
	return `<VRTDataset rasterXSize="3" rasterYSize="3"><SRS>EPSG:4326</SRS>
<GeoTransform>9.95, 0.1, 0, 50.05, 0, -0.1</GeoTransform><VRTRasterBand dataType="Float32" band="1"><SimpleSource>
<SourceFilename relativeToVRT="0">` + source +
		`</SourceFilename><SourceBand>1</SourceBand></SimpleSource></VRTRasterBand></VRTDataset>`
}

func wms(url string) string {
	return `<GDAL_WMS><Service name="TMS"><ServerUrl>` +
		url + `/a.tif</ServerUrl></Service><DataWindow><UpperLeftX>9.95</UpperLeftX><UpperLeftY>50.05</UpperLeftY>
<LowerRightX>10.25</LowerRightX><LowerRightY>49.75</LowerRightY><SizeX>3</SizeX><SizeY>3</SizeY></DataWindow><BandsCount>1</BandsCount>
<Projection>EPSG:4326</Projection><BlockSizeX>3</BlockSizeX><BlockSizeY>3</BlockSizeY></GDAL_WMS>`
}

func TestNoFileLeadsToTheNetwork(t *testing.T) {
	url, asked := counting(t)
	dir := t.TempDir()
	put := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	escaped := strings.ReplaceAll(url, "http", "&#104;ttp")
	inner := put("inner.vrt", vrtOver("/vsicurl/"+url+"/a.tif"))
	service := put("service.xml", wms(url))
	for name, text := range map[string]string{
		"web address":           vrtOver(url + "/a.tif"),
		"written with entities": vrtOver(escaped + "/a.tif"),
		"in a section":          vrtOver("<![CDATA[" + url + "/a.tif]]>"),
		"virtual file":          vrtOver("/vsicurl/" + url + "/a.tif"),
		"streamed":              vrtOver("/vsicurl_streaming/" + url + "/a.tif"),
		"zip of a virtual file": vrtOver("/vsizip/vsicurl/" + url + "/a.zip/a.tif"),
		"service in a source":   vrtOver(strings.NewReplacer("<", "&lt;", ">", "&gt;").Replace(wms(url))),
		"service in a file":     vrtOver(service),
		"VRT in a VRT":          vrtOver(inner),
		"connection string":     vrtOver("WMS:" + url + "/?SERVICE=WMS"),
		"service itself":        wms(url),
		"as an attribute": strings.Replace(vrtOver(stored(1).make(t, "x.tif")), "<SimpleSource>",
			`<SimpleSource resampling="`+url+`">`, 1),
		"overview elsewhere": strings.Replace(vrtOver(stored(1).make(t, "x.tif")), "<SimpleSource>",
			`<Overview><SourceFilename>`+url+`/a.tif</SourceFilename><SourceBand>1</SourceBand></Overview><SimpleSource>`, 1),
		"arrays of positions": strings.Replace(vrtOver(stored(1).make(t, "x.tif")), "<SRS>",
			`<Metadata domain="GEOLOCATION"><MDI key="X_DATASET">`+url+`/a.tif</MDI></Metadata><SRS>`, 1),
		"under another ending": vrtOver(url + "/a.tif"),
	} {
		t.Run(name, func(t *testing.T) {
			ending := ".vrt"
			if name == "under another ending" {
				ending = ".tif"
			}
			path := put(strings.ReplaceAll(name, " ", "_")+ending, text)
			r, err := Open(path, Options{})
			if err == nil {
				r.Close()
			}
			if !errors.Is(err, ErrRemote) {
				t.Errorf("error %v, want ErrRemote", err)
			}
			if err != nil && !strings.Contains(err.Error(), path) {
				t.Errorf("error %q does not name %s", err, path)
			}
		})
	}
	if n := asked.Load(); n != 0 {
		t.Errorf("the server was asked %d times, want 0", n)
	}
}

// The same addresses straight to GDAL: should the look at the files miss one,
// the thread has no network.
func TestThreadHasNoNetwork(t *testing.T) {
	url, asked := counting(t)
	for _, path := range []string{
		"/vsicurl/" + url + "/a.tif", "/vsicurl_streaming/" + url + "/a.tif", url + "/a.tif", "WMS:" + url + "/?SERVICE=WMS",
		"WCS:" + url, "WMTS:" + url, wms(url), vrtOver("/vsicurl/" + url + "/a.tif"), vrtOver(url + "/a.tif"),
		vrtOver("/vsicurl_streaming/" + url + "/a.tif"),
	} {
		var pixels [9]float64
		read := func() {
			ds, err := binding.OpenEx(path, binding.OFReadOnly|binding.OFRaster|binding.OFVerbose_Error, nil, nil, nil)
			if err != nil {
				return
			}
			defer ds.Close()
			_ = ds.RasterBand(1).IO(binding.Read, 0, 0, 3, 3, pixels[:], 3, 3, 0, 0)
		}
		text := call(false, read)
		if n := asked.Load(); n != 0 {
			t.Errorf("%.60s: the server was asked %d times, want 0; GDAL says: %v", path, n, text)
			asked.Store(0)
		}
		if pixels[4] == 123 {
			t.Errorf("%.60s: the height came through", path)
		}
		// With the network the server is asked, so the above shows something. It is
		// asked for another file, as GDAL remembers those it could not reach.
		path = strings.ReplaceAll(path, "a.tif", "b.tif")
		if _ = call(true, read); asked.Swap(0) == 0 {
			t.Errorf("%.60s: the server is not asked with the network either", path)
		}
	}
}

// Allowed, the same file is read: the server was there all along.
func TestAllowRemote(t *testing.T) {
	url, asked := counting(t)
	for _, path := range []string{"/vsicurl/" + url + "/a.tif",
		writeFile(t, "a.vrt", []byte(vrtOver("/vsicurl/"+url+"/a.tif")))} {
		asked.Store(0)
		r, err := Open(path, Options{AllowRemote: true})
		if err != nil {
			t.Fatal(err)
		}
		closeTo(t, r, inTheMiddle, 123, 0)
		r.Close()
		if asked.Load() == 0 && strings.HasPrefix(path, "/vsi") {
			t.Errorf("%s: the server was not asked", path)
		}
	}
}

func TestLocalVRT(t *testing.T) {
	dir := t.TempDir()
	stored(55).write(t, filepath.Join(dir, "a.tif"))
	relative := strings.ReplaceAll(vrtOver("a.tif"), `relativeToVRT="0"`, `relativeToVRT="1"`)
	relative = strings.Replace(relative, "<SRS>",
		`<Metadata><MDI key="source">https://example.org/heights</MDI></Metadata><SRS>`, 1)
	path := filepath.Join(dir, "a.vrt")
	if err := os.WriteFile(path, []byte(relative), 0o644); err != nil {
		t.Fatal(err)
	}
	closeTo(t, mustOpen(t, path), inTheMiddle, 55, 0)
	outer := filepath.Join(dir, "outer.vrt")
	if err := os.WriteFile(outer, []byte(vrtOver(path)), 0o644); err != nil {
		t.Fatal(err)
	}
	closeTo(t, mustOpen(t, outer), inTheMiddle, 55, 0)

	refusedBy(t, writeFile(t, "gone.vrt", []byte(vrtOver(filepath.Join(dir, "none.tif")))), "none.tif", "no such file")
	refusedBy(t, writeFile(t, "folder.vrt", []byte(vrtOver(dir))), "a folder")
	refusedBy(t, writeFile(t, "broken.vrt", []byte(`<VRTDataset rasterXSize="3" rasterYSize="3"><SRS>`)),
		"not well-formed")
	self := filepath.Join(dir, "self.vrt")
	if err := os.WriteFile(self, []byte(vrtOver(self)), 0o644); err != nil {
		t.Fatal(err)
	}
	if r, err := Open(self, Options{}); err == nil { // GDAL finds the circle when it reads
		if h, flag := heightOrError(r, orb.Point(inTheMiddle)); flag {
			t.Errorf("a VRT over itself gives %g m", h)
		}
		r.Close()
	}
	// A chain deeper than anybody builds.
	last := path
	for k := range maxNesting + 1 {
		next := filepath.Join(dir, fmt.Sprintf("deep%d.vrt", k))
		if err := os.WriteFile(next, []byte(vrtOver(last)), 0o644); err != nil {
			t.Fatal(err)
		}
		last = next
	}
	refusedBy(t, last, "nested more than")
}
