package terrain

import (
	"fmt"
	"io/fs"
	"math"
	"path"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

// An SRTM tile (.hgt) is one square degree of posts, big-endian signed 16-bit
// metres, row by row from the north, with no header: the file name gives the
// south-west corner and the file size the spacing. Neighbouring tiles share
// the posts along their common edge. Source: USGS/NASA, "SRTM Topography"
// (SRTM_Topo.txt, the documentation delivered with the data), section 3.
const (
	postsSRTM3 = 1201 // per side, 3 arc seconds
	postsSRTM1 = 3601 // per side, 1 arc second
	bytesSRTM3 = 2 * postsSRTM3 * postsSRTM3
	bytesSRTM1 = 2 * postsSRTM1 * postsSRTM1
)

const formatSRTM = "SRTM tile"

// Heights outside these limits are no ground: the lowest shore lies at about
// -430 m (open pits reach some way below), the highest summit at 8849 m. The
// void mark of SRTM, -32768, lies outside as well.
const (
	lowestGroundM  = -500
	highestGroundM = 9000
)

// openHGT opens a plain .hgt tile.
func openHGT(fsys fs.FS, name string) (Source, error) {
	corner, ok := cornerOf(name)
	if !ok {
		return Source{}, errCorner(name)
	}
	info, err := fs.Stat(fsys, name)
	if err != nil {
		return Source{}, fmt.Errorf("terrain: %w", err)
	}
	l, err := corner.lattice(info.Size())
	if err != nil {
		return Source{}, fmt.Errorf("terrain: %s: %w", name, err)
	}
	return Source{Name: name, Lattice: l, Format: formatSRTM, Load: func() (*Grid, error) {
		return inFile(fsys, name, func(f fs.File, _ int64) (*Grid, error) { return loadHGT(f, l) })
	}}, nil
}

// errCorner is that of a tile whose name does not tell where it lies.
func errCorner(name string) error {
	return fmt.Errorf("terrain: %s: the name does not tell where the tile lies, must begin with its "+
		"south-west corner, N00..N89 or S01..S90, then E000..E180 or W001..W180, such as N36W085.hgt", name)
}

// groundOrVoid returns a height in metres as it is kept in a Grid.
func groundOrVoid(heightM float64) float32 {
	if !(heightM >= lowestGroundM && heightM <= highestGroundM) {
		return VoidHeight()
	}
	return float32(heightM)
}

// corner is the south-west corner of a one-degree tile, whole degrees.
type corner struct{ latDeg, lonDeg int }

// String returns the corner the way tiles are named.
func (c corner) String() string {
	ns, lat, ew, lon := 'N', c.latDeg, 'E', c.lonDeg
	if lat < 0 {
		ns, lat = 'S', -lat
	}
	if lon < 0 {
		ew, lon = 'W', -lon
	}
	return fmt.Sprintf("%c%02d%c%03d", ns, lat, ew, lon)
}

// TileName names the one-degree tile that holds a place in degrees, as elevation
// data is distributed: N36W085 reaches from 36° N, 85° W one degree north and east.
func TileName(at orb.Point) string {
	return corner{int(math.Floor(at.Lat())), int(math.Floor(at.Lon()))}.String()
}

// cornerOf reads the corner off the front of a file name such as N36W085.SRTMGL3.hgt: N or S, two
// digits, E or W, three digits, in any case, then the end of the name or a mark that is neither
// digit nor letter.
func cornerOf(name string) (corner, bool) {
	// Archives made on some systems separate folders by a backslash.
	base := strings.ToUpper(path.Base(strings.ReplaceAll(name, `\`, "/")))
	if len(base) < 7 || !strings.Contains("NS", base[:1]) || !strings.Contains("EW", base[3:4]) {
		return corner{}, false
	}
	if len(base) > 7 {
		if b := base[7]; b >= '0' && b <= '9' || b >= 'A' && b <= 'Z' {
			return corner{}, false
		}
	}
	lat, errLat := strconv.ParseUint(base[1:3], 10, 8) // refuses a sign
	lon, errLon := strconv.ParseUint(base[4:7], 10, 16)
	if errLat != nil || errLon != nil {
		return corner{}, false
	}
	c := corner{int(lat), int(lon)}
	if base[0] == 'S' {
		c.latDeg = -c.latDeg
	}
	if base[3] == 'W' {
		c.lonDeg = -c.lonDeg
	}
	// The tile reaches one degree north and east of its corner.
	return c, c.latDeg >= -90 && c.latDeg <= 89 && c.lonDeg >= -180 && c.lonDeg <= 180
}

// lattice returns the posts of a tile that has the given number of bytes.
func (c corner) lattice(size int64) (Lattice, error) {
	for _, posts := range [2]int{postsSRTM3, postsSRTM1} {
		if size == int64(2*posts*posts) {
			step := 1 / float64(posts-1)
			return Lattice{WestDeg: float64(c.lonDeg), NorthDeg: float64(c.latDeg + 1),
				StepLonDeg: step, StepLatDeg: step, Cols: posts, Rows: posts}, nil
		}
	}
	return Lattice{}, fmt.Errorf("an SRTM tile of %d bytes, must be %d (%d × %[3]d posts, 3\") or "+
		"%d (%d × %[5]d posts, 1\")", size, bytesSRTM3, postsSRTM3, bytesSRTM1, postsSRTM1)
}
