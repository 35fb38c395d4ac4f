package report

import (
	"fmt"
	"io"

	"github.com/polereach/polereach/linkbudget"
)

// CalibrationText says what is used of a calibration, "" where there is none.
func CalibrationText(e linkbudget.Environment) string {
	c := e.Calibration
	if c == nil {
		return ""
	}
	return fmt.Sprintf("calibrated by %s: %+.1f dB (±%.1f) in this area, %d nodes and %d paths with levels of their "+
		"own, stated "+
		"doubts times %.2f; above 0 more arrives than predicted; --calibration none leaves it out", c.Source,
		float64(c.AreaDB), float64(c.AreaSigmaDB), len(c.Nodes), len(c.Paths), c.Spread)
}

func writeCalibration(out io.Writer, indent string, e linkbudget.Environment) {
	if text := CalibrationText(e); text != "" {
		writeWrapped(out, indent, text)
	}
}

// calibration writes what is used as the member "calibration", nothing where there is none.
func (o *object) calibration(e linkbudget.Environment) {
	c := e.Calibration
	if c == nil {
		return
	}
	o.object("calibration", func(o *object) {
		o.text("file", c.Source)
		o.number("area_db", float64(c.AreaDB), 2)
		o.number("area_sigma_db", float64(c.AreaSigmaDB), 2)
		o.number("spread", c.Spread, 3)
		o.count("nodes", len(c.Nodes))
		o.count("paths", len(c.Paths))
	})
}
