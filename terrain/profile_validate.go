package terrain

import (
	"errors"
	"fmt"
	"math"

	"github.com/polereach/polereach/terrain/fault"
)

// Validate returns every fault of a profile, each kind once with its first place and its count:
// lengths that differ, fewer than two points, a first distance other than 0, repeated or falling
// distances, a length below 1 mm, values that are not finite, flags that do not exist, tops below
// the ground, places that CheckPlace refuses.
func (p Profile) Validate() error {
	if p.sound() {
		return nil
	}
	n := len(p.DistM)
	var errs []error
	add := func(format string, args ...any) {
		errs = append(errs, fault.Input("terrain: profile: "+format, args...))
	}
	if n < 2 {
		add("%d points, must be 2 or more", n)
	}
	if len(p.HeightM) != n {
		add("%d heights for %d distances, must be as many", len(p.HeightM), n)
	}
	for _, s := range []struct {
		what  string
		given bool
		n     int
	}{{"tops", p.TopM != nil, len(p.TopM)}, {"things standing", p.Standing != nil, len(p.Standing)},
		{"flags", p.Flags != nil, len(p.Flags)},
		{"places", p.Points != nil, len(p.Points)}} {
		if s.given && s.n != n {
			add("%d %s for %d distances, must be as many, or none", s.n, s.what, n)
		}
	}
	// first reports the first index that is bad, and how many are.
	first := func(length int, bad func(i int) bool, message func(i int) string) {
		at, count := 0, 0
		for i := range length {
			if bad(i) {
				if count++; count == 1 {
					at = i
				}
			}
		}
		switch {
		case count == 1:
			add("%s", message(at))
		case count > 1:
			add("%s; %d such points", message(at), count)
		}
	}
	first(n, func(i int) bool { return !finite(p.DistM[i]) },
		func(i int) string { return fmt.Sprintf("distance %d is %g m, must be finite", i, p.DistM[i]) })
	if n > 0 && finite(p.DistM[0]) && p.DistM[0] != 0 {
		add("first distance is %g m, must be 0", p.DistM[0])
	}
	if l := p.LengthM(); l > 0 && l < shortestPathM {
		add("length is %g m, must be %g m or more", l, shortestPathM)
	}
	first(n, func(i int) bool { return i > 0 && p.DistM[i] <= p.DistM[i-1] }, func(i int) string {
		return fmt.Sprintf("distance %d is %g m after %g m, must be above it", i, p.DistM[i], p.DistM[i-1])
	})
	first(len(p.HeightM), func(i int) bool { return !finite(p.HeightM[i]) },
		func(i int) string { return fmt.Sprintf("height %d is %g m, must be finite", i, p.HeightM[i]) })
	first(min(len(p.TopM), len(p.HeightM)), func(i int) bool {
		return !(p.TopM[i] >= p.HeightM[i]) ||
			!finite(p.TopM[i])
	}, func(i int) string {
		return fmt.Sprintf("top %d is %g m over ground of %g m, must be finite and not below it", i, p.TopM[i], p.HeightM[i])
	})
	first(len(p.Standing), func(i int) bool { return !p.Standing[i].sound() }, func(i int) string {
		return fmt.Sprintf("what stands at point %d is %s of %g m, must be a class and 0 to %d m", i, p.Standing[i].Class,
			p.Standing[i].HeightM, MostStandingM)
	})
	first(len(p.Woods), func(i int) bool { return !p.Woods[i].sound(p.LengthM()) }, func(i int) string {
		return fmt.Sprintf("wood at end %d is %+v, must lie on the path", i, p.Woods[i])
	})
	first(len(p.Flags), func(i int) bool { return p.Flags[i] > Filled },
		func(i int) string { return fmt.Sprintf("flag %d is %d, must be 0 to %d", i, p.Flags[i], Filled) })
	first(len(p.Points), func(i int) bool { return CheckPlace(p.Points[i]) != nil },
		func(i int) string { return fmt.Sprintf("place %d: %v", i, CheckPlace(p.Points[i])) })
	for _, az := range []float64{p.AzimuthDeg, p.BackAzimuthDeg} {
		if !(az >= 0 && az <= 360) {
			add("azimuth is %g°, must be 0 to 360", az)
		}
	}
	return errors.Join(errs...)
}

// sound reports whether Validate has nothing to say, quickly: profiles are
// validated wherever they are used, and hardly ever at fault.
func (p Profile) sound() bool {
	n := len(p.DistM)
	if n < 2 || len(p.HeightM) != n || p.DistM[0] != 0 ||
		p.TopM != nil && len(p.TopM) != n || p.Flags != nil && len(p.Flags) != n || p.Points != nil && len(p.Points) != n ||
		p.Standing != nil && len(p.Standing) != n || !p.Woods[0].sound(p.LengthM()) || !p.Woods[1].sound(p.LengthM()) ||
		!(p.AzimuthDeg >= 0 && p.AzimuthDeg <= 360) || !(p.BackAzimuthDeg >= 0 && p.BackAzimuthDeg <= 360) {
		return false
	}
	// A number without its sign orders as its bits do, infinity and NaN above all
	// others: one maximum tells that all are in range.
	const sign = 1 << 63
	previousM := -1.0
	var height, lon, lat uint64
	heightM := p.HeightM[:n]
	for i, d := range p.DistM {
		if !(d > previousM) {
			return false
		}
		previousM = d
		height = max(height, math.Float64bits(heightM[i])&^sign)
	}
	for i, top := range p.TopM {
		if !(top >= heightM[i]) {
			return false
		}
		height = max(height, math.Float64bits(top)&^sign)
	}
	for _, s := range p.Standing {
		if !s.sound() {
			return false
		}
	}
	for i := range p.Points {
		lon = max(lon, math.Float64bits(p.Points[i][0])&^sign)
		lat = max(lat, math.Float64bits(p.Points[i][1])&^sign)
	}
	var flags Flag
	for _, f := range p.Flags {
		flags |= f // Filled has all the bits of the others
	}
	return finite(previousM) && previousM >= shortestPathM && finite(math.Float64frombits(height)) && flags <= Filled &&
		math.Float64frombits(lon) <= 360 && math.Float64frombits(lat) <= 90
}
