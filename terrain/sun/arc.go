package sun

import (
	"cmp"
	"math"
)

// look tells whether the sun stands above a skyline.
func (s *arcStep) look(over *sky) { s.clear = s.seenDeg > over.at(s.azimuth) }

// arc is the way of the sun over one day, cut into steps of equal hour angle,
// with what each step means for a panel. It does not depend on the weather.
type arc struct {
	steps         []arcStep
	sunsetDeg     float64
	outsideWhM2   float64 // on level ground outside the air, over the day
	view, freeSky float64 // sky view factor with and without the hills
	air           dayAir
}

// arcStep is one step, taken at its middle.
type arcStep struct {
	hour      float64 // solar time of the middle
	azimuth   float64 // of the sun, degrees
	seenDeg   float64 // its elevation with refraction
	lengthH   float64
	global    float64 // share of the day's global radiation
	diffuse   float64 // share of the day's diffuse radiation
	sinElev   float64
	beamRatio float64
	clear     bool // the sun stands above the skyline
}

// method says how a day is computed. The zero method is the one of the package;
// the published rows need others.
type method struct {
	stepDeg      float64 // hour angle, 0 means 1 (4 minutes)
	noRefraction bool
	constantWM2  float64 // 0 means SolarConstantWM2
}

func (m method) withDefaults() method {
	m.stepDeg, m.constantWM2 = cmp.Or(m.stepDeg, 1), cmp.Or(m.constantWM2, SolarConstantWM2)
	return m
}

// newArc returns the way of the sun on day n at a latitude, under a sky and its view factor. Steps
// begin at noon; the outermost ends at sunset. Hourly steps would score a ridge near the height of the noon sun
// wrongly, hence 4 minutes.
func newArc(m method, latDeg, n float64, k *sky, view float64, p Panel) arc {
	m = m.withDefaults()
	decl := declinationDeg(n)
	a := arc{
		sunsetDeg:   sunsetHourAngleDeg(latDeg, decl),
		outsideWhM2: dayOutside(m.constantWM2, latDeg, decl, n),
		view:        view,
		freeSky:     (1 + math.Cos(p.TiltDeg*deg)) / 2,
	}
	a.air = newDayAir(a.sunsetDeg)
	half := int(math.Ceil(a.sunsetDeg/m.stepDeg - 1e-9))
	if a.sunsetDeg < 1e-6 {
		half = 0 // polar night
	}
	var global, diffuse float64
	for i := -half; i < half; i++ {
		from := max(-a.sunsetDeg, float64(i)*m.stepDeg)
		to := min(a.sunsetDeg, float64(i+1)*m.stepDeg)
		w := (from + to) / 2
		elevDeg, azimuthDeg := horizontal(latDeg, decl, w)
		seenDeg := elevDeg
		if !m.noRefraction {
			seenDeg += refractionDeg(elevDeg, standardAir)
		}
		s := arcStep{
			hour:    12 + w/15,
			azimuth: azimuthDeg,
			seenDeg: seenDeg,
			lengthH: (to - from) / 15,
			sinElev: math.Sin(elevDeg * deg),
			global:  max(0, hourOfDay(w, a.sunsetDeg)) * (to - from),
			diffuse: max(0, hourOfDiffuse(w, a.sunsetDeg)) * (to - from),
		}
		s.look(k)
		s.beamRatio = beamRatio(cosIncidence(elevDeg, azimuthDeg, p), s.sinElev)
		global += s.global
		diffuse += s.diffuse
		a.steps = append(a.steps, s)
	}
	// The shapes sum to 1 within a per cent; now they do exactly.
	for i := range a.steps {
		a.steps[i].global /= global
		a.steps[i].diffuse /= diffuse
	}
	return a
}

// arcSum is what a panel gets over a day, Wh/m².
type arcSum struct {
	free, plane radiation
	yieldWh     float64 // of a panel of 1 Wp
}

// weather is that of one day.
type weather struct {
	globalWhM2   float64 // on level ground
	diffuseShare float64
	meanK        float64
	swingK       float64
	factor       float64 // model factor
}

// at returns the radiation on level ground in one step, Wh/m².
func (d *weather) at(s *arcStep) onLevel {
	global := d.globalWhM2 * s.global
	diffuse := min(global, d.globalWhM2*d.diffuseShare*s.diffuse)
	return onLevel{beam: global - diffuse, diffuse: diffuse}
}

// over adds up a day. Where hours is not nil, it takes the hours in as well.
func (a *arc) over(d weather, p Panel, hours *[24]Hour) arcSum {
	var sum arcSum
	for i := range a.steps {
		s := &a.steps[i]
		level := d.at(s)
		free := isotropic(level, s.beamRatio, a.freeSky, p)
		plane := free
		plane.sky = level.diffuse * min(a.view, a.freeSky)
		if !s.clear {
			plane.beam = 0
		}
		free, plane = free.times(d.factor), plane.times(d.factor)
		airK := a.air.at(d.meanK, d.swingK, s.hour)
		yieldWh := plane.total() / 1000 * min(1, heatFactor(plane.total()/s.lengthH, airK, p))
		sum.free, sum.plane = sum.free.plus(free), sum.plane.plus(plane)
		sum.yieldWh += yieldWh
		if hours == nil {
			continue
		}
		// A step lies within one hour, for 15° is a multiple of it.
		h := &hours[max(0, min(23, int(s.hour)))]
		h.PlaneWM2 += plane.total()
		h.YieldWPerWp += yieldWh
		h.GlobalWM2 += level.beam + level.diffuse
		h.DiffuseWM2 += level.diffuse
		if s.clear {
			h.BeamWM2 += level.beam / max(s.sinElev, lowestSinElev)
		}
	}
	if hours != nil {
		for i := range hours {
			hours[i].AirK = a.air.at(d.meanK, d.swingK, float64(i)+0.5)
		}
	}
	return sum
}

func (r radiation) times(f float64) radiation {
	return radiation{r.beam * f, r.sky * f, r.ground * f}
}

func (r radiation) plus(q radiation) radiation {
	return radiation{r.beam + q.beam, r.sky + q.sky, r.ground + q.ground}
}
