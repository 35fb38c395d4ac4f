package report

import (
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// profilePoints lists the sampled path. Ground, bulge, line of sight and first
// Fresnel radius are those the clearance was judged with, so that a reader can
// compute diffraction again from them. Unknown heights have no ground_m.
func profilePoints(p terrain.Profile, r *linkbudget.Result, env linkbudget.Environment) []pointJSON {
	out := make([]pointJSON, len(p.DistM))
	for i := range p.DistM {
		j := pointJSON{DistanceM: metres(p.DistM[i])}
		if p.Points != nil {
			j.LonDeg, j.LatDeg = ptr(placeDeg(p.Points[i].Lon())), ptr(placeDeg(p.Points[i].Lat()))
		}
		if p.Flags != nil && p.Flags[i] != terrain.Ground {
			j.Flag = p.Flags[i].String()
		}
		if p.Flags == nil || p.Flags[i].Known() {
			j.GroundM = ptr(metres(p.HeightM[i]))
		}
		out[i] = j
	}
	if r.Verdict == linkbudget.Unknown {
		return out
	}
	sight := linkbudget.Sightline{
		DistM: p.DistM, GroundM: p.HeightM, ClutterM: linkbudget.ProfileClutter(&p, r.Cover),
		AHeightM: r.GroundAM + r.ReckonedAM, BHeightM: r.GroundBM + r.ReckonedBM,
		EffectiveRadiusM: linkbudget.EffectiveRadiusM(r.KFactor),
		WavelengthM:      linkbudget.WavelengthM(env.FreqHz),
	}
	for i := range out {
		c := sight.At(i)
		out[i].ClutterM = metres(c.GroundM - p.HeightM[i])
		out[i].BulgeM, out[i].LineM = ptr(metres(c.BulgeM)), ptr(metres(c.LineM))
		out[i].RadiusM, out[i].ClearanceM = ptr(metres(c.RadiusM)), ptr(metres(c.ClearanceM))
		if c.RadiusM > 0 {
			out[i].ClearanceF1 = ptr(fixed(c.Fraction, 4))
		}
	}
	return out
}
