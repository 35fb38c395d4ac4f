package sheet

import (
	"fmt"
	"slices"
	"strings"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/terrain/magnetic"
)

// page is what is told of a pole.
type page struct {
	ID                   string
	Name, Verdict, Head  string
	Place, Ground, Radio string
	Cover                string // what stands on the ground, "" for nothing
	Time                 string // for what share of time the losses are, "" for the median
	Calibrated           string // what of a calibration is used, "" for none
	Height, Lon, Lat     figure
	Rests                []string
	Map                  *siteMap
	Links                []*link
	Apart                bool // links that are told in the table alone
	Beyond               []string
	Sun                  *sunView
	Steps                []step
	Rules                []string
	RulesBeyond          bool
	Cautions             []string
	Compass              string
	Known                bool // what a compass shows
}

// FullLinks are the neighbours of which all is told.
func (p *page) FullLinks() []*link {
	return slices.DeleteFunc(slices.Clone(p.Links), func(l *link) bool { return !l.Full })
}

// Columns are those of what was heard.
func (*page) Columns() []string {
	return []string{"time", "from", "to", "rssi_dbm", "snr_db", "sf", "received", "sent"}
}

// sunView is what is told of the skyline and the node.
type sunView struct {
	Why, Verdict, Class string
	Panels              []panel
	Lines, Notes        []string
	Climate             string
	Months              []month
	Picture             *image
}

type panel struct {
	Watts                figure
	Tilt, True, Magnetic figure
}

type month struct {
	Name      string
	Sun       figure
	Gain, Out figure
	Verdict   string
	Class     string
}

func newPage(s *Sheet, i int) (*page, error) {
	site := s.Poles[i].Site
	here := magnetic.NewCompass(site.At.At, s.Date)
	p := &page{
		ID: fmt.Sprintf("pole%d", i+1), Name: shown(report.PoleName(site.At.Name)), Verdict: site.Verdict.String(),
		Place:  placeText(site.At.At.Lon(), site.At.At.Lat()),
		Lon:    number("lon_deg", site.At.At.Lon(), 7, "%.5f"),
		Lat:    number("lat_deg", site.At.At.Lat(), 7, "%.5f"),
		Height: number("height_m", site.Pole.HeightM, 3, "%g m"), Beyond: allShown(site.Beyond),
		Radio: report.ChannelText(site.Settings.Environment), Known: here.Known(),
		Cover: report.CoverText(site.Settings), Time: report.TimeText(site.Settings.Environment),
		Cautions:   slices.Concat(report.Cautions(site.Pole, site.Settings.Environment.FreqHz), power.Cautions()),
		Calibrated: report.CalibrationText(site.Settings.Environment),
		Compass:    here.Turn(), Ground: "not known: " + site.GroundFlag.String(),
	}
	p.Head = strings.TrimSpace(strings.TrimPrefix(report.SiteVerdict(site), strings.ToUpper(p.Verdict)))
	if site.GroundFlag.Known() {
		p.Ground = fmt.Sprintf("%.0f m", site.GroundM)
	}
	if site.Rules != nil {
		for _, line := range site.Rules.Lines() {
			p.Rules = append(p.Rules, shown(strings.TrimSpace(line)))
		}
		p.RulesBeyond = site.Rules.Exceeds()
	}
	p.Rests = allShown(rests(s, site))
	wanted := slices.ContainsFunc(site.Links, func(l mesh.SiteLink) bool { return l.Wanted })
	for k := range site.Links {
		l := &site.Links[k]
		v := newLink(l, p.ID, k+1, here, magnetic.NewCompass(l.Neighbour.At, s.Date))
		v.Full = len(s.Poles) == 1 || !wanted || l.Wanted
		p.Apart = p.Apart || !v.Full
		if v.Full {
			var err error
			if v.Picture, err = pathImage(l); err != nil {
				return nil, err
			}
		}
		p.Links = append(p.Links, v)
	}
	var err error
	if p.Map, err = newMap(s, site, p.Links); err != nil {
		return nil, err
	}
	if p.Sun, err = newSun(&s.Poles[i], p.Name, here); err != nil {
		return nil, err
	}
	p.Steps = steps(site, p)
	return p, nil
}

// rests lists what the verdict is made of, and what is not known of it.
func rests(s *Sheet, site *mesh.Site) []string {
	e := site.Settings.Environment
	want := e.WantPercent
	if want == 0 {
		want = linkbudget.DefaultWantPercent
	}
	list := []string{fmt.Sprintf("A link reaches where it closes with %g %% or more, is marginal from 50 %%, short "+
		"below. The ± beside a figure is one standard deviation: two of three true values lie within it.", want)}
	if s.Terrain != "" {
		list = append(list, "Terrain: "+s.Terrain+". It holds no single trees, houses or wires.")
	}
	list = append(list, "Here: "+report.StationText(site.Pole)+".")
	if assumed := report.SiteAssumed(site); assumed != "" {
		list = append(list, "Assumed: "+assumed+".")
	}
	for _, warning := range slices.Concat(s.Warnings, site.Warnings) {
		list = append(list, "Note: "+warning)
	}
	return list
}

// class is the look of a verdict of the sun.
func class(v power.Verdict) string {
	switch v {
	case power.Lives:
		return "reaches"
	case power.Thin:
		return "marginal"
	case power.Dies:
		return "short"
	}
	return "unknown"
}

func newSun(pole *Pole, name string, here magnetic.Compass) (*sunView, error) {
	s := pole.Sun
	if s == nil {
		return &sunView{Why: shown(pole.WhyNoSun)}, nil
	}
	v := &sunView{Verdict: shown(report.SunVerdict(&s.Result)), Class: class(s.Result.Verdict), Climate: shown(s.Source),
		Lines: allShown(report.SystemLines(s, here)), Notes: allShown(s.Result.Warnings)}
	if s.Stated.Enough() {
		for _, p := range s.System.Panels {
			v.Panels = append(v.Panels, panel{number("peak_w", p.PeakW, 3, "%g W"), number("tilt_deg", p.TiltDeg, 3, "%g°"),
				bearing("azimuth_deg", p.AzimuthDeg, 3), magneticBearing("magnetic_deg", here, p.AzimuthDeg)})
		}
	}
	for i := range s.SunHours {
		b, ok := s.Result.MonthOf(i + 1)
		if !ok {
			continue
		}
		v.Months = append(v.Months, month{power.MonthName(i + 1)[:3], number("sun_h", s.SunHours[i].SeenH, 2, "%.1f"),
			number("gain_wh", b.GainWh, 3, "%.1f"), number("load_wh", b.LoadWh, 3, "%.1f"), string(b.Verdict), class(b.Verdict)})
	}
	for _, a := range s.Counsel.Advice {
		v.Notes = append(v.Notes, "Would do: "+shown(a.Text()))
	}
	if len(s.Skyline.Directions) == 0 {
		return v, nil
	}
	var err error
	v.Picture, err = sunImage(s, name)
	return v, err
}
