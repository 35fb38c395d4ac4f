//go:build gdal

package gdal

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	binding "github.com/lukeroth/gdal"
)

// maxNesting bounds VRT files that name VRT files.
const maxNesting = 8

// checkLocal refuses a path that is not a regular file of a local driver, or
// that leads to something else through the files it names.
func checkLocal(path string, anyFormat bool) error {
	return localCheck{seen: map[string]bool{}, layers: map[string]float64{}, anyFormat: anyFormat}.file(path, 0)
}

// localCheck remembers the files looked at, as a VRT may name one many times, and
// what a look at one costs.
type localCheck struct {
	seen      map[string]bool
	layers    map[string]float64 // by path, of VRT files
	anyFormat bool
}

func (c localCheck) file(path string, depth int) error {
	if c.seen[path] {
		return nil
	}
	c.seen[path] = true
	if strings.HasPrefix(path, "/vsi") {
		return ErrRemote // no file system has such a folder; were there one, GDAL would not see it
	}
	info, err := os.Stat(path)
	if err != nil {
		if strings.Contains(path, ":") || strings.ContainsAny(path, "<{") {
			return fmt.Errorf("%w", ErrRemote)
		}
		return plainPathError(err)
	}
	if !info.Mode().IsRegular() {
		return fmt.Errorf("%s, not a file", kindOf(info))
	}
	driver, raster := "", true
	_ = call(false, func() { // what it says is said again on opening
		if d := binding.IdentifyDriver(path, nil); d != (binding.Driver{}) {
			driver, raster = d.ShortName(), d.MetadataItem(binding.DCAP_RASTER, "") == "YES"
		}
	})
	switch {
	case driver == "VRT":
		return c.vrt(path, depth)
	case !raster:
		return fmt.Errorf("not a raster, GDAL takes it for %s", driver)
	case driver != "" && !slices.Contains(localDrivers, driver):
		return fmt.Errorf("GDAL takes it for the format %s, which is no local raster of heights: %w", driver, ErrRemote)
	case driver != "" && !c.anyFormat && !slices.Contains(strings.Fields(Formats), driver):
		return fmt.Errorf("GDAL takes it for the format %s: %w", driver, ErrFormat)
	case driver == "GTiff" && depth > 0:
		return sourceBlocks(path)
	}
	return nil
}

// sourceBlocks refuses a GeoTIFF behind a VRT with blocks too large to be decoded: the VRT has
// blocks of its own, and its word on those of its source is not to be relied on.
func sourceBlocks(path string) (err error) {
	_ = call(false, func() { // what it says is said again on opening
		ds, openErr := binding.OpenEx(path, binding.OFReadOnly|binding.OFRaster, []string{"GTiff"}, nil, nil)
		if openErr != nil {
			return
		}
		defer ds.Close()
		if ds.RasterCount() == 0 {
			return
		}
		cols, rows, pixelBytes := storedBlock(ds, "GTiff", 1)
		_, _, err = blockShape(ds.RasterXSize(), ds.RasterYSize(), cols, rows, pixelBytes)
	})
	return err
}

// remoteName finds what leads out of the local files anywhere in a VRT.
var remoteName = regexp.MustCompile(`(?i)/vsi[a-z0-9_]+/|/vsimem|\b(https?|ftp|s3|gs|az|file)://`)

// vrt looks through a VRT file for the sources it names.
func (c localCheck) vrt(path string, depth int) error {
	if depth == maxNesting {
		return fmt.Errorf("VRT files nested more than %d deep", maxNesting)
	}
	f, err := os.Open(path)
	if err != nil {
		return plainPathError(err)
	}
	defer f.Close()
	d := xml.NewDecoder(f)
	d.CharsetReader = func(_ string, r io.Reader) (io.Reader, error) { return r, nil }
	var stack []xml.StartElement
	var cost vrtCost
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			c.layers[filepath.Clean(path)], err = cost.layers()
			return err
		}
		if err != nil {
			return fmt.Errorf("the VRT is not well-formed: %w", err)
		}
		switch t := token.(type) {
		case xml.StartElement:
			stack = append(stack, t.Copy())
			cost.start(t)
			for _, a := range t.Attr {
				if a.Name.Local == "subClass" && strings.EqualFold(a.Value, "VRTRawRasterBand") {
					return errors.New("a raw band takes the bytes of any file for heights")
				}
				if remoteName.MatchString(a.Value) && a.Name.Space != "xmlns" && a.Name.Local != "xmlns" {
					return fmt.Errorf("it names %q: %w", a.Value, ErrRemote)
				}
			}
		case xml.EndElement:
			stack = stack[:len(stack)-1]
			cost.end(t)
		case xml.CharData:
			if len(stack) == 0 {
				continue
			}
			source, err := c.text(path, stack, string(t), depth)
			if err != nil {
				return err
			}
			if source != "" {
				cost.source(c.layers[filepath.Clean(source)])
			}
		}
	}
}

// text judges the text of the innermost element of a VRT, and returns the source it names.
func (c localCheck) text(vrt string, stack []xml.StartElement, text string, depth int) (source string, err error) {
	element := stack[len(stack)-1]
	name := strings.ToLower(element.Name.Local)
	if name == "sourcefilename" || name == "sourcedataset" {
		source := text
		if attribute(element, "relativeToVRT") == "1" && !filepath.IsAbs(source) {
			source = filepath.Join(filepath.Dir(vrt), source)
		}
		if err := c.file(source, depth+1); err != nil {
			return "", fmt.Errorf("its source %q: %w", text, err)
		}
		return source, nil
	}
	// A note may hold a web address; one that GDAL follows stands in a metadata
	// domain of its own.
	note := name == "srs" || name == "description" ||
		name == "mdi" && len(stack) > 1 && attribute(stack[len(stack)-2], "domain") == ""
	if found := remoteName.FindString(text); found != "" && (!note || strings.HasPrefix(strings.ToLower(found), "/vsi")) {
		return "", fmt.Errorf("it names %q: %w", strings.TrimSpace(text), ErrRemote)
	}
	return "", nil
}

// attribute returns the value of an attribute in any case of letters.
func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if strings.EqualFold(a.Name.Local, name) {
			return a.Value
		}
	}
	return ""
}
