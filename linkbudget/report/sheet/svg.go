package sheet

import (
	"fmt"
	"html/template"
	"math"
	"regexp"
	"strconv"
	"strings"
)

var (
	beforeSVG = regexp.MustCompile(`(?s)^.*?<svg`)
	pathData  = regexp.MustCompile(` d="[^"]*"`)
	polyline  = regexp.MustCompile(`^ d="(?:M[-\d.e]+,[-\d.e]+(?:L[-\d.e]+,[-\d.e]+)*Z?)+"$`)
	corner    = regexp.MustCompile(`([ML])([-\d.e]+),([-\d.e]+)|Z`)
	styled    = regexp.MustCompile(` style="([^"]*)"`)
	spaces    = regexp.MustCompile(`\s+`)
)

// upright turns a text in a drawing whose heights grow upwards.
const upright = ` transform="scale(1, -1)"`

// The font that pictures are laid out for, and those as wide that phones have.
const drawnFont, alike = "font-family:Liberation Sans", ",Arimo,Arial,Helvetica,sans-serif"

// svgURL makes a data URL of a drawing, with a quarter of the bytes: a sheet has dozens of them.
func svgURL(svg string) template.URL {
	svg = beforeSVG.ReplaceAllString(svg, "<svg")
	svg = spaces.ReplaceAllString(pathData.ReplaceAllStringFunc(svg, thinned), " ")
	svg = strings.NewReplacer(upright, "", "> <", "><", drawnFont, drawnFont+alike).Replace(svg)
	rules, classes := "text{transform:scale(1,-1)}", map[string]string{}
	svg = styled.ReplaceAllStringFunc(svg, func(attribute string) string {
		class, known := classes[attribute]
		if !known {
			class = fmt.Sprintf(` class="c%d"`, len(classes))
			rules += fmt.Sprintf(".c%d{%s}", len(classes), styled.FindStringSubmatch(attribute)[1])
			classes[attribute] = class
		}
		return class
	})
	head, rest, _ := strings.Cut(svg, ">")
	svg = head + "><style>" + rules + "</style>" + rest
	return template.URL("data:image/svg+xml," + urlEscape.Replace(svg))
}

// urlEscape takes what a data URL within quotes may not hold.
var urlEscape = strings.NewReplacer("%", "%25", "#", "%23", `"`, "%22", "'", "%27", "<", "%3c", ">", "%3e", "&", "%26",
	" ", "%20")

// spot is a corner of a drawing, in tenths of a unit, of which a millimetre on paper has 28.
type spot [2]int

// off is how much thinning may move a line, tenths.
const off = 1.5

// thinned is a path of straight lines with fewer and rounder corners, each told from the one
// before. Other paths stay as they are.
func thinned(d string) string {
	if !polyline.MatchString(d) {
		return d
	}
	b := []byte(` d="`)
	var line []spot
	flush := func() {
		for i, at := range kept(line) {
			if i == 0 {
				b = appendTenths(append(b, 'M'), at)
			} else {
				b = appendTenths(append(b, 'l'), spot{at[0] - line[0][0], at[1] - line[0][1]})
			}
			line[0] = at // what the next is told from
		}
		line = line[:0]
	}
	for _, c := range corner.FindAllStringSubmatch(d, -1) {
		if c[1] != "L" {
			flush()
		}
		if c[0] == "Z" {
			b = append(b, 'Z')
			continue
		}
		line = append(line, spot{tenths(c[2]), tenths(c[3])})
	}
	flush()
	return string(append(b, '"'))
}

// kept leaves corners out that lie next to the line between those around them.
func kept(line []spot) (list []spot) {
	from := 0
	for to := range line {
		if to == 0 || to-from > 1 && !near(line[from:to+1]) {
			from = max(to-1, 0)
			list = append(list, line[from])
		}
	}
	if n := len(line) - 1; n > 0 {
		list = append(list, line[n])
	}
	return list
}

// near reports whether the inner corners lie along the way from the first to the last.
func near(line []spot) bool {
	first, last := line[0], line[len(line)-1]
	x, y := float64(last[0]-first[0]), float64(last[1]-first[1])
	long2 := x*x + y*y
	for _, c := range line[1 : len(line)-1] {
		cx, cy := float64(c[0]-first[0]), float64(c[1]-first[1])
		part := min(max((cx*x+cy*y)/max(long2, 1), 0), 1)
		if !(math.Hypot(cx-part*x, cy-part*y) <= off) {
			return false
		}
	}
	return true
}

func tenths(number string) int {
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || !(math.Abs(v) < 1e8) {
		return 0
	}
	return int(math.Round(10 * v))
}

// appendTenths appends two numbers.
func appendTenths(b []byte, at spot) []byte {
	for k, n := range at {
		switch {
		case n < 0:
			b, n = append(b, '-'), -n
		case k > 0:
			b = append(b, ',')
		}
		if n >= 10 || n == 0 {
			b = strconv.AppendInt(b, int64(n/10), 10)
		}
		if n%10 != 0 {
			b = append(b, '.', byte('0'+n%10))
		}
	}
	return b
}
