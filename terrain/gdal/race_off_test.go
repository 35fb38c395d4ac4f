//go:build gdal && !race

package gdal

const raceDetector = false
