package sheet

import (
	"bytes"
	"fmt"
	"html/template"
	"io"
	"math"

	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/linkbudget/report/picture"
)

// image is a picture within the page, with what it says for those who do not see it.
type image struct {
	Source template.URL
	Alt    string
}

// drawn is what draw writes as SVG.
func drawn(alt string, draw func(w io.Writer) error) (*image, error) {
	var svg bytes.Buffer
	if err := draw(&svg); err != nil {
		return nil, err
	}
	return &image{svgURL(svg.String()), alt}, nil
}

// briefName is how many letters of a name a picture has room for.
const briefName = 40

func sunImage(s *power.PoleSurvey, name string) (*image, error) {
	alt := "Skyline all round with the sun's way at the solstices and the equinoxes."
	highest := s.Skyline.Directions[0].ElevDeg
	at := 0.0
	for i, d := range s.Skyline.Directions {
		if d.ElevDeg > highest {
			highest, at = d.ElevDeg, float64(i)*s.Skyline.StepDeg
		}
	}
	alt += fmt.Sprintf(" The ground stands highest, %.1f degrees, towards %.0f degrees true.", highest, at)
	return drawn(alt, func(w io.Writer) error { return picture.Sun(w, "svg", s, brief(name, briefName)) })
}

// pathImage is the section of a path, nil without its profile.
func pathImage(l *mesh.SiteLink) (*image, error) {
	if len(l.Profile.DistM) == 0 {
		return nil, nil
	}
	alt := "Section of the path: the ground with the earth's bulge, the direct ray and the first Fresnel zone."
	if l.HasWorst {
		alt += fmt.Sprintf(" The point that decides lies %.2f km from here, %.0f m ", l.Worst.AtM/1000,
			math.Abs(l.Worst.ClearanceM))
		alt += map[bool]string{true: "above", false: "below"}[l.Worst.ClearanceM < 0] + " the ray."
	}
	return drawn(alt, func(w io.Writer) error {
		return picture.Path(w, "svg", &l.Profile, &l.Result, l.Environment.FreqHz)
	})
}
