package sheet

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"time"

	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Pole is one page.
type Pole struct {
	// Site is the answer for the pole; a path without its profile has no picture.
	Site *mesh.Site
	// Sun is the skyline and the year of its node, nil where they are not told, for the reason
	// WhyNoSun.
	Sun      *power.PoleSurvey
	WhyNoSun string
}

// Sheet is what is taken along.
type Sheet struct {
	// Title names the plan.
	Title string
	// Poles are the pages in their order. Where there are several, a page tells in full of the
	// neighbours alone that links of the plan name, if they name any.
	Poles []Pole
	// Areas is ground in which a pole is looked for, drawn on the maps.
	Areas []plan.Area
	// Cover is what the plan says that stands on the ground, drawn on the maps.
	Cover []plan.Cover
	// DEM shades the maps; nil: not.
	DEM terrain.DEM
	// Terrain says where the heights come from.
	Terrain string
	// Date is that of the sheet and of its magnetic bearings, the zero time for none.
	Date time.Time
	// Warnings are the plan's.
	Warnings []string
}

var (
	//go:embed sheet.html
	pageText string
	//go:embed sheet.css
	styleText string

	pages = template.Must(template.New("sheet").Funcs(template.FuncMap{"style": func() template.CSS {
		return template.CSS(styleText)
	}}).Parse(pageText))
)

// Write writes the sheet. Errors are a sheet without a pole or a pole without its site
// ([fault.ErrInput]), terrain that could not be read ([terrain.ErrRead]), or that of w.
func Write(w io.Writer, s Sheet) (err error) {
	defer fault.Recovered(&err)
	if len(s.Poles) == 0 {
		return fault.Input("sheet: no pole given")
	}
	view := struct {
		Title, Made string
		Pages       []*page
	}{Title: shown(s.Title)}
	if !s.Date.IsZero() {
		view.Made = s.Date.Format("2 January 2006")
	}
	for i := range s.Poles {
		if s.Poles[i].Site == nil {
			return fault.Input("sheet: pole %d: no site given", i+1)
		}
		p, err := newPage(&s, i)
		if err != nil {
			return fmt.Errorf("sheet: %w", err)
		}
		view.Pages = append(view.Pages, p)
	}
	return pages.Execute(w, view)
}
