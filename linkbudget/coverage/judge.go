package coverage

import (
	"math"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/timepercent"
)

// judge turns edges into loss, margin and probability. It is shared by all
// workers and only read.
type judge struct {
	set         setting
	rxM         float64       // the receiver's antenna above ground
	perWave     float64       // 2/λ
	directional bool          // whether an antenna does not radiate evenly all round
	gains       [2]*gainTable // of the pole and of the receiver
	steady      distTable     // clutter, and the square of the steady doubt
	excess      *excess
	constants   constants

	fades   *timepercent.FadeTable // nil for the median
	fadesOf timepercent.FadesOf    // what all paths share
}

// cells makes the answers of n lanes cells, those not exceeded for a share of time above the
// median's where one was asked for.
func (j *judge) cells(l *lanes, out *[lanesAtOnce]Cell, n int) {
	if j.fades == nil {
		l.cells(out, n)
		return
	}
	clutter, of := l.clutter, j.fadesOf
	for k := range n {
		of.DistM, of.BHeightM = float64(l.d[k]), of.AHeightM+float64(l.rise[k])
		of.DiffractionDB = linkbudget.DB(edgeLoss(l.nu[k], lengthDB(l.d[k])) + l.excess[k])
		l.clutter[k] += float32(j.fades.NotExceeded(of))
	}
	j.constants.verdicts(l, n)
	l.clutter = clutter
	l.cells(out, n)
}

// gain is the sum of both antennas towards each other, P.1812-6 eq 77 for the
// elevation, less what the tables say: at that azimuth at the pole, degrees, which has
// turned by so much more at the receiver; climb is the slope of the straight line from the
// pole's to the receiver's over a flat earth.
func (j *judge) gain(azimuthDeg, turnDeg, d, climb float64) float64 {
	sag := j.set.curve * d
	return j.gains[0].at(azimuthDeg, climb-sag) - float64(gainOf(j.constants.gainA, float32(climb-sag))) +
		j.gains[1].at(azimuthDeg+180+turnDeg, -climb-sag) - float64(gainOf(j.constants.gainB, float32(-climb-sag)))
}

// distTable holds what depends on the distance alone: clutter, dB, and the
// square of the doubt that no ground changes. Without statistical town clutter
// both are the same everywhere.
type distTable struct {
	perOctave float64
	clutter   []float64
	squares   []float64
}

const tableFromLog2 = 5 // 32 m

func newDistTable(a linkbudget.Area) distTable {
	t := distTable{perOctave: 16}
	octaves := 15 // up to 1000 km
	if a.Env.TownPercent == 0 {
		t.perOctave, octaves = 0, 0
	}
	for i := range octaves*int(t.perOctave) + 2 {
		d := 1e4
		if t.perOctave > 0 {
			d = math.Exp2(tableFromLog2 + float64(i)/t.perOctave)
		}
		sigma := float64(a.SteadyDoubtDB(d))
		t.clutter = append(t.clutter, float64(a.ClutterDB(d)))
		t.squares = append(t.squares, sigma*sigma)
	}
	return t
}

func (t *distTable) at(distM float64) (clutterDB, sigma2 float64) {
	if t.perOctave == 0 {
		return t.clutter[0], t.squares[0]
	}
	at := max((float64(log2(float32(distM)))-tableFromLog2)*t.perOctave, 0)
	i := min(int(at), len(t.clutter)-2)
	u := at - float64(i)
	return t.clutter[i] + u*(t.clutter[i+1]-t.clutter[i]), t.squares[i] + u*(t.squares[i+1]-t.squares[i])
}

// gainTable is an antenna's pattern over the tangent of the elevation and, for
// a sector, the azimuth; straight lines between.
type gainTable struct {
	antenna  linkbudget.Antenna
	azimuths int // 1 for an antenna that radiates evenly all round
	gain     []float64
}

const (
	mostTangent = 1.0 // beyond, the pattern is asked itself
	perTangent  = 200
	elevations  = int(2*mostTangent*perTangent) + 1

	// Where a path climbs no more than that, the earth's curve does not lift the
	// elevation out of the table.
	flatTangent = 0.9
)

func newGainTable(a linkbudget.Antenna) (*gainTable, error) {
	t := &gainTable{antenna: a, azimuths: 1}
	if a.Beam == antenna.BeamSector {
		t.azimuths = 720
	}
	t.gain = make([]float64, (t.azimuths+1)*elevations)
	for i := range t.azimuths + 1 {
		for k := range elevations {
			tan := float64(k)/perTangent - mostTangent
			g, err := a.Gain(float64(i)*360/float64(t.azimuths), math.Atan(tan)*180/math.Pi)
			if err != nil {
				return nil, err
			}
			t.gain[i*elevations+k] = float64(g)
		}
	}
	return t, nil
}

// at returns the gain, dBi.
func (t *gainTable) at(azimuthDeg, tangent float64) float64 {
	y := (tangent + mostTangent) * perTangent
	if !(y >= 0 && y < float64(elevations-1)) {
		g, err := t.antenna.Gain(azimuthDeg, math.Atan(tangent)*180/math.Pi)
		if err != nil {
			return float64(t.antenna.PeakDBi)
		}
		return float64(g)
	}
	k := int(y)
	v := y - float64(k)
	x := azimuthDeg / 360
	x = (x - math.Floor(x)) * float64(t.azimuths)
	i := min(int(x), t.azimuths-1)
	lower, upper := t.gain[i*elevations+k:], t.gain[(i+1)*elevations+k:]
	g0, g1 := lower[0]+v*(lower[1]-lower[0]), upper[0]+v*(upper[1]-upper[0])
	return g0 + (x-float64(i))*(g1-g0)
}

// even are the entries of an antenna that radiates evenly all round, for the constants;
// for any other zeros.
func (t *gainTable) even() []float32 {
	even := make([]float32, elevations)
	if t.azimuths == 1 {
		for i := range even {
			even[i] = float32(t.gain[i])
		}
	}
	return even
}
