package linkbudget

import (
	"math"

	"github.com/polereach/polereach/linkbudget/diffraction"
)

// Figures are all that is told of a path in numbers and words. The tags are their keys.
type Figures struct {
	Summary
	// Forward is A transmitting to B, Backward the reverse.
	Forward  Level `json:"forward"`
	Backward Level `json:"backward"`
	// Doubt is itemised; SigmaDB is the root of the sum of squares.
	Doubt DoubtParts `json:"doubt"`
}

// Summary is the part of the figures that a [Result] has alike. Where Verdict is Unknown
// only the distance and the azimuths are set besides. A plan has many: what is looked at
// most stands first, the narrow together.
type Summary struct {
	// FilledPoints counts heights interpolated over voids on request.
	FilledPoints int32                 `json:"filled_points,omitempty"`
	Verdict      Verdict               `json:"verdict"`
	Path         diffraction.PathClass `json:"path,omitempty"`
	Situation    Situation             `json:"situation,omitempty"`
	// PessimisticPath is Path at Environment.PessimisticK, where the air bends less.
	PessimisticPath diffraction.PathClass `json:"pessimistic_path,omitempty"`

	// Probability is the chance that the weaker direction closes, fading in time apart;
	// 0 to 1.
	Probability float64 `json:"probability,omitempty"`
	// TimePercentHeld is the share of time in which the weaker direction's level is enough
	// where the prediction is right: in which the margin, from its median, stays 0 or more. 1
	// to 99.99 %; 0 for less than 1. Doubt of place and model is Probability. A survey leaves
	// it 0 where the median margin is below 0; [Evaluate] and [Evaluator.Explain] have it.
	TimePercentHeld float64 `json:"time_percent_held,omitempty"`
	// Delivery is the share of packets that arrive in the weaker direction at the median
	// level, 0 to 1, see [Environment.Delivery]; [Evaluate] leaves it 0.
	Delivery float64 `json:"delivery,omitempty"`
	// MarginDB is that of the weaker direction, which is the link.
	MarginDB DB `json:"margin_db,omitempty"`
	// SigmaDB is the standard deviation of all doubts together.
	SigmaDB DB `json:"sigma_db,omitempty"`
	// CoverDB is half of what stands on the ground adds to the loss, where the terrain may hold it
	// already: the loss lies half way, and SigmaDB has it as a doubt. Else 0.
	CoverDB DB `json:"cover_db,omitempty"`

	// DistM is the ground distance; azimuths are degrees clockwise from north, there and
	// back.
	DistM          float64 `json:"distance_m"`
	AzimuthDeg     float64 `json:"azimuth_deg"`
	BackAzimuthDeg float64 `json:"back_azimuth_deg"`
	// ElevationDeg is the angle above the horizontal at which A sees B's antenna along
	// the refracted ray, without regard to obstacles; BackElevationDeg the same at B.
	ElevationDeg     float64 `json:"elevation_deg,omitempty"`
	BackElevationDeg float64 `json:"back_elevation_deg,omitempty"`

	// LossDB is the basic transmission loss at Environment.TimePercent, the median unless
	// that says otherwise, and the sum of the five above it: TroposcatterDB is 0 or negative,
	// ClutterDB everything around the two ends, and [Summary.TimeDB].
	FreeSpaceDB    DB `json:"free_space_db,omitempty"`
	DiffractionDB  DB `json:"diffraction_db,omitempty"`
	TroposcatterDB DB `json:"troposcatter_db,omitempty"`
	ClutterDB      DB `json:"clutter_db,omitempty"`
	LossDB         DB `json:"loss_db,omitempty"`

	// PessimisticMarginDB and PessimisticProbability are MarginDB and Probability at
	// Environment.PessimisticK.
	PessimisticMarginDB    DB      `json:"pessimistic_margin_db,omitempty"`
	PessimisticProbability float64 `json:"pessimistic_probability,omitempty"`
}

// TimeDB is what the share of time adds to the median loss, 0 where it adds nothing that is
// printed: what of LossDB is in none of its parts.
func (f *Summary) TimeDB() DB {
	db := f.LossDB - (f.FreeSpaceDB + f.DiffractionDB + f.TroposcatterDB + f.ClutterDB)
	if math.Abs(float64(db)) < 1e-6 {
		return 0 // rounding
	}
	return db
}

// PessimisticLossDB is LossDB at Environment.PessimisticK: margin and loss together are
// the weaker direction's budget, which no earth radius changes.
func (f *Summary) PessimisticLossDB() DB { return f.LossDB + f.MarginDB - f.PessimisticMarginDB }

// Weaker returns the direction with the smaller margin; the forward one if equal.
func (f *Figures) Weaker() *Level {
	if backwardIsWeaker(&f.Forward, &f.Backward) {
		return &f.Backward
	}
	return &f.Forward
}

// EqualMargins is the difference below which both directions count as equally
// good, dB: far above the rounding of a sum, which must not choose between them.
const EqualMargins DB = 1e-9

func backwardIsWeaker(forward, backward *Level) bool {
	return backward.MarginDB < forward.MarginDB-EqualMargins
}

// Level is the budget one way without its items.
type Level struct {
	EIRPDBm        DBm `json:"eirp_dbm,omitempty"`        // radiated towards the other end
	RxDBm          DBm `json:"rx_dbm,omitempty"`          // arrives at the receiver
	SensitivityDBm DBm `json:"sensitivity_dbm,omitempty"` // at which the modem's required ratio is met
	SNRDB          DB  `json:"snr_db,omitempty"`          // RxDBm over the noise in the modem's bandwidth
	MarginDB       DB  `json:"margin_db,omitempty"`       // RxDBm over SensitivityDBm
}

// DoubtParts are the standard deviations of the causes of doubt; OtherDB is clutter,
// cover, town and mounting together.
type DoubtParts struct {
	ModelDB    DB `json:"model_db,omitempty"`
	RippleDB   DB `json:"ripple_db,omitempty"`
	TerrainDB  DB `json:"terrain_db,omitempty"`
	HardwareDB DB `json:"hardware_db,omitempty"`
	OtherDB    DB `json:"other_db,omitempty"`
}
