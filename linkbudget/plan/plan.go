package plan

import (
	"bytes"
	"encoding/json"
	"fmt"

	"github.com/paulmach/orb"
)

// Plan is a plan file: stations, wanted links, searchable ground and what stands on the ground, each in
// the order of the file. What polereach does not know is kept beside it and
// written back by GeoJSON. A Plan may also be put together by hand. Several
// goroutines may read one at once, as every check does; nothing here changes it.
type Plan struct {
	Source   string // name of the file as given to Read, for messages
	Stations []Station
	Links    []Link
	Areas    []Area
	Cover    []Cover
	Roads    []Road
	Results  []Result
	// Warnings are things that are allowed but look like slips: a key that is
	// nearly a known one beside it, two stations on one spot, one far from the rest
	// that would stand among them with longitude and latitude exchanged.
	Warnings []string

	root     []member       // members of the FeatureCollection
	features int            // how many features the file had
	index    map[string]int // station name -> Stations
}

// Station is a Point of the plan. A nil pointer means that the file does not say, so that
// the value comes from the settings. [Keys] tells units, ranges, words and meaning of
// each, under its key.
type Station struct {
	Name                                            string
	At                                              orb.Point // longitude, latitude in degrees, WGS 84
	Status                                          Status
	HeightM, TxDBm, GainDBi, FeedLossDB, HardwareDB *float64
	NoiseFigureDB, NoiseRiseDB                      *float64
	TiltDeg, AzimuthDeg, BeamwidthDeg               *float64
	VerticalBeamwidthDeg                            *float64
	Beam, Polarisation, Inside                      *string
	ClutterTopM, WoodM                              *float64
	Coax                                            *string
	CoaxM, VSWR                                     *float64
	Mount, Noise                                    *string
	NearbyTxDBm, NearbyOffsetMHz, NearbyIsolationDB *float64
	Feature                                         int // index in "features", counted from 0

	raw []byte // the feature as read, nil for a station made by hand
}

// Link is a LineString of the plan: a wanted link between two stations. The
// names decide; the line is a drawing and need not touch the stations.
type Link struct {
	From, To string
	Required bool     // true unless the file says false
	SF       *int     // spreading factor
	CR       *int     // coding rate by its denominator: 5 is 4/5, 8 is 4/8
	BWKHz    *float64 // bandwidth by its label: 7.8 10.4 15.6 20.8 31.25 41.7 62.5 125 250 500
	FreqMHz  *float64
	Line     orb.LineString
	Feature  int

	raw []byte
}

// Area is a Polygon of the plan: ground where a pole may stand.
type Area struct {
	Name    string   // may be empty
	HeightM *float64 // antenna above ground of a pole put there
	Polygon orb.Polygon
	Feature int

	raw []byte
}

// Status says whether a station is there.
type Status uint8

// A station stands unless the plan says that it is proposed.
const (
	Standing Status = iota
	Proposed
)

var statusWords = []string{"standing", "proposed"}

// String returns the word of the plan file.
func (s Status) String() string {
	if int(s) >= len(statusWords) {
		return fmt.Sprintf("status %d", uint8(s))
	}
	return statusWords[s]
}

// Words of Beam: an omni radiates all round, a sector towards AzimuthDeg.
const (
	Omni   = "omni"
	Sector = "sector"
)

// Station returns the station of that name; the pointer is into p.Stations.
func (p *Plan) Station(name string) (*Station, bool) {
	if i, ok := p.index[name]; ok && i < len(p.Stations) && p.Stations[i].Name == name {
		return &p.Stations[i], true
	}
	for i := range p.Stations { // made or changed by hand
		if p.Stations[i].Name == name {
			return &p.Stations[i], true
		}
	}
	return nil, false
}

// Property returns the JSON text of any property of the station as it was read,
// for keys that are checked elsewhere, such as panel_* and cell_*: of these a number given
// as text comes as the number. A null and empty text count as absent.
func (s *Station) Property(key string) (json.RawMessage, bool) { return property(s.raw, key) }

func property(feature []byte, key string) (json.RawMessage, bool) {
	raw := find(members(find(members(feature), "properties")), key)
	if isAbsent(raw) {
		return nil, false
	}
	if number := surveyed(key, raw); number != nil {
		return number, true
	}
	return json.RawMessage(bytes.Clone(raw)), true
}
