package sheet

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// luminance and contrast are those of WCAG 2.2, "relative luminance" and "contrast ratio".
func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	hex = strings.TrimPrefix(hex, "#")
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		v, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		if err != nil {
			t.Fatalf("colour %q: %v", hex, err)
		}
		c := float64(v) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

func contrast(t *testing.T, a, b string) float64 {
	x, y := luminance(t, a), luminance(t, b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// Published pairs: black on white is 21, #767676 the lightest grey that passes on white
// (WebAIM's checker, from memory: 4.54).
func TestContrastRatio(t *testing.T) {
	if got := contrast(t, "#000", "#fff"); math.Abs(got-21) > 1e-9 {
		t.Errorf("black on white %.2f", got)
	}
	if got := contrast(t, "#767676", "#ffffff"); math.Abs(got-4.54) > 0.005 {
		t.Errorf("#767676 on white %.3f", got)
	}
}

var (
	ruleOf   = regexp.MustCompile(`([^{}]+)\{([^{}]*)\}`)
	colourOf = regexp.MustCompile(`(?:^|[; ])(color|background|fill|stroke): (#[0-9a-f]+)`)
)

// Text is told from its ground by 4.5 and lines from what they lie on by 3 (WCAG 2.2, 1.4.3
// and 1.4.11, AA): a line of the map lies on its black case, which lies on the hillshade.
func TestContrastOfTheStyle(t *testing.T) {
	texts, ways := 0, 0
	for _, rule := range ruleOf.FindAllStringSubmatch(styleText, -1) {
		has := map[string]string{}
		for _, c := range colourOf.FindAllStringSubmatch(rule[2], -1) {
			has[c[1]] = c[2]
		}
		selector := strings.TrimSpace(rule[1])
		if (has["color"] == "") != (has["background"] == "") {
			t.Errorf("%s sets a colour without its ground", selector)
		} else if has["color"] != "" {
			texts++
			if got := contrast(t, has["color"], has["background"]); got < 4.5 {
				t.Errorf("%s: %s on %s is %.2f", selector, has["color"], has["background"], got)
			}
		}
		if strings.HasPrefix(selector, ".way.") {
			ways++
			if got := contrast(t, has["stroke"], "#000"); got < 3 {
				t.Errorf("%s: %s on its black case is %.2f", selector, has["stroke"], got)
			}
		}
		if has["fill"] != "" && has["stroke"] != "" {
			if got := contrast(t, has["fill"], has["stroke"]); got < 3 {
				t.Errorf("%s: %s in %s is %.2f", selector, has["fill"], has["stroke"], got)
			}
		}
	}
	if texts < 8 || ways != 4 {
		t.Errorf("looked at %d pairs of text and %d lines", texts, ways)
	}
	grey := "#" + strings.Repeat(strconv.FormatInt(darkest, 16), 3)
	if got := contrast(t, "#000", grey); got < 4.5 {
		t.Errorf("black on the darkest hill is %.2f", got)
	}
}

// Each state has a pattern of its own beside its colour: in the map a dash, in a word a border.
func TestSecondCue(t *testing.T) {
	dashes, borders := map[string]bool{}, map[string]bool{}
	for _, state := range []string{"reaches", "marginal", "short", "unknown"} {
		dash, border := "none", ""
		for _, rule := range ruleOf.FindAllStringSubmatch(styleText, -1) {
			for selector := range strings.SplitSeq(rule[1], ",") {
				switch strings.TrimSpace(selector) {
				case "." + state:
					_, dash, _ = strings.Cut(rule[2], "stroke-dasharray: ")
				case ".chip." + state:
					_, border, _ = strings.Cut(rule[2], "border-style: ")
				}
			}
		}
		if dashes[dash] || borders[border] || border == "" {
			t.Errorf("%s looks like another: dash %q, border %q", state, dash, border)
		}
		dashes[dash], borders[border] = true, true
	}
}
