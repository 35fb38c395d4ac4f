package calibrate

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Track is where something was, in the order of time.
type Track []Fix

// Fix is a place at a time.
type Fix struct {
	TimeS float64 // since 1970, UTC
	At    orb.Point
}

// mostFixes bounds a track: a month of seconds.
const mostFixes = 3_000_000

// ReadTrack reads the track points of a GPX file (GPX 1.1, topografix.com) that have a time.
// The error names what is no GPX, or a place or time that is none ([fault.ErrInput]).
func ReadTrack(r io.Reader) (Track, error) {
	var t Track
	d := xml.NewDecoder(r)
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fault.Input("found broken XML after %d track points: %w", len(t), err)
		}
		start, ok := token.(xml.StartElement)
		if !ok || start.Name.Local != "trkpt" {
			continue
		}
		var p struct {
			Lon  float64 `xml:"lon,attr"`
			Lat  float64 `xml:"lat,attr"`
			Time string  `xml:"time"`
		}
		if err := d.DecodeElement(&p, &start); err != nil {
			return nil, fault.Input("track point %d: %w", len(t)+1, err)
		}
		s, err := moment(p.Time)
		if err == nil && math.IsNaN(s) {
			continue
		}
		at := orb.Point{p.Lon, p.Lat}
		if err := errors.Join(err, terrain.CheckPlace(at)); err != nil {
			return nil, fault.Input("track point %d: %w", len(t)+1, err)
		}
		if t = append(t, Fix{s, at}); len(t) > mostFixes {
			return nil, fault.Input("found more than %d track points", mostFixes)
		}
	}
	if len(t) < 2 {
		return nil, fault.Input("found %d track points with a time, allowed 2 and more", len(t))
	}
	slices.SortStableFunc(t, func(a, b Fix) int {
		switch {
		case a.TimeS < b.TimeS:
			return -1
		case a.TimeS > b.TimeS:
			return 1
		}
		return 0
	})
	return t, nil
}

// longestStopS is how long a track may be silent and yet tell: a logger that saves power
// writes at least so often (practice).
const longestStopS = 120

// at is the place at a time, straight between fixes.
func (t Track) at(s float64) (orb.Point, error) {
	i := sort.Search(len(t), func(i int) bool { return t[i].TimeS >= s })
	switch {
	case i < len(t) && t[i].TimeS == s:
		return t[i].At, nil
	case i == 0:
		return orb.Point{}, outsideTrack(t[0].TimeS-s, "before the track begins")
	case i == len(t):
		return orb.Point{}, outsideTrack(s-t[i-1].TimeS, "after the track ends")
	}
	a, b := t[i-1], t[i]
	if b.TimeS-a.TimeS > longestStopS {
		return orb.Point{}, fmt.Errorf("time: the track is silent for %.0f s there, allowed %d", b.TimeS-a.TimeS,
			longestStopS)
	}
	u := (s - a.TimeS) / (b.TimeS - a.TimeS)
	return orb.Point{a.At[0] + u*(b.At[0]-a.At[0]), a.At[1] + u*(b.At[1]-a.At[1])}, nil
}

// outsideTrack says how far off a time is, and what whole hours usually mean.
func outsideTrack(offS float64, where string) error {
	hint := ""
	if offS > 1800 {
		hint = "; is a clock in local time or wrong? GPX is in UTC"
	}
	return fmt.Errorf("time: %.0f s %s%s", offS, where, hint)
}
