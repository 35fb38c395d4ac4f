package sheet_test

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/linkbudget/report/sheet"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/sun"
)

// ridge is level ground of 100 m with a wall of 60 m at longitude 10.05, and nothing east of
// 10.3.
type ridge struct{}

func (ridge) Extent() terrain.Extent {
	return terrain.Extent{Bound: orb.Bound{Min: orb.Point{9, 49}, Max: orb.Point{10.3, 51}}, StepLonDeg: 0.001,
		StepLatDeg: 0.001}
}

func (ridge) Heights(at []orb.Point, heightM []float64, flag []terrain.Flag) error {
	for i, p := range at {
		heightM[i], flag[i] = 100, terrain.Ground
		if math.Abs(p.Lon()-10.05) < 0.01 {
			heightM[i] = 160
		}
		if p.Lon() > 10.3 {
			heightM[i], flag[i] = 0, terrain.Outside
		}
	}
	return nil
}

// survey is a sheet of the first of the named poles, which stand in a row, with its sun.
func survey(t *testing.T, names ...string) sheet.Sheet {
	t.Helper()
	p := &plan.Plan{}
	h := 8.0
	for i, name := range names {
		p.Stations = append(p.Stations, plan.Station{Name: name, At: orb.Point{10 + 0.07*float64(i*i), 50}, HeightM: &h})
	}
	p.Links = []plan.Link{{From: names[0], To: names[1], Required: true}}
	s, err := mesh.CheckSite(context.Background(), p, p.Stations[0], ridge{}, mesh.SiteOptions{KeepProfiles: true,
		Settings: plan.Settings{Station: linkbudget.DefaultStation("", 8),
			Environment: linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}}}})
	if err != nil {
		t.Fatal(err)
	}
	climate := sun.ClimateFromClearness(50, [12]float64{.5, .5, .5, .5, .5, .5, .5, .5, .5, .5, .5, .5})
	climate.Source = names[0]
	year, err := power.SurveyPole(context.Background(), p.Stations[0].At, 8, ridge{}, power.PoleOptions{
		Weather: func(groundM float64) power.Weather {
			there := climate
			there.HeightM = groundM
			return power.WeatherOfMeans(there, 50)
		}})
	if err != nil {
		t.Fatal(err)
	}
	return sheet.Sheet{Title: names[0], Poles: []sheet.Pole{{Site: s, Sun: year}}, DEM: ridge{}, Terrain: names[0],
		Date: time.Date(2026, 11, 29, 0, 0, 0, 0, time.UTC), Warnings: []string{names[1]}}
}

func written(t *testing.T, s sheet.Sheet) string {
	t.Helper()
	var b bytes.Buffer
	if err := sheet.Write(&b, s); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// element is one of the page, which is written so that a reader of XML takes it too.
type element struct {
	name     string
	attr     map[string]string
	text     string // with that of what is inside
	ancestry string
}

// elements reads a page strictly: what a name could break shows as an error here.
func elements(t *testing.T, page string) []*element {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(page))
	var all, open []*element
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return all
		}
		if err != nil {
			t.Fatalf("not well-formed: %v", err)
		}
		switch v := token.(type) {
		case xml.StartElement:
			e := &element{name: v.Name.Local, attr: map[string]string{}}
			for _, a := range v.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			for _, outer := range open {
				e.ancestry += outer.name + " "
			}
			all, open = append(all, e), append(open, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			for _, e := range open {
				e.text += string(v)
			}
		}
	}
}

func only(all []*element, name string) []*element {
	return slices.DeleteFunc(slices.Clone(all), func(e *element) bool { return e.name != name })
}

// What a stranger may write into a plan.
var hostile = []string{
	`</h1><script>alert(1)</script><img src=x onerror=alert(1)>`,
	`"><svg onload="alert(1)"> & ' " {{.}} <!-- ]]> %3cscript%3e`,
	"esc \x1b[31m nul \x00 bell \a tab \t line \n bytes \xff\xfe",
	"\u202egnirts desrever\u202c \u2066x\u2069 \u05d0\u05d1\u05d2 \u0634\u0645\u0633",
	strings.Repeat("long", 75),
	"javascript:alert(1)", "</style><b>", "url(http://example.org/x)",
}

// renamed gives the poles of a sheet names that a plan would refuse too: longer than it allows,
// or no text. The other fields that a stranger may fill have them as well.
func renamed(s sheet.Sheet, names []string) sheet.Sheet {
	site := s.Poles[0].Site
	site.At.Name, site.Pole.Name = names[0], names[0]
	for i := range site.Links {
		l := &site.Links[i]
		l.Neighbour.Name, l.From, l.To = names[i+1], names[0], names[i+1]
	}
	s.Title, s.Terrain, s.Warnings, s.Poles[0].Sun.Source = names[0], names[0], names[1:2], names[0]
	s.Poles[0].Sun.Result.Warnings = append(s.Poles[0].Sun.Result.Warnings, names[0])
	return s
}

// Every name stands in the page as text, spelt out where it would be obeyed, and makes no
// element and no attribute that another name does not make.
func TestHostileNamesAreText(t *testing.T) {
	if testing.Short() {
		t.Skip("a sheet for every name")
	}
	tame := renamed(survey(t, "Ash", "Birch", "Elder", "Far"), []string{"Ash", "Birch", "Elder", "Far"})
	shapeOf := func(all []*element) (shape []string) {
		for _, e := range all {
			keys := []string{}
			for key := range e.attr {
				keys = append(keys, key)
			}
			slices.Sort(keys)
			shape = append(shape, e.ancestry+e.name+fmt.Sprint(keys))
		}
		return shape
	}
	want := shapeOf(elements(t, written(t, tame)))
	for i, name := range hostile {
		names := []string{name, name + " 2", name + " 3", name + " 4"}
		s := renamed(survey(t, "Ash", "Birch", "Elder", "Far"), names)
		page := written(t, s)
		all := elements(t, page)
		if got := shapeOf(all); !slices.Equal(got, want) {
			t.Errorf("name %d: other elements than with tame names", i)
		}
		for k, name := range names {
			told, flat := false, strings.Join(strings.Fields(plan.Visible(name)), " ")
			for _, e := range all {
				told = told || e.name == "bdi" && strings.Join(strings.Fields(e.text), " ") == flat
			}
			if !told {
				t.Errorf("name %d of pole %d is not told as it is: %q", i, k, flat)
			}
		}
		obeyed := func(r rune) bool {
			return r < ' ' && r != '\n' && r != '\t' || r == '\u202e' || r == '\u2066'
		}
		if at := strings.IndexFunc(page, obeyed); at >= 0 {
			t.Errorf("name %d: %q stands in the page", i, page[at:at+3])
		}
	}
}

// The page asks for nothing and runs nothing: no element that could, no address but within it.
func TestNothingFromOutside(t *testing.T) {
	all := elements(t, written(t, survey(t, "Ash", "Birch", "Elder")))
	inside := regexp.MustCompile(`^(#|data:image/(svg\+xml,|jpeg;base64,))`)
	for _, e := range all {
		if strings.Contains(" script link iframe object embed base form audio video ", " "+e.name+" ") {
			t.Errorf("an element %s", e.name)
		}
		for key, value := range e.attr {
			if strings.HasPrefix(key, "on") || key == "style" {
				t.Errorf("%s has %s", e.name, key)
			}
			if (key == "src" || key == "href") && !inside.MatchString(value) {
				t.Errorf("%s points to %.40q", e.name, value)
			}
		}
	}
	style := only(all, "style")
	if len(style) != 1 || strings.Contains(style[0].text, "url(") || strings.Contains(style[0].text, "@import") {
		t.Error("the style sheet loads something")
	}
	policy := only(all, "meta")[1]
	if policy.attr["http-equiv"] != "Content-Security-Policy" ||
		!strings.HasPrefix(policy.attr["content"], "default-src 'none'") {
		t.Errorf("the policy is %v", policy.attr)
	}
}

// What a screen reader goes by.
func TestReadAloud(t *testing.T) {
	s := survey(t, "Ash", "Birch", "Elder")
	s.Poles = append(s.Poles, s.Poles[0])
	all := elements(t, written(t, s))
	if all[0].name != "html" || all[0].attr["lang"] != "en" {
		t.Errorf("the page begins with %s %v", all[0].name, all[0].attr)
	}
	level, seen := 0, map[string]bool{}
	for _, e := range all {
		switch {
		case len(e.name) == 2 && e.name[0] == 'h' && e.name[1] >= '1' && e.name[1] <= '6':
			n := int(e.name[1] - '0')
			if n > level+1 || strings.TrimSpace(e.text) == "" {
				t.Errorf("%s %q after a heading of level %d", e.name, e.text, level)
			}
			level = n
		case e.name == "img" && len(e.attr["alt"]) < 20:
			t.Errorf("a picture says %q", e.attr["alt"])
		case e.name == "svg" && e.attr["aria-hidden"] == "" && (e.attr["role"] != "img" || len(e.attr["aria-label"]) < 10):
			t.Errorf("a drawing says %q", e.attr["aria-label"])
		case e.name == "th" && e.attr["scope"] == "":
			t.Errorf("%q heads nothing", e.text)
		case e.name == "input" && !strings.Contains(e.ancestry, "label"):
			t.Error("a box without a label")
		}
		if id := e.attr["id"]; id != "" {
			if seen[id] {
				t.Errorf("two elements are %s", id)
			}
			seen[id] = true
		}
	}
	for _, e := range only(all, "a") {
		if !seen[strings.TrimPrefix(e.attr["href"], "#")] {
			t.Errorf("%s leads nowhere", e.attr["href"])
		}
	}
	if n := len(only(all, "table")) - len(only(all, "caption")); n != 0 {
		t.Errorf("%d tables without a caption", n)
	}
}

func TestRefused(t *testing.T) {
	for _, s := range []sheet.Sheet{{}, {Poles: []sheet.Pole{{}}}} {
		if err := sheet.Write(io.Discard, s); !errors.Is(err, fault.ErrInput) {
			t.Errorf("%+v: %v", s, err)
		}
	}
	// Nothing known beside the site is no fault.
	bare := survey(t, "Ash", "Birch")
	bare.DEM, bare.Poles[0].Sun, bare.Date = nil, nil, time.Time{}
	bare.Poles[0].Site.Links[0].Profile = terrain.Profile{}
	if page := written(t, bare); strings.Contains(page, "<img") || strings.Contains(page, "by compass") {
		t.Error("pictures or a compass of nothing")
	}
}
