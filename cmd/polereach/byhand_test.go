package main

import (
	"encoding/json"
	"math"
	"testing"
)

// pathJSON is what a reader of link --profile needs to compute diffraction.
type pathJSON struct {
	A struct {
		HeightM float64 `json:"height_m"`
	} `json:"a"`
	B struct {
		HeightM float64 `json:"height_m"`
	} `json:"b"`
	Links []struct {
		Terms []struct {
			Name string  `json:"name"`
			DB   float64 `json:"db"`
		} `json:"terms"`
		Profile []struct {
			DistanceM float64 `json:"distance_m"`
			GroundM   float64 `json:"ground_m"`
			BulgeM    float64 `json:"bulge_m"`
			LineM     float64 `json:"line_of_sight_m"`
			ClearM    float64 `json:"clearance_m"`
		} `json:"profile"`
	} `json:"links"`
}

// The diffraction term is computed again from the profile that link --profile
// prints, by the equations of ITU-R P.1812-6 §4.3 written down here point by
// point: km, m, k = 4/3 on 6371 km, vertical polarisation over land, the
// speed of light 299792458 m/s.
func TestDiffractionByHandFromTheEmittedProfile(t *testing.T) {
	for name, args := range map[string][]string{
		"grazing":        {"-84.2405,36.5565", "-84.15,36.65", "--height-m", "5"},
		"several ridges": {"-84.403,36.471", "-84.1067,36.5775", "--height-a-m", "8", "--height-b-m", "3"},
		"valley":         {"-84.32,36.60", "-84.2727,36.5660", "--height-m", "6"},
		"ridge to ridge": {"-84.2308,36.4850", "-84.2725,36.6258", "--height-m", "12"},
	} {
		t.Run(name, func(t *testing.T) {
			args = append([]string{"link", "--profile", "--format", "json", "--freq-mhz", "915", "--dem", demo + "dem"}, args...)
			r := polereach(t, args...)
			var got pathJSON
			if err := json.Unmarshal([]byte(r.out), &got); err != nil {
				t.Fatal(err, r.err)
			}
			link := got.Links[0]
			want := math.NaN()
			for _, term := range link.Terms {
				if term.Name == "diffraction" {
					want = term.DB
				}
			}
			var dKm, hM []float64
			for _, p := range link.Profile {
				dKm, hM = append(dKm, p.DistanceM/1000), append(hM, p.GroundM)
				if clear := p.LineM - p.GroundM - p.BulgeM; !(math.Abs(clear-p.ClearM) <= 0.003) {
					t.Errorf("at %g m: line %g - ground %g - bulge %g is not clearance %g", p.DistanceM, p.LineM, p.GroundM, p.BulgeM,
						p.ClearM)
				}
			}
			ld := byHand{dKm, hM, 0.915}.deltaBullington(hM[0]+got.A.HeightM, hM[len(hM)-1]+got.B.HeightM)
			if !(math.Abs(ld-want) <= 0.01) {
				t.Errorf("by hand %.4f dB, emitted %.4f dB", ld, want)
			}
		})
	}
}

type byHand struct {
	dKm, hM []float64
	fGHz    float64
}

const aeKm = 6371 * 4.0 / 3

func (p byHand) lambda() float64 { return 0.299792458 / p.fGHz }

// deltaBullington is eq (39) with hts and hrs in m above the datum.
func (p byHand) deltaBullington(hts, hrs float64) float64 {
	n := len(p.dKm)
	d := p.dKm[n-1]
	v1, v2 := 0.0, 0.0 // eq (83), (84)
	for i := 1; i < n; i++ {
		v1 += (p.dKm[i] - p.dKm[i-1]) * (p.hM[i] + p.hM[i-1])
		v2 += (p.dKm[i] - p.dKm[i-1]) * (p.hM[i]*(2*p.dKm[i]+p.dKm[i-1]) + p.hM[i-1]*(p.dKm[i]+2*p.dKm[i-1]))
	}
	hst, hsr := (2*v1*d-v2)/(d*d), (v2-v1*d)/(d*d)
	hobs, aobt, aobr := math.Inf(-1), math.Inf(-1), math.Inf(-1)
	for i := 1; i < n-1; i++ {
		h := p.hM[i] - (hts*(d-p.dKm[i])+hrs*p.dKm[i])/d
		hobs, aobt, aobr = max(hobs, h), max(aobt, h/p.dKm[i]), max(aobr, h/(d-p.dKm[i]))
	}
	if hobs > 0 {
		hst, hsr = hst-hobs*aobt/(aobt+aobr), hsr-hobs*aobr/(aobt+aobr)
	}
	hte, hre := hts-min(hst, p.hM[0]), hrs-min(hsr, p.hM[n-1])
	smooth := byHand{p.dKm, make([]float64, n), p.fGHz}
	return p.bullington(hts, hrs) + max(0, p.sphericalEarth(d, hte, hre)-smooth.bullington(hte, hre))
}

// bullington is eq (13) to (21).
func (p byHand) bullington(hts, hrs float64) float64 {
	n := len(p.dKm)
	d := p.dKm[n-1]
	stim, srim, numax := math.Inf(-1), math.Inf(-1), math.Inf(-1)
	for i := 1; i < n-1; i++ {
		di := p.dKm[i]
		g := p.hM[i] + 500*di*(d-di)/aeKm
		stim, srim = max(stim, (g-hts)/di), max(srim, (g-hrs)/(d-di))
		numax = max(numax, (g-(hts*(d-di)+hrs*di)/d)*math.Sqrt(0.002*d/(p.lambda()*di*(d-di))))
	}
	nu := numax
	if stim >= (hrs-hts)/d {
		db := (hrs - hts + srim*d) / (stim + srim)
		nu = (hts + stim*db - (hts*(d-db)+hrs*db)/d) * math.Sqrt(0.002*d/(p.lambda()*db*(d-db)))
	}
	j := 0.0
	if nu > -0.78 {
		j = 6.9 + 20*math.Log10(math.Sqrt((nu-0.1)*(nu-0.1)+1)+nu-0.1)
	}
	return j + (1-math.Exp(-j/6))*(10+0.02*d)
}

// sphericalEarth is eq (22) to (27).
func (p byHand) sphericalEarth(d, hte, hre float64) float64 {
	if d >= math.Sqrt(2*aeKm)*(math.Sqrt(0.001*hte)+math.Sqrt(0.001*hre)) {
		return p.firstTerm(d, hte, hre, aeKm)
	}
	c, m := (hte-hre)/(hte+hre), 250*d*d/(aeKm*(hte+hre))
	b := 2 * math.Sqrt((m+1)/(3*m)) * math.Cos(math.Pi/3+math.Acos(3*c/2*math.Sqrt(3*m/math.Pow(m+1, 3)))/3)
	d1 := d / 2 * (1 + b)
	d2 := d - d1
	hse := ((hte-500*d1*d1/aeKm)*d2 + (hre-500*d2*d2/aeKm)*d1) / d
	hreq := 17.456 * math.Sqrt(d1*d2*p.lambda()/d)
	if hse > hreq {
		return 0
	}
	aem := 500 * math.Pow(d/(math.Sqrt(hte)+math.Sqrt(hre)), 2)
	return max(0, p.firstTerm(d, hte, hre, aem)) * (1 - hse/hreq)
}

// firstTerm is eq (29) to (36) for vertical polarisation over land.
func (p byHand) firstTerm(d, hte, hre, a float64) float64 {
	const eps, sigma = 22, 0.003
	loss := math.Pow(18*sigma/p.fGHz, 2)
	k := 0.036 * math.Pow(a*p.fGHz, -1.0/3) * math.Pow((eps-1)*(eps-1)+loss, -0.25) * math.Sqrt(eps*eps+loss)
	beta := (1 + 1.6*k*k + 0.67*math.Pow(k, 4)) / (1 + 4.5*k*k + 1.53*math.Pow(k, 4))
	x := 21.88 * beta * math.Cbrt(p.fGHz/(a*a)) * d
	f := 11 + 10*math.Log10(x) - 17.6*x
	if x < 1.6 {
		f = -20*math.Log10(x) - 5.6488*math.Pow(x, 1.425)
	}
	gain := func(h float64) float64 {
		b := beta * 0.9575 * beta * math.Cbrt(p.fGHz*p.fGHz/a) * h
		g := 20 * math.Log10(b+0.1*b*b*b)
		if b > 2 {
			g = 17.6*math.Sqrt(b-1.1) - 5*math.Log10(b-1.1) - 8
		}
		return max(g, 2+20*math.Log10(k))
	}
	return -f - gain(hte) - gain(hre)
}
