//go:build !race && gdal

package main

const raceDetector = false
