//go:build race && gdal

package main

// raceDetector tells that memory cannot be measured: the detector takes several
// times what it watches.
const raceDetector = true
