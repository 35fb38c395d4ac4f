package terrain

import "github.com/paulmach/orb"

// Gap is a stretch of a profile without known ground.
type Gap struct {
	// FromM and ToM are the distances of its first and its last point, metres;
	// they are equal where a single point is missing.
	FromM, ToM float64
	// Flag tells why: Void or Outside.
	Flag Flag
	// Place is its first point, degrees, longitude first; 0, 0 in a profile
	// without Points.
	Place orb.Point
}

// Unknown returns the stretches of the profile without known ground, in order.
// Where Void turns into Outside, or back, a new stretch begins. A
// profile whose lists differ in length has none.
func (p Profile) Unknown() []Gap {
	var any Flag
	for _, f := range p.Flags {
		any |= f
	}
	if any == Ground {
		return nil // the usual case
	}
	var gaps []Gap
	if len(p.DistM) != len(p.Flags) || p.Points != nil && len(p.Points) != len(p.Flags) {
		return nil // Validate tells
	}
	for i := 0; i < len(p.Flags); {
		end := p.runEnd(i)
		if !p.Flags[i].Known() {
			g := Gap{FromM: p.DistM[i], ToM: p.DistM[end-1], Flag: p.Flags[i]}
			if p.Points != nil {
				g.Place = p.Points[i]
			}
			gaps = append(gaps, g)
		}
		i = end
	}
	return gaps
}

// runEnd returns the index after the run of equal flags that starts at i.
func (p Profile) runEnd(i int) int {
	end := i + 1
	for end < len(p.Flags) && p.Flags[end] == p.Flags[i] {
		end++
	}
	return end
}

// fillVoids interpolates linearly over every run of Void points whose known
// neighbours are at most longestM apart, and flags them Filled. A run that
// touches an end of the profile, or ground Outside, stays.
func (p Profile) fillVoids(longestM float64) {
	for i := 0; i < len(p.Flags); {
		end := p.runEnd(i)
		before := i - 1
		if p.Flags[i] == Void && before >= 0 && end < len(p.Flags) &&
			p.Flags[before].Known() && p.Flags[end].Known() &&
			p.DistM[end]-p.DistM[before] <= longestM {
			p.bridge(before, end)
		}
		i = end
	}
}

// bridge fills the points between two known ones.
func (p Profile) bridge(before, after int) {
	perM := (p.HeightM[after] - p.HeightM[before]) / (p.DistM[after] - p.DistM[before])
	for i := before + 1; i < after; i++ {
		p.HeightM[i] = p.HeightM[before] + perM*(p.DistM[i]-p.DistM[before])
		p.Flags[i] = Filled
	}
}
