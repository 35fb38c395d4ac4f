package tiles

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"fmt"
	"io"
)

// depressions are lands with dry ground below the sea: degrees with room around them, the
// lowest ground and the level of the water in them, metres. Places and depths are those of
// atlases, from memory, the depths rounded away from 0.
var depressions = []struct{ west, south, east, north, lowestM, waterM float64 }{
	{35, 30, 36, 33.5, -440, -430},     // Dead Sea, Jordan valley
	{40, 11, 43, 15, -160, -155},       // Danakil, Lake Assal
	{46, 36, 55, 50, -135, -28},        // Caspian lowland, Karagiye
	{55, 39, 60, 43, -85, -40},         // Akchanaya, Sarykamysh
	{88, 42, 90, 44, -160, -155},       // Turpan
	{26, 28, 31, 31, -140, -45},        // Qattara, Faiyum
	{6, 32, 10, 36, -45, -20},          // Chott Melrhir
	{-14, 27, -12, 28.5, -60, -55},     // Sebkha Tah
	{-117.5, 35.5, -116, 37, -90, -86}, // Death Valley
	{-116.5, 32, -115, 34, -75, -71},   // Salton Sea, Laguna Salada
	{-69, -50, -67, -49, -110, -105},   // Gran Bajo de San Julian
	{-72, 18, -71, 19, -48, -46},       // Lake Enriquillo
	{136, -30, 138, -27, -18, -15},     // Lake Eyre
	{3, 51, 10, 54, -8, 0},             // polders of the North Sea
	{12, 44, 13, 46, -5, 0},            // Po delta
	{-122.5, 37.5, -121, 38.5, -8, 0},  // Sacramento delta
	{-90.5, 29.5, -89.5, 30.5, -4, 0},  // New Orleans
}

// overWaterM is the height of the ground or of the water over it, metres, of a height that
// may be that of a sea's bottom.
func overWaterM(lon, lat, heightM float64) float64 {
	if heightM >= 0 {
		return heightM
	}
	for _, d := range depressions {
		if lon >= d.west && lon <= d.east && lat >= d.south && lat <= d.north {
			if heightM < d.lowestM {
				return d.waterM
			}
			return heightM
		}
	}
	return 0
}

// seaAtZero puts the surface of the sea in the place of its bottom, which the joined tiles
// hold: waves pass over water. Dry land below the sea keeps its heights. The tile is gzip
// of big-endian heights in rows from the north.
func seaAtZero(t Tile, packed []byte) ([]byte, error) {
	in, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, err
	}
	const mostB = 2 * 3601 * 3601
	posts, err := io.ReadAll(io.LimitReader(in, mostB+1))
	if err != nil {
		return nil, err
	}
	side := 3601
	switch len(posts) {
	case mostB:
	case 2 * 1201 * 1201:
		side = 1201
	default:
		return nil, fmt.Errorf("found %d bytes of heights, allowed 2 x 1201 x 1201 or 2 x 3601 x 3601", len(posts))
	}
	changed := false
	for i := 0; i < len(posts); i += 2 {
		height := int16(binary.BigEndian.Uint16(posts[i:]))
		if height >= 0 || height == voidPost {
			continue
		}
		row, col := i/2/side, i/2%side
		lon := float64(t.LonDeg) + float64(col)/float64(side-1)
		lat := float64(t.LatDeg+1) - float64(row)/float64(side-1)
		if over := int16(overWaterM(lon, lat, float64(height))); over != height {
			binary.BigEndian.PutUint16(posts[i:], uint16(over))
			changed = true
		}
	}
	if !changed {
		return packed, nil
	}
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	if _, err = w.Write(posts); err == nil {
		err = w.Close()
	}
	return out.Bytes(), err
}

// voidPost marks a post of unknown height in SRTM tiles.
const voidPost = -32768
