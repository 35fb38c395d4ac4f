package plan

import "github.com/paulmach/orb"

// Result is a LineString with the property "wanted": false: a pair that an
// earlier run examined and wrote down, but nobody asked for. It is no link and
// is not examined for its own sake; set to true, or taken out, the property
// makes a wanted link of the line. All keys are kept and none is looked at, as
// the stations may have changed since.
type Result struct {
	Line    orb.LineString
	Feature int

	raw []byte
}

func (s *Result) keys() *keySet         { return &keySet{} }
func (s *Result) bind(int) any          { return nil }
func (s *Result) shape() orb.Geometry   { return s.Line }
func (s *Result) source() ([]byte, int) { return s.raw, s.Feature }
