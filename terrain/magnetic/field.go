package magnetic

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"

	"github.com/paulmach/orb"
)

// epoch is the year of the coefficients, which go up to degree.
const epoch, degree = 2025, 12

// wmm2025 holds the coefficients as published, nT and nT a year.
//
//go:embed wmm2025.csv
var wmm2025 string

// gauss are Schmidt semi-normalised coefficients, nT, and their change, nT a year.
type gauss struct{ g, h, gYear, hYear float64 }

type model [degree + 1][degree + 1]gauss

var coefficients = sync.OnceValues(func() (*model, error) { return read(wmm2025) })

// read takes a table of n, m, g, h and the changes of both, every degree and order once.
func read(table string) (*model, error) {
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if want := degree * (degree + 3) / 2; err == nil && len(rows) != want+1 {
		err = fmt.Errorf("found %d rows, want a head and %d", len(rows), want)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: coefficients: %w", Model, err)
	}
	var m model
	rows = rows[1:]
	for n := 1; n <= degree; n++ {
		for k := 0; k <= n; k++ {
			row := rows[0]
			rows = rows[1:]
			var v [6]float64
			for i := range v {
				if v[i], err = strconv.ParseFloat(row[i], 64); err != nil {
					return nil, fmt.Errorf("%s: coefficients: %w", Model, err)
				}
			}
			if v[0] != float64(n) || v[1] != float64(k) {
				return nil, fmt.Errorf("%s: coefficients: found degree %g, order %g, want %d, %d", Model, v[0], v[1], n, k)
			}
			m[n][k] = gauss{v[2], v[3], v[4], v[5]}
		}
	}
	return &m, nil
}

// field is the flux density to the true north, the east and down, nT.
type field struct{ northNT, eastNT, downNT float64 }

// field sums the harmonics at a place on and over WGS 84, years after the epoch.
func (m *model) field(at orb.Point, heightM, years float64) field {
	const semiMajorM, flattening, referenceM = 6378137, 1 / 298.257223563, 6371200
	const e2 = flattening * (2 - flattening)
	sinLat, cosLat := math.Sincos(at.Lat() * math.Pi / 180)
	// Geodetic to geocentric, eq (7) and (8): radius r, latitude by its sine t and cosine u.
	normalM := semiMajorM / math.Sqrt(1-e2*sinLat*sinLat)
	outM, upM := (normalM+heightM)*cosLat, (normalM*(1-e2)+heightM)*sinLat
	r := math.Hypot(outM, upM)
	t, u := upM/r, outM/r

	var sinM, cosM [degree + 1]float64
	for k := range sinM {
		sinM[k], cosM[k] = math.Sincos(float64(k) * at.Lon() * math.Pi / 180)
	}
	// Eq (10) to (12), with the coefficients of eq (9). Order by order the associated Legendre
	// functions p rise in degree, with their slope over latitude, and q = p / u, which the east
	// takes, so that nothing is divided by 0 at the poles (recursion: Langel in Jacobs,
	// Geomagnetism 1, 1987, eq (27), from memory).
	var north, east, down float64
	sector, sectorQ := 1.0, 0.0 // p and q of degree and order k
	for k := 0; k <= degree; k++ {
		if k == 1 {
			sector, sectorQ = u, 1
		} else if k > 1 {
			by := math.Sqrt(1 - 1/float64(2*k))
			sector, sectorQ = by*u*sector, by*u*sectorQ
		}
		p, slope, q := sector, -float64(k)*t*sectorQ, sectorQ
		var p1, slope1, q1 float64 // of one degree less
		for n := k; n <= degree; n++ {
			if n > k {
				root := math.Sqrt(float64(n*n - k*k))
				a, b := float64(2*n-1)/root, math.Sqrt(float64((n-1)*(n-1)-k*k))/root
				p, p1, slope, slope1, q, q1 = a*t*p-b*p1, p, a*(u*p+t*slope)-b*slope1, slope, a*t*q-b*q1, q
			}
			if n == 0 {
				continue
			}
			c := &m[n][k]
			g, h := c.g+years*c.gYear, c.h+years*c.hYear
			ratio := math.Pow(referenceM/r, float64(n+2))
			along := ratio * (g*cosM[k] + h*sinM[k])
			north -= along * slope
			east += ratio * float64(k) * (g*sinM[k] - h*cosM[k]) * q
			down -= float64(n+1) * along * p
		}
	}
	// To the geodetic north and down, eq (17).
	sinTurn, cosTurn := t*cosLat-u*sinLat, u*cosLat+t*sinLat
	return field{north*cosTurn - down*sinTurn, east, north*sinTurn + down*cosTurn}
}
