package madetiff

// Tile describes a square degree in the layout of the Copernicus GLO-30 distribution (its product
// handbook, from memory): named by its south-west corner, the first posts on the north and the west
// edge, none on the others, 1" apart along the meridian and 1, 1.5, 2, 3, 5 or 10" along the parallel
// below 50, 60, 70, 80 and 85° and above, floating-point heights in tiles of DEFLATE with predictor
// 3. Stored are only the blocks within a fourteenth of a degree of the corners.
func Tile(lonDeg, latDeg int, height func(lonDeg, latDeg float64) float64) Image {
	cols, lat := 3600, max(latDeg, -latDeg-1)
	for _, zone := range []struct{ fromDeg, cols int }{{50, 2400}, {60, 1800}, {70, 1200}, {80, 720}, {85, 360}} {
		if lat >= zone.fromDeg {
			cols = zone.cols
		}
	}
	const block = 256
	across := (cols + block - 1) / block
	im := Image{Cols: cols, Rows: 3600, West: float64(lonDeg), North: float64(latDeg + 1), StepLon: 1 / float64(cols),
		StepLat: 1.0 / 3600, Kind: "Float32", Compression: 8, Predictor: 3, TileCols: block, TileRows: block, Point: true,
		Missing: func(k int) bool {
			col, row := k%across, k/across
			return col > 0 && col < across-2 || row > 0 && row < 13
		}}
	im.Height = func(col, row int) float64 {
		return height(im.West+float64(col)*im.StepLon, im.North-float64(row)*im.StepLat)
	}
	return im
}
