package plan

import "github.com/polereach/polereach/linkbudget"

// Resolve returns a station of the plan with the settings filled in. The error
// is that of a height from
// nowhere or of a value out of range.
func (s Settings) Resolve(st *Station) (linkbudget.Station, error) {
	if err := s.heights([]*Station{st}); err != nil {
		return linkbudget.Station{}, err
	}
	out := s.station(st)
	return out, out.Validate()
}
