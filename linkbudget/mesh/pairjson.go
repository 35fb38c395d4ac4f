package mesh

import (
	"bytes"
	"encoding/json"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/diffraction"
)

// pairJSON is a Pair as it is written: in an order made for reading, the notes among
// the rest.
type pairJSON struct {
	A                      int32                 `json:"a"`
	B                      int32                 `json:"b"`
	Link                   int32                 `json:"link"`
	Required               bool                  `json:"required,omitempty"`
	DistM                  float64               `json:"distance_m"`
	AzimuthDeg             float64               `json:"azimuth_deg"`
	BackAzimuthDeg         float64               `json:"back_azimuth_deg"`
	ElevationDeg           float64               `json:"elevation_deg,omitempty"`
	BackElevationDeg       float64               `json:"back_elevation_deg,omitempty"`
	Path                   diffraction.PathClass `json:"path,omitempty"`
	Situation              linkbudget.Situation  `json:"situation,omitempty"`
	Worst                  *PairClearance        `json:"worst,omitempty"`
	FreeSpaceDB            linkbudget.DB         `json:"free_space_db,omitempty"`
	DiffractionDB          linkbudget.DB         `json:"diffraction_db,omitempty"`
	TroposcatterDB         linkbudget.DB         `json:"troposcatter_db,omitempty"`
	ClutterDB              linkbudget.DB         `json:"clutter_db,omitempty"`
	LossDB                 linkbudget.DB         `json:"loss_db,omitempty"`
	Forward                PairDirection         `json:"forward"`
	Backward               PairDirection         `json:"backward"`
	MarginDB               linkbudget.DB         `json:"margin_db,omitempty"`
	Doubt                  PairDoubt             `json:"doubt"`
	SigmaDB                linkbudget.DB         `json:"sigma_db,omitempty"`
	Probability            float64               `json:"probability,omitempty"`
	Delivery               float64               `json:"delivery,omitempty"`
	PessimisticMarginDB    linkbudget.DB         `json:"pessimistic_margin_db,omitempty"`
	PessimisticProbability float64               `json:"pessimistic_probability,omitempty"`
	Verdict                linkbudget.Verdict    `json:"verdict"`
	Gap                    *PairGap              `json:"gap,omitempty"`
	FilledPoints           int32                 `json:"filled_points,omitempty"`
	BeyondRules            bool                  `json:"beyond_rules,omitempty"`
	Reasons                []string              `json:"reasons,omitempty"`
	Counsel                *linkbudget.Counsel   `json:"counsel,omitempty"`
}

// move takes every figure from a pair, with its notes, or puts it there.
func (j *pairJSON) move(put bool, p *Pair, n *PairNotes) {
	move(put, &j.A, &p.A)
	move(put, &j.B, &p.B)
	move(put, &j.Link, &p.Link)
	move(put, &j.Required, &p.Required)
	move(put, &j.DistM, &p.DistM)
	move(put, &j.AzimuthDeg, &p.AzimuthDeg)
	move(put, &j.BackAzimuthDeg, &p.BackAzimuthDeg)
	move(put, &j.ElevationDeg, &p.ElevationDeg)
	move(put, &j.BackElevationDeg, &p.BackElevationDeg)
	move(put, &j.Path, &p.Path)
	move(put, &j.Situation, &p.Situation)
	move(put, &j.Worst, &p.Worst)
	move(put, &j.FreeSpaceDB, &p.FreeSpaceDB)
	move(put, &j.DiffractionDB, &p.DiffractionDB)
	move(put, &j.TroposcatterDB, &p.TroposcatterDB)
	move(put, &j.ClutterDB, &p.ClutterDB)
	move(put, &j.LossDB, &p.LossDB)
	move(put, &j.Forward, &p.Forward)
	move(put, &j.Backward, &p.Backward)
	move(put, &j.MarginDB, &p.MarginDB)
	move(put, &j.Doubt, &p.Doubt)
	move(put, &j.SigmaDB, &p.SigmaDB)
	move(put, &j.Probability, &p.Probability)
	move(put, &j.Delivery, &p.Delivery)
	move(put, &j.PessimisticMarginDB, &p.PessimisticMarginDB)
	move(put, &j.PessimisticProbability, &p.PessimisticProbability)
	move(put, &j.Verdict, &p.Verdict)
	move(put, &j.Gap, &n.Gap)
	move(put, &j.FilledPoints, &p.FilledPoints)
	move(put, &j.BeyondRules, &p.BeyondRules)
	move(put, &j.Reasons, &n.Reasons)
	move(put, &j.Counsel, &n.Counsel)
}

func move[T any](put bool, ours, theirs *T) {
	if put {
		*theirs = *ours
	} else {
		*ours = *theirs
	}
}

func (j *pairJSON) take(p *Pair) {
	n := p.Notes
	if n == nil {
		n = &PairNotes{}
	}
	j.move(false, p, n)
}

func (j *pairJSON) put(p *Pair) {
	var n PairNotes
	j.move(true, p, &n)
	p.Notes = nil
	if n.Gap != nil || n.Reasons != nil || n.Counsel != nil {
		p.Notes = &PairNotes{n.Gap, n.Reasons, n.Counsel}
	}
}

// MarshalJSON writes every figure that is there, and of a struct that embeds a Pair
// nothing else: give it a name there. The error is of a figure without JSON, such as NaN.
func (p Pair) MarshalJSON() ([]byte, error) {
	var j pairJSON
	j.take(&p)
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false) // the encoder that asks escapes what it wants escaped
	err := e.Encode(&j)
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), err
}

// UnmarshalJSON reads a pair, of which nothing that was there before stays; null
// changes nothing. Numbers survive exactly.
func (p *Pair) UnmarshalJSON(data []byte) error {
	if string(data) == "null" {
		return nil
	}
	var j pairJSON
	err := json.Unmarshal(data, &j)
	j.put(p)
	return err
}
