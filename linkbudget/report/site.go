package report

import (
	"io"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/magnetic"
)

// SiteOptions says what a site report carries beside the links.
type SiteOptions struct {
	// Date is that of the magnetic bearings, the zero time for none.
	Date time.Time
	// Profiles adds the sampled path of each link to JSON.
	Profiles bool
	// Warnings are the plan's, repeated in JSON.
	Warnings []string
	// Power is whether the node lives through the year; nil where the plan does
	// not say what hangs on the pole.
	Power *power.Result
}

// magnetic says what the magnetic bearings are of, or why there are none; nothing without
// a date.
func (o *object) magnetic(c magnetic.Compass) {
	if c.Month() == "" {
		return
	}
	o.object("magnetic", func(o *object) {
		o.text("model", magnetic.Model)
		o.text("month", c.Month())
		o.text("valid_to", magnetic.ValidTo.Format(time.DateOnly))
		o.some("unknown", c.Unknown())
		if c.Unknown() == "" {
			o.text("zone", c.Zone.String())
		}
	})
}

// pole writes a pole, or one end of a path, what is known of it: its place, the ground or
// why that is not known.
func (o *object) pole(name, status string, at *orb.Point, groundM float64, ground terrain.Flag, heightM float64) {
	o.some("name", name)
	o.some("status", status)
	if at != nil {
		o.stands(*at)
	}
	if ground.Known() {
		o.number("ground_m", groundM, 3)
	} else {
		o.text("ground", ground.String())
	}
	o.number("height_m", heightM, 3)
}

type countJSON struct {
	Reached int `json:"reached"`
	Of      int `json:"of"`
}

// siteLink is a path from the pole to a neighbour.
func siteLink(l *mesh.SiteLink, here magnetic.Compass, opt SiteOptions) *link {
	one := newLink(&l.PathCheck, planned|located, here, magnetic.NewCompass(l.Neighbour.At, opt.Date))
	one.Required = l.Required
	if l.Wanted {
		one.Link = 0
	}
	return one
}

// SiteJSON writes the object of the command "site", keys as in the package comment.
func SiteJSON(w io.Writer, s *mesh.Site, opt SiteOptions) (err error) {
	defer fault.Recovered(&err)
	here := magnetic.NewCompass(s.At.At, opt.Date)
	return writeCommand(w, "site", func(o *object) {
		o.object("pole", func(o *object) {
			o.pole(s.At.Name, s.At.Status.String(), &s.At.At, s.GroundM, s.GroundFlag, s.Pole.HeightM)
		})
		o.magnetic(here)
		o.settings(s.Settings)
		o.key("links")
		o.open('[')
		for i := range s.Links {
			l := &s.Links[i]
			one := siteLink(l, here, opt)
			if opt.Profiles {
				one.sampled(l.Environment)
			}
			one.write(o)
		}
		o.close(']')
		o.some("beyond_range", s.Beyond)
		o.text("verdict", s.Verdict.String())
		o.count("reached", s.Reached)
		o.count("of", len(s.Links))
		if s.RequiredCount > 0 {
			o.value("required", countJSON{s.RequiredReached, s.RequiredCount})
		}
		o.rules(s.Pole.Name, s.Rules)
		if r := opt.Power; r != nil { // one line; the whole of it is the command "sun"
			o.object("power", func(o *object) {
				o.text("verdict", string(r.Verdict))
				o.some("month", r.Month)
				if len(r.Findings) > 0 {
					o.some("reason", r.Findings[0].String())
				}
				o.some("basis", r.Basis)
			})
		}
		o.some("warnings", slices.Concat(opt.Warnings, s.Warnings))
		o.value("cautions", Cautions(s.Pole, s.Settings.Environment.FreqHz))
	})
}

// writePower prints whether the node lives, if the plan says what it is.
func writePower(out io.Writer, r *power.Result) {
	if r != nil {
		line := SunVerdict(r)
		if r.Basis != "" {
			line += " (" + r.Basis + ")"
		}
		writeWrapped(out, "  power: ", line)
	}
}
