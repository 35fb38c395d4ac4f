//go:build race

package coverage_test

// raceDetector tells that arithmetic takes ten times as long.
const raceDetector = true
