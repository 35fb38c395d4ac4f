//go:build !race

package coverage_test

const raceDetector = false
