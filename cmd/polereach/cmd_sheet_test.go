package main

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/power"
)

// sheetFigures are the data elements of a page by where they stand: "" for the pole, else the
// number of the neighbour.
func sheetFigures(t *testing.T, page string) map[string]map[string][2]string {
	t.Helper()
	all := map[string]map[string][2]string{}
	d := xml.NewDecoder(strings.NewReader(page))
	link := regexp.MustCompile(`^pole\d+n(\d+)$`)
	var open []string // what each open element belongs to
	of := func() string {
		if len(open) == 0 {
			return ""
		}
		return open[len(open)-1]
	}
	key, value, text := "", "", ""
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return all
		}
		if err != nil {
			t.Fatal(err)
		}
		switch v := token.(type) {
		case xml.StartElement:
			here := of()
			for _, a := range v.Attr {
				if m := link.FindStringSubmatch(a.Value); a.Name.Local == "id" && m != nil {
					here = m[1]
				}
				if v.Name.Local == "section" && a.Name.Local == "class" && a.Value == "sun" {
					here = "sun"
				}
				switch a.Name.Local {
				case "data-key":
					key = a.Value
				case "value":
					value = a.Value
				}
			}
			open, text = append(open, here), ""
		case xml.CharData:
			text += string(v)
		case xml.EndElement:
			if v.Name.Local == "data" && key != "" {
				if all[of()] == nil {
					all[of()] = map[string][2]string{}
				}
				all[of()][key] = [2]string{value, text}
			}
			key, open = "", open[:len(open)-1]
		}
	}
}

var firstNumber = regexp.MustCompile(`[-+]?\d+(\.\d+)?`)

// Every figure of a link in the sheet is that of the JSON, and what is read beside it is that
// figure rounded to the digits shown.
func TestSheetHasTheFiguresOfTheJSON(t *testing.T) {
	// A neighbour that sends less and hears worse: the two ways are not alike.
	unlike := filepath.Join(t.TempDir(), "unlike.geojson")
	text, err := os.ReadFile(demoPlan)
	if err == nil {
		name := []byte(`"name": "Mill Bottom",`)
		text = bytes.Replace(text, name, append(name, ` "tx_dbm": 14, "noise_figure_db": 9,`...), 1)
		err = os.WriteFile(unlike, text, 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	rest := []string{"--dem", demo + "dem", "--radio", demo + "radio.json", unlike}
	for _, pole := range []string{"Sorrel Ridge", "Hollow School"} {
		file := filepath.Join(t.TempDir(), "sheet.html")
		r := polereach(t, append([]string{"sheet", "--pole", pole, "--out", file}, rest...)...)
		site := polereach(t, append([]string{"site", "--pole", pole, "--format", "json"}, rest...)...)
		if r.code != site.code || r.err != "" {
			t.Fatalf("%s: exit %d, that of site is %d: %s", pole, r.code, site.code, r.err)
		}
		page, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		figures := sheetFigures(t, string(page))
		var said struct {
			Pole  map[string]any   `json:"pole"`
			Links []map[string]any `json:"links"`
		}
		if err := json.Unmarshal([]byte(site.out), &said); err != nil {
			t.Fatal(err)
		}
		if len(figures) < len(said.Links)+1 {
			t.Errorf("%s: figures of %d places for %d links", pole, len(figures), len(said.Links))
		}
		compareFigures(t, pole, figures[""], said.Pole, 3)
		for i, link := range said.Links {
			ways := link["directions"].([]any)
			for k, end := range []string{"b", "a"} { // from the pole, and to it
				way := ways[k].(map[string]any)
				for _, key := range []string{"rx_%s_dbm", "snr_%s_db", "sensitivity_%s_dbm"} {
					link[fmt.Sprintf(key, end)] = way[strings.Replace(key, "_%s", "", 1)]
				}
			}
			compareFigures(t, fmt.Sprint(pole, " to ", link["to"]), figures[strconv.Itoa(i+1)], link, 18)
			if !strings.Contains(string(page), "<bdi>"+link["to"].(string)+"</bdi>") {
				t.Errorf("%s is not named", link["to"])
			}
		}
	}
}

func compareFigures(t *testing.T, of string, figures map[string][2]string, said map[string]any, least int) {
	t.Helper()
	if len(figures) < least {
		t.Errorf("%s: %d figures: %v", of, len(figures), figures)
	}
	for key, figure := range figures {
		want, ok := said[key].(float64)
		got, err := strconv.ParseFloat(figure[0], 64)
		if !ok || err != nil || got != want {
			t.Errorf("%s: %s is %s (%v), the JSON has %v", of, key, figure[0], err, said[key])
			continue
		}
		text := firstNumber.FindString(figure[1])
		told, err := strconv.ParseFloat(strings.TrimPrefix(text, "+"), 64)
		if figure[1] == "level" {
			told, err, text = 0, nil, "0.0"
		}
		_, digits, _ := strings.Cut(text, ".")
		half := 0.5 * math.Pow(10, -float64(len(digits)))
		switch {
		case strings.HasSuffix(figure[1], " km"):
			told, half = told*1000, half*1000
		case strings.HasSuffix(figure[1], " down"):
			told = -told
		case key == "clearance_m":
			told *= math.Copysign(1, want)
		case strings.HasSuffix(key, "azimuth_deg") || strings.HasSuffix(key, "magnetic_deg"):
			told = want + math.Remainder(told-want, 360)
		case key == "clearance_f1":
			told += half // rounded down, so that 0.6 is told of no less
		}
		if err != nil || !(math.Abs(told-want) <= half*1.000001) {
			t.Errorf("%s: %s reads %q, the JSON has %v", of, key, figure[1], want)
		}
	}
}

// A year of the node is told with the figures of "sun".
func TestSheetHasTheYear(t *testing.T) {
	long(t)
	const poles = demo + "sun.geojson"
	file := filepath.Join(t.TempDir(), "sheet.html")
	polereach(t, "sheet", "--pole", "Cold Hollow", "--out", file, poles)
	page, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var said struct {
		System struct{ Panels []map[string]any }
		Months []map[string]any
	}
	year := polereach(t, "sun", "--pole", "Cold Hollow", "--format", "json", poles)
	if err := json.Unmarshal([]byte(year.out), &said); err != nil {
		t.Fatal(err)
	}
	// Of figures that there are twelve times the last one is kept: December.
	december := said.Months[11]
	for key, value := range said.System.Panels[0] {
		december[key] = value
	}
	compareFigures(t, "Cold Hollow", sheetFigures(t, string(page))["sun"], december, 7)
	if !strings.Contains(string(page), "DIES in") {
		t.Error("the verdict of the year is missing")
	}
	for i, m := range said.Months {
		look := map[any]string{"lives": "reaches", "thin": "marginal", "dies": "short"}[m["verdict"]]
		row := regexp.MustCompile(`<tr><th scope="row">` + power.MonthName(i + 1)[:3] + `<.*</tr>`).FindString(string(page))
		if want := fmt.Sprintf(`<b class="chip %s">%s</b>`, look, m["verdict"]); look == "" || !strings.Contains(row, want) {
			t.Errorf("month %d is %s, in the sheet %q", i+1, m["verdict"], row)
		}
	}
}

// A plan of 12 poles takes less than 1 MB, with a page each that stands for itself.
func TestSheetOfAPlan(t *testing.T) {
	long(t)
	r := polereach(t, "sheet", demoPlan)
	if n := strings.Count(r.out, "<article "); n != 12 || len(r.out) > 1e6 {
		t.Errorf("%d pages in %d bytes, want 12 in 1000000", n, len(r.out))
	}
	// Of the 15 links of the plan each stands on two pages, with its picture.
	if n := strings.Count(r.out, `<section class="link"`); n != 30 || strings.Count(r.out, "Section of the path") != n {
		t.Errorf("%d links in full with %d pictures, want 30", n, strings.Count(r.out, "Section of the path"))
	}
	again := polereach(t, "sheet", demoPlan)
	if again.out != r.out || again.code != r.code {
		t.Error("the same plan gives another sheet")
	}
}

func TestSheetRefuses(t *testing.T) {
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"--pole", "Nobody", demoPlan}, exitUsage, `no station "Nobody"`},
		{[]string{demoPlan, demoPlan}, exitUsage, "want one plan file"},
		{[]string{"--out", demoPlan, demoPlan}, exitUsage, "is read by this run"},
		{[]string{"--pole", "Sorrel Ridge", "--range-km", "-1", demoPlan}, exitUsage, "range-km: found -1"},
	} {
		if r := polereach(t, append([]string{"sheet"}, c.args...)...); r.code != c.code || !strings.Contains(r.err, c.says) {
			t.Errorf("%v: exit %d, %s", c.args, r.code, r.err)
		}
	}
}
