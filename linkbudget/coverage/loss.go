package coverage

// judge turns edges into loss, margin and probability. It is shared by all
// workers and only read.
type judge struct {
	set     setting
	rxM     float64       // the receiver's antenna above ground
	perWave float64       // 2/λ
	sways   bool          // whether an antenna does not radiate evenly all round
	gains   [2]*gainTable // of the pole and of the receiver
	steady  distTable     // clutter, and the square of the steady doubt
	excess  *excess
	scene   scene
}

// sway is the direction of a path: the azimuth at the pole, degrees, and how much
// more it has turned at the receiver.
type sway struct{ azimuthDeg, turnDeg float64 }

// gain is the sum of both antennas towards each other, P.1812-6 eq 77 for the
// elevation, less what the scene's tables say; climb is the slope of the straight
// line from the pole's to the receiver's over a flat earth.
func (j *judge) gain(s sway, d, climb float64) float64 {
	sag := j.set.curve * d
	return j.gains[0].at(s.azimuthDeg, climb-sag) - float64(gainOf(j.scene.gainA, float32(climb-sag))) +
		j.gains[1].at(s.azimuthDeg+180+s.turnDeg, -climb-sag) - float64(gainOf(j.scene.gainB, float32(-climb-sag)))
}
