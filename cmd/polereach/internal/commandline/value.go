package commandline

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"
)

// units are what a number may be written in, by the quantity that each measures, and how
// many of its smallest one it is.
var units = map[string]struct {
	of string
	is float64
}{
	"m": {"length", 1}, "meter": {"length", 1}, "metre": {"length", 1}, "cm": {"length", 0.01}, "km": {"length", 1000},
	"ft": {"length", 0.3048}, "feet": {"length", 0.3048}, "foot": {"length", 0.3048}, "'": {"length", 0.3048},
	"yd": {"length", 0.9144}, "mi": {"length", 1609.344}, "mile": {"length", 1609.344}, // international, exact
	"hz": {"frequency", 1}, "khz": {"frequency", 1e3}, "mhz": {"frequency", 1e6}, "ghz": {"frequency", 1e9},
	"s": {"time", 1}, "sec": {"time", 1}, "min": {"time", 60}, "h": {"time", 3600},
	"db": {"ratio", 1}, "dbm": {"level", 1}, "dbi": {"gain", 1}, "%": {"part", 1}, "percent": {"part", 1},
	"deg": {"angle", 1}, "°": {"angle", 1}, "b": {"bytes", 1}, "byte": {"bytes", 1}, "mib": {"memory", 1},
}

// unitNames are how the unit of a flag is written, where not in small letters.
var unitNames = strings.NewReplacer("DBM", "dBm", "DBI", "dBi", "DB", "dB", "KHZ", "kHz", "MHZ", "MHz", "KM", "km",
	"M", "m", "PERCENT", "percent", "BYTES", "bytes", "S", "s", "H", "h")

// ValueFault is what is wrong with the text for a flag of a number or of yes and no, and what
// to write; nil for any other flag, and for what it can take.
func ValueFault(name string, f cli.Flag, text string) error {
	want, whole := "a number", false
	switch f.(type) {
	case *cli.BoolFlag:
		if _, err := strconv.ParseBool(text); err != nil {
			return fmt.Errorf("%s: found %q, want true or false", name, text)
		}
		return nil
	case *cli.Float64Flag:
		if _, err := strconv.ParseFloat(text, 64); err == nil && !strings.ContainsAny(text, "xX_") { // decimal alone
			return nil
		}
	case *cli.IntFlag: // the parser of flags takes 010 for 8
		if n, err := strconv.Atoi(text); err == nil && strconv.Itoa(n) == strings.TrimPrefix(text, "+") {
			return nil
		}
		want, whole = "a whole number", true
	default:
		return nil
	}
	doc := f.(cli.DocGenerationFlag)
	unit, _ := placeholder(doc)
	if _, known := units[strings.TrimSuffix(strings.ToLower(unit), "s")]; known || unit == "S" {
		want += " in " + unitNames.Replace(unit)
	}
	if proposals := meant(text, strings.ToLower(unit), whole); len(proposals) > 0 {
		return fmt.Errorf("%s: found %q, want %s: write %s", name, text, want, strings.Join(proposals, " or "))
	}
	if value := doc.GetValue(); value != "0" {
		want += " such as " + value
	}
	if text == "" {
		return fmt.Errorf("%s: found nothing, want %s", name, want)
	}
	return fmt.Errorf("%s: found %q, want %s", name, text, want)
}

var written = regexp.MustCompile(`^(?:[A-Za-z]+|4/)? *([+-]?[0-9]+(?:[.,][0-9]+)*) *([^0-9]*)$`)

// meant are the numbers in the unit of a flag that a text may mean: with a decimal comma, with
// a unit of its own, behind a name as in SF9.
func meant(text, unit string, whole bool) (proposals []string) {
	parts := written.FindStringSubmatch(strings.TrimSpace(text))
	if parts == nil {
		return nil
	}
	number, own := parts[1], strings.TrimRight(strings.ToLower(parts[2]), ". ")
	factor := 1.0
	if own != "" && own != unit {
		from, known := units[cmp.Or(singular(own), own)]
		to := units[cmp.Or(singular(unit), unit)]
		if !known || from.of != to.of {
			return nil
		}
		factor = from.is / to.is
	}
	readings := []string{decimal(number)}
	if thousands.MatchString(number) {
		readings = append(readings, strings.ReplaceAll(number, ",", ""))
	}
	for _, reading := range readings {
		v, err := strconv.ParseFloat(reading, 64)
		if v *= factor; err == nil && (!whole || v == math.Trunc(v)) {
			proposals = append(proposals, strconv.FormatFloat(v, 'g', 9, 64))
		}
	}
	return proposals
}

// thousands is a number whose comma may part thousands.
var thousands = regexp.MustCompile(`^[+-]?[1-9][0-9]{0,2}(,[0-9]{3})+$`)

// decimal takes the last comma or point for the decimal one.
func decimal(number string) string {
	if i := strings.LastIndexAny(number, ",."); i >= 0 {
		return strings.NewReplacer(",", "", ".", "").Replace(number[:i]) + "." + number[i+1:]
	}
	return number
}

// singular is a known unit for its plural, else "".
func singular(word string) string {
	if one := strings.TrimSuffix(word, "s"); one != "" {
		if _, known := units[one]; known {
			return one
		}
	}
	return ""
}

var apart = regexp.MustCompile(`[;\s]+`)

// Numbers are n that a text means which parts them by semicolons or blanks, or has decimal
// commas; nil for another text.
func Numbers(text string, n int) []string {
	list := apart.Split(strings.Trim(text, ";, "), -1)
	if commas := strings.Split(text, ","); len(list) != n && len(commas) == 2*n && !strings.Contains(text, ".") {
		list = nil
		for i := range n {
			list = append(list, commas[2*i]+"."+commas[2*i+1])
		}
	}
	if len(list) != n {
		return nil
	}
	for i, number := range list {
		list[i] = decimal(strings.Trim(number, ","))
		if _, err := strconv.ParseFloat(list[i], 64); err != nil {
			return nil
		}
	}
	return list
}
