package plan

import (
	"bytes"
	"fmt"
	"slices"
)

// MaxFeatures and MaxBytes are the largest plan that is read: the first half a million
// features took 0.8 GB, the rest of a plan about three times its bytes.
const (
	MaxFeatures = 500_000
	MaxBytes    = 128 << 20
)

// Read checks a plan file and returns it, or its faults at once: the error joins a
// *FieldError for each, up to MaxFaults. source is the name of the file for messages.
// Text that is not JSON is the one fault that hides the others, and more than MaxBytes
// or MaxFeatures another. Memory is proportional to the data, time to the data as well.
func Read(source string, data []byte) (*Plan, error) { return read(source, data, false) }

// read is Read; complete asks for a plan in which each Point has its name and each link its ends.
func read(source string, data []byte, complete bool) (*Plan, error) {
	r := &reader{
		faults: faults{source: source, feature: -1, said: map[spot]bool{}},
		plan:   &Plan{Source: source},
		grid:   mapGrid{source: source},
		lost:   map[string]bool{}, complete: complete,
		slips: slips{source: source, seen: map[string]*slip{}},
	}
	if len(data) > MaxBytes {
		r.add("", "found %d bytes, allowed %d (%d MiB) in one plan; split it by region", len(data), MaxBytes, MaxBytes>>20)
		return nil, r.err()
	}
	text, problem := compact(source, data)
	if problem != "" {
		r.add("", "%s", problem)
		return nil, r.err()
	}
	r.collection(text)
	r.slips.report(&r.faults)
	r.grid.report()
	if r.count > 0 {
		return nil, r.err()
	}
	r.plan.Warnings = slices.Concat(r.notes.told(source), r.warnings(), r.nearSpots(), r.likeNames(), r.exchanged())
	if n := len(r.plan.Warnings); n > MaxFaults {
		r.plan.Warnings = append(slices.Clip(r.plan.Warnings[:MaxFaults]), fmt.Sprintf("and %d more of %d warnings",
			n-MaxFaults, n))
	}
	return r.plan, nil
}

type reader struct {
	faults
	slips
	plan   *Plan
	grid   mapGrid
	points int             // Points met, faulty ones included
	lost   map[string]bool // names of features whose geometry is of no use

	complete bool
	notes    notes
	nameless []nameless
	// Of the feature at work, where it has no name of its own: the one that it takes on, what
	// says so, and the key under which it stands.
	nick, nickFrom, alias string

	part bool // the feature at work is the one part of a Multi geometry

	// Room for the members of a feature, of its properties and of its geometry, and
	// for a station: used again for each.
	ofFeature, ofProperties, ofGeometry []member
	one                                 Station
}

// leastPoint is less than the shortest feature with a named Point has, bytes.
const leastPoint = 80

func (r *reader) collection(text []byte) {
	r.plan.root = members(text)
	if !r.isCollection(text) {
		return
	}
	count := map[string]int{}
	for _, m := range r.plan.root {
		if count[m.name]++; count[m.name] == 2 {
			r.add(m.name, repeatedProblem)
		}
		if m.name != "features" {
			r.repeated(m.value)
		}
	}
	r.readCRS()
	list := find(r.plan.root, "features")
	if list == nil || list[0] != '[' {
		found := "nothing"
		if list != nil {
			found = describe(list)
		}
		r.add("features", "found %s, allowed a list of features: export the file anew", found)
		return
	}
	for i := range elements(list) {
		r.plan.features = i + 1
	}
	if r.plan.features > MaxFeatures {
		r.add("features", "found %d features, allowed %d in one plan; split it by region", r.plan.features, MaxFeatures)
		return
	}
	r.plan.Stations = make([]Station, 0, min(bytes.Count(list, []byte(`"Point"`)), len(list)/leastPoint,
		r.plan.features))
	for i, raw := range elements(list) {
		r.feature, r.name = i, ""
		r.readFeature(raw)
	}
	if !r.complete {
		r.christen()
		r.snap()
	}
	values := checker{&r.faults, &r.grid, r.lost}
	r.plan.index = values.plan(r.plan)
	if r.feature, r.name = -1, ""; r.points == 0 {
		r.add("features", "found no Point among %d features, allowed 1 or more: a Point is a station; draw the "+
			"poles, or export their layer with the others", r.plan.features)
	}
}

func (r *reader) isCollection(text []byte) bool {
	const allowed = "allowed a GeoJSON FeatureCollection, as GIS programs export it"
	kind := find(r.plan.root, "type")
	switch {
	case text[0] != '{':
		r.add("", "found %s, %s", describe(text), allowed)
	case r.stranger(kind) != "":
		r.add("type", "found %s", r.stranger(kind))
	case kind == nil:
		r.add("type", "found an object without a type, %s", allowed)
	case wordIndex(kind, []string{"FeatureCollection"}) < 0:
		r.add("type", "found %s, %s", describe(kind), allowed)
	default:
		return true
	}
	return false
}

// stranger tells other JSON that holds places, by its type or its members, and the command that
// makes a plan of it; "" for what is none.
func (r *reader) stranger(kind []byte) string {
	of := func(what string) string { return what + ": " + ogr(r.plan.Source, "") + " makes a plan of it" }
	switch {
	case kind != nil && wordIndex(kind, geoJSONTypes) >= 0:
		return of("a single GeoJSON " + unquote(kind) + " and no FeatureCollection")
	case kind != nil && wordIndex(kind, []string{"Topology"}) >= 0:
		return of("TopoJSON")
	case find(r.plan.root, "geometryType") != nil && find(r.plan.root, "features") != nil:
		return of("features of an ArcGIS service (Esri JSON)")
	case find(r.plan.root, "elements") != nil:
		return "the answer of an OpenStreetMap query: ask for GeoJSON, or export what is found as that"
	}
	return ""
}

// geoJSONTypes are the other types of RFC 7946 §1.4.
var geoJSONTypes = []string{"Feature", "Point", "MultiPoint", "LineString", "MultiLineString", "Polygon",
	"MultiPolygon", "GeometryCollection"}

const repeatedProblem = "found more than once in one object, allowed once"

func (r *reader) repeated(raw []byte) {
	for _, key := range repeatedKeys(raw) {
		r.add(key, repeatedProblem)
	}
}
