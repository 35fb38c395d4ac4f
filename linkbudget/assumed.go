package linkbudget

import (
	"math"
	"slices"
)

// Assumed is what a result takes for granted around ends of which nothing is said,
// and what it would be worth to look there.
type Assumed struct {
	// Ends are the costs of open country, with the name of the station.
	Ends []AssumedEnd
	// MoreDB is won where nothing rises near any of them, SigmaDB the doubt that then
	// is left of Doubt.SigmaDB.
	MoreDB, SigmaDB DB
}

// AssumedEnd is one end of which nothing is said.
type AssumedEnd struct {
	Station string
	CostDB  DB
}

// AssumedDB is what open country costs at a station of which nothing is said and that
// stands in no town either, 0 for any other; both must be valid.
func (s Station) AssumedDB(env Environment) DB {
	if s.Surroundings.Stated() || s.inTown(&env) {
		return 0
	}
	return s.endLoss(0, &env).lossDB
}

// Assumed returns what the result assumes around its ends and that costs something; nothing of an end at which a
// cover tells of a wood that counts.
func (r *Result) Assumed() Assumed {
	a := Assumed{SigmaDB: r.Doubt.SigmaDB}
	for _, t := range r.Terms {
		if t.Source != assumedSource || t.DB <= 0 {
			continue
		}
		name := t.Name[len(openTerm):]
		if slices.ContainsFunc(r.Terms, func(t Term) bool { return t.Name == woodTerm+name && t.DB > 0 }) {
			continue
		}
		a.Ends = append(a.Ends, AssumedEnd{name, t.DB})
		a.MoreDB += t.DB
	}
	if len(a.Ends) == 0 {
		return a
	}
	var squares DB
	for _, item := range r.Doubt.Items {
		if !slices.ContainsFunc(a.Ends, func(e AssumedEnd) bool { return item.Name == endDoubt+e.Station }) {
			squares += item.DB * item.DB
		}
	}
	a.SigmaDB = DB(math.Sqrt(float64(squares)))
	return a
}
