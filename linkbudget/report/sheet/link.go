package sheet

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/terrain/magnetic"
)

// link is what a page tells of a neighbour.
type link struct {
	Page                     string // its id
	No                       int
	Name, Verdict, Chance    string
	Km                       string // the distance for a table
	Asked                    string // what the plan asks, "" for nothing
	Full, Known, Beyond      bool
	True, Magnetic           figure
	BackTrue, BackMagnetic   figure
	Dist, Tilt               figure
	HeightHere, HeightThere  figure
	GroundHere, GroundThere  string
	Here, There              level // what arrives
	Sigma, Margin            figure
	Path                     string
	Decides                  *decides
	Reasons, Advice, Missing []string
	SF                       int
	Picture                  *image
}

// level is what arrives at one end.
type level struct{ Rx, SNR, Needed figure }

// decides is the point of least clearance.
type decides struct {
	At, Rest, Clearance, F1 figure
	Place, Ground           string
	Cut                     bool
}

func newLink(l *mesh.SiteLink, page string, no int, here magnetic.Compass, there magnetic.Compass) *link {
	f := l.Summary
	v := &link{
		Page: page, No: no, Name: shown(l.Neighbour.Name),
		Verdict: f.Verdict.String(), Known: f.Verdict != linkbudget.Unknown,
		Beyond: l.BeyondRules(), True: bearing("azimuth_deg", f.AzimuthDeg, 4), BackTrue: bearing("back_azimuth_deg",
			f.BackAzimuthDeg, 4),
		Magnetic:     magneticBearing("magnetic_deg", here, f.AzimuthDeg),
		BackMagnetic: magneticBearing("back_magnetic_deg", there, f.BackAzimuthDeg),
		Km:           fmt.Sprintf("%.1f", f.DistM/1000), Dist: length("distance_m", f.DistM), SF: l.Environment.Modem.SF,
		HeightHere: number("height_a_m", l.HeightAM, 3, "%g m"), HeightThere: number("height_b_m", l.HeightBM, 3, "%g m"),
		Reasons: allShown(l.Reasons()),
	}
	switch {
	case l.Required:
		v.Asked = "required by the plan"
	case l.Wanted:
		v.Asked = "wanted by the plan"
	}
	if !v.Known {
		return v
	}
	v.Chance = linkbudget.ChanceText(f.Probability, l.Environment.WantPercent) + " %"
	v.Tilt, v.Path = tilt("elevation_deg", f.ElevationDeg), f.Path.String()
	v.GroundHere, v.GroundThere = fmt.Sprintf("%.0f m", l.GroundAM), fmt.Sprintf("%.0f m", l.GroundBM)
	v.Here, v.There = newLevel(&l.Backward.Level, "a"), newLevel(&l.Forward.Level, "b")
	v.Sigma = number("sigma_db", float64(f.SigmaDB), 3, "%.0f dB")
	v.Margin = signed("margin_db", float64(f.MarginDB))
	if l.HasWorst {
		v.Decides = newDecides(l)
	}
	for _, a := range l.Counsel.Advice {
		v.Advice = append(v.Advice, shown(a.Text()))
	}
	return v
}

func newLevel(l *linkbudget.Level, end string) level {
	return level{
		Rx:     number("rx_"+end+"_dbm", float64(l.RxDBm), 3, "%.0f dBm"),
		SNR:    signed("snr_"+end+"_db", float64(l.SNRDB)),
		Needed: number("sensitivity_"+end+"_dbm", float64(l.SensitivityDBm), 3, "%.0f dBm"),
	}
}

func newDecides(l *mesh.SiteLink) *decides {
	w := l.Worst
	d := &decides{
		At: length("clearance_at_m", w.AtM), Rest: length("", l.DistM-w.AtM),
		Clearance: number("clearance_m", w.ClearanceM, 3, "%.0f m"), F1: number("clearance_f1", w.Fraction, 4, ""),
		Cut:    w.ClearanceM < 0,
		Ground: fmt.Sprintf("ground %.0f m", w.GroundM-l.WorstStandsM),
	}
	d.F1.Text = linkbudget.FresnelText(w.Fraction, 2)
	if d.Cut {
		d.Clearance.Text = fmt.Sprintf("%.0f m", -w.ClearanceM)
	}
	if l.WorstStandsM > 0 {
		d.Ground += fmt.Sprintf(", and %.0f m of what stands on it", l.WorstStandsM)
	}
	if l.WorstAt.Known {
		d.Place = placeText(l.WorstAt.LonDeg, l.WorstAt.LatDeg)
	}
	return d
}
