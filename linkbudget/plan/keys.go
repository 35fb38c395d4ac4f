package plan

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain/fault"
)

// row is a key and the field it stands for. A new key is a field and a row.
type row[T any] struct {
	name, doc string
	otherwise string       // what holds without it, where neither the settings nor the budget say so
	at        func(*T) any // points to the field; nil: kept as it stands
	words     []string
	limits    fault.Limits                        // of a number that is none of linkbudget.StationNumbers
	word      func(to *linkbudget.Station, i int) // puts the word, by its place in words, into the station of the budget
}

var stationKeys = newTable("Point", []row[Station]{
	{name: "name", doc: "unique", otherwise: "Name, label, title, fid, id, else its number", at: func(s *Station) any { return &s.Name }},
	{name: "status", doc: "whether it is there", otherwise: statusWords[Standing], at: func(s *Station) any { return &s.Status }, words: statusWords},
	{name: "height_m", doc: "antenna above ground", at: func(s *Station) any { return &s.HeightM }},
	{name: "tx_dbm", doc: "transmitter output", at: func(s *Station) any { return &s.TxDBm }},
	{name: "gain_dbi", doc: "antenna gain", at: func(s *Station) any { return &s.GainDBi }},
	{name: "feed_loss_db", doc: "cable and connectors", at: func(s *Station) any { return &s.FeedLossDB }},
	{name: "hardware_db", doc: "lost between data sheets and a real node, each way", at: func(s *Station) any { return &s.HardwareDB }},
	{name: "noise_figure_db", doc: "of the receiver", at: func(s *Station) any { return &s.NoiseFigureDB }},
	{name: "noise_rise_db", doc: "noise from outside over thermal, as measured", at: func(s *Station) any { return &s.NoiseRiseDB }},
	{name: "tilt_deg", doc: "main lobe over the horizontal", otherwise: "0", at: func(s *Station) any { return &s.TiltDeg }},
	{name: "beam", doc: "all round, or to the side of azimuth_deg", otherwise: Omni, at: func(s *Station) any { return &s.Beam },
		words: []string{Omni, Sector}, word: func(to *linkbudget.Station, i int) { to.Antenna.Beam = antenna.Beam(i) }},
	{name: "azimuth_deg", doc: "where a sector looks, clockwise from true north; a sector needs it", otherwise: "none", at: func(s *Station) any { return &s.AzimuthDeg }},
	{name: "polarisation", doc: "of the antenna", at: func(s *Station) any { return &s.Polarisation },
		words: words(radio.Vertical, radio.Horizontal), word: func(to *linkbudget.Station,
			i int) {
			to.Polarisation = radio.Polarisation(i)
		}},
	{name: "inside", doc: "what the antenna stands in; free: looked at, nothing rises near", at: func(s *Station) any { return &s.Inside },
		words: words(clutter.Free, clutter.Open, clutter.Suburban, clutter.Wood, clutter.Urban, clutter.DenseUrban),
		word:  func(to *linkbudget.Station, i int) { to.Surroundings.Inside = clutter.Free + clutter.Class(i) }},
	{name: "clutter_top_m", doc: "height of that clutter; 0: that of the class", otherwise: "0", at: func(s *Station) any { return &s.ClutterTopM }},
	{name: "wood_m", doc: "wood in front of the antenna", otherwise: "0", at: func(s *Station) any { return &s.WoodM }},
	{name: "beamwidth_deg", doc: "of a sector, between half powers", at: func(s *Station) any { return &s.BeamwidthDeg }},
	{name: "vertical_beamwidth_deg", doc: "of any antenna, between half powers, by its data sheet", at: func(s *Station) any { return &s.VerticalBeamwidthDeg }},
	{name: "coax", doc: "class of the cable, with coax_m", otherwise: "no cable but that of feed_loss_db",
		at: func(s *Station) any { return &s.Coax }, words: coaxWords(),
		word: func(to *linkbudget.Station, i int) { to.Feeder.Coax = antenna.CoaxClasses()[i] }},
	{name: "coax_m", doc: "length of the cable, with coax", otherwise: "none", at: func(s *Station) any { return &s.CoaxM }},
	{name: "vswr", doc: "standing wave ratio of the antenna", at: func(s *Station) any { return &s.VSWR }},
	{name: "mount", doc: "antenna on top of the mast or beside it", otherwise: "top", at: func(s *Station) any { return &s.Mount },
		words: []string{"top", "side"}, word: func(to *linkbudget.Station, i int) { to.SideMounted = i == 1 }},
	{name: "noise", doc: "man-made noise around", otherwise: "rural", at: func(s *Station) any { return &s.Noise },
		words: []string{"rural", "suburb", "city"}, word: func(to *linkbudget.Station, i int) {
			to.ExternalNoiseDB = [...]linkbudget.DB{lora.ExternalNoiseRural, lora.ExternalNoiseSuburb, lora.ExternalNoiseCity}[i]
		}},
	{name: "nearby_tx_dbm", doc: "output of a transmitter close by, with the next two", otherwise: "none", at: func(s *Station) any { return &s.NearbyTxDBm }},
	{name: "nearby_offset_mhz", doc: "of its carrier from the wanted one", otherwise: "none", at: func(s *Station) any { return &s.NearbyOffsetMHz }},
	{name: "nearby_isolation_db", doc: "between both antenna ports", otherwise: "none", at: func(s *Station) any { return &s.NearbyIsolationDB }},
})

var linkKeys = newTable("LineString", []row[Link]{
	{name: "from", doc: "name of a station", otherwise: "the station within 50 m of the end of the line", at: func(l *Link) any { return &l.From }},
	{name: "to", doc: "name of another; A to B is the same link as B to A", otherwise: "the station within 50 m of the other end", at: func(l *Link) any { return &l.To }},
	{name: "required", doc: "whether the link has to hold", otherwise: "true", at: func(l *Link) any { return &l.Required }},
	{name: "sf", doc: "spreading factor", at: func(l *Link) any { return &l.SF }, limits: fault.Limits{Min: 5, Max: 12}},
	{name: "cr", doc: "coding rate by its denominator", at: func(l *Link) any { return &l.CR },
		limits: fault.Limits{Min: 5, Max: 8, Unit: "(5 is 4/5, 8 is 4/8)"}},
	{name: "bw_khz", doc: "bandwidth", at: func(l *Link) any { return &l.BWKHz }, limits: fault.Limits{Unit: "kHz"}},
	{name: "freq_mhz", doc: "carrier", at: func(l *Link) any { return &l.FreqMHz },
		limits: fault.Limits{Min: radio.MinFreqHz / 1e6, Max: radio.MaxFreqHz / 1e6, Unit: "MHz"}},
	{name: "name", doc: "label for messages", otherwise: "its ends"},
	{name: "road", doc: "true: a road and no link, as is a line with an OpenStreetMap highway", otherwise: "false"},
	{name: "wanted", doc: "false: a drawing, or a pair that an earlier run wrote down unasked, and no link", otherwise: "true"},
})

var areaKeys = newTable("Polygon", []row[Area]{
	{name: "name", doc: "of the ground", otherwise: "none", at: func(a *Area) any { return &a.Name }},
	{name: "status", doc: "ground where a pole may stand", otherwise: "searchable", words: []string{"searchable"}},
	{name: "height_m", doc: "antenna above ground of a pole there", at: func(a *Area) any { return &a.HeightM }},
})

var coverKeys = newTable("Polygon", []row[Cover]{
	{name: "name", at: func(c *Cover) any { return &c.Name }},
	{name: "stands", doc: "what stands on the ground there, over what a cover says; with it, or with top_m, no pole is " +
		"looked for there", otherwise: "suburban beside top_m",
		at: func(c *Cover) any { return &c.Stands }, words: words(coverClasses...)},
	{name: "top_m", doc: "height of what stands there above the ground", otherwise: "that of the class", at: func(c *Cover) any { return &c.TopM },
		limits: fault.Limits{Min: 0, Above: true, Max: 100, Unit: "m"}},
})

// roadKeys are no keys of their own in Keys: those of a LineString tell of them.
var roadKeys = newTable("LineString", []row[Road]{
	{name: "road", at: func(w *Road) any { return w }, words: []string{"true"}},
	{name: "name", at: func(w *Road) any { return &w.Name }},
})

// The ten LoRa bandwidths by the label printed in the transceivers' data sheets;
// exactly they are 500 kHz over 64, 48, 32, 24, 16, 12, 8, 4, 2, 1.
var bandwidthsKHz = []float64{7.8, 10.4, 15.6, 20.8, 31.25, 41.7, 62.5, 125, 250, 500}

func words[T fmt.Stringer](of ...T) (words []string) {
	for _, v := range of {
		words = append(words, v.String())
	}
	return words
}

func coaxWords() (words []string) {
	for _, c := range antenna.CoaxClasses() {
		words = append(words, c.Name)
	}
	return words
}

// item is what one feature stands for.
type item interface {
	keys() *keySet
	bind(i int) any // points to the field of the key; nil: kept as it stands
	shape() orb.Geometry
	source() (raw []byte, feature int)
}

// keySet are the keys of an item, in the order they are written.
type keySet struct {
	list  []Key
	index map[string]int
}

// known returns a key by its name, nil where there is none, and its field.
func known(it item, name string) (*Key, any) {
	i, ok := it.keys().index[name]
	if !ok {
		return nil, nil
	}
	return &it.keys().list[i], it.bind(i)
}

type table[T any] struct {
	keySet
	rows []row[T]
}

func (t *table[T]) bind(i int, of *T) any {
	if at := t.rows[i].at; at != nil {
		return at(of)
	}
	return nil
}

// newTable finds the ranges that the budget has, too.
func newTable[T any](feature string, rows []row[T]) *table[T] {
	t := &table[T]{keySet{make([]Key, len(rows)), make(map[string]int, len(rows))}, rows}
	numbers := linkbudget.StationNumbers()
	for i, r := range rows {
		k := Key{Feature: feature, Name: r.name, Doc: r.doc, Limits: r.limits, Words: r.words, Default: r.otherwise}
		for _, n := range numbers {
			if n.Key != r.name {
				continue
			}
			k.Default = cmp.Or(k.Default, n.Zero)
			if k.Limits = n.Limits; n.At(&linkbudget.Station{}) != nil {
				k.Model = n.At
			}
		}
		k.allowed = k.allows(t.bind(i, new(T)))
		t.list[i], t.index[r.name] = k, i
	}
	return t
}

func (s *Station) keys() *keySet         { return &stationKeys.keySet }
func (s *Station) bind(i int) any        { return stationKeys.bind(i, s) }
func (s *Station) shape() orb.Geometry   { return s.At }
func (s *Station) source() ([]byte, int) { return s.raw, s.Feature }

func (l *Link) keys() *keySet         { return &linkKeys.keySet }
func (l *Link) bind(i int) any        { return linkKeys.bind(i, l) }
func (l *Link) shape() orb.Geometry   { return l.Line }
func (l *Link) source() ([]byte, int) { return l.raw, l.Feature }

func (a *Area) keys() *keySet         { return &areaKeys.keySet }
func (a *Area) bind(i int) any        { return areaKeys.bind(i, a) }
func (a *Area) shape() orb.Geometry   { return a.Polygon }
func (a *Area) source() ([]byte, int) { return a.raw, a.Feature }

// Keys lists the keys of the plan file: of a Point (a station), a LineString (a link) and
// a Polygon (ground where a pole may stand, or on which something stands), in the order in which they are written.
func Keys() []Key {
	return slices.Concat(stationKeys.list, linkKeys.list, areaKeys.list, coverKeys.list[1:]) // both have a name
}

// WhatIfKeys lists the keys of a station that a comparison may change: all that are looked
// at here but its name, by which links and gateways find it.
func WhatIfKeys() (names []string) {
	for _, k := range stationKeys.list[1:] {
		if k.allowed != "" {
			names = append(names, k.Name)
		}
	}
	return names
}
