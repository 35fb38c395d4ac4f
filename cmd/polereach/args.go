package main

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/linkbudget/plan"
)

// negativeNumber is an argument that begins like a number below zero: a
// western longitude or a southern latitude, never a flag.
var negativeNumber = regexp.MustCompile(`^-\.?[0-9]`)

// arrange moves the flags of a command before its other arguments. The flag
// parser stops at the first argument that is not a flag and would swallow
// flags that follow a file name; and it would take "-84.2,36.6" for a flag. Flags that
// are none, and values that none can take, are all told at once.
func arrange(app *cli.App, args []string) ([]string, error) {
	if len(args) > 1 && args[1] == "help" { // of a command, as some programs have it
		args = append(append(args[:1:1], args[2:]...), "--help")
	}
	if len(args) < 2 {
		return args, nil
	}
	cmd := app.Command(args[1])
	if cmd == nil {
		word := strings.TrimLeft(args[1], "-")
		if topFlags := []string{"help", "h", "version", "v"}; word != args[1] && !slices.Contains(topFlags, word) {
			return nil, usagef("unknown flag %s before a command%s; see polereach --help", args[1],
				didYouMean(word, "--", []string{"help", "version"}))
		}
		return args, nil
	}
	command := args[:2]
	if len(args) > 2 {
		if sub := cmd.Command(args[2]); sub != nil {
			cmd, command = sub, args[:3]
		}
	}
	known := map[string]cli.Flag{}
	for _, f := range append(slices.Clone(cmd.Flags), cli.HelpFlag) {
		for _, name := range f.Names() {
			known[name] = f
		}
	}
	given := map[string]string{} // the flag parser lets the last of two win
	var flags, rest []string
	var errs []error
	for i := len(command); i < len(args); i++ {
		arg := args[i]
		switch {
		case arg == "--":
			rest = append(rest, args[i+1:]...)
			i = len(args)
		case !strings.HasPrefix(arg, "-") || arg == "-" || negativeNumber.MatchString(arg):
			rest = append(rest, arg)
		default:
			flags = append(flags, arg)
			name, value, hasValue := strings.Cut(strings.TrimLeft(arg, "-"), "=")
			f := known[name]
			if f == nil {
				errs = append(errs, fmt.Errorf("%s: no flag %s%s; see polereach %s --help", cmd.Name, arg,
					didYouMean(name, "--", slices.Sorted(maps.Keys(known))), strings.Join(command[1:], " ")))
				continue
			}
			if takes := f.(cli.DocGenerationFlag).TakesValue(); takes && !hasValue {
				if i+1 == len(args) {
					errs = append(errs, fmt.Errorf("%s: flag --%s needs a value", cmd.Name, name))
					continue
				}
				i++
				value = args[i]
				flags = append(flags, value)
			} else if !takes && !hasValue {
				continue
			}
			if first, twice := given[name]; twice && !repeatable(f) {
				errs = append(errs, fmt.Errorf("%s: flag --%s is given twice, %q and %q; give it once", cmd.Name, name, first,
					value))
			}
			given[name] = value
			errs = append(errs, commandline.ValueFault(name, f, value))
		}
	}
	if err := errors.Join(errs...); err != nil {
		return nil, usage(err)
	}
	out := append(slices.Clone(command), flags...)
	return append(append(out, "--"), rest...), nil
}

func repeatable(f cli.Flag) bool {
	switch f.(type) {
	case *cli.StringSliceFlag, *cli.GenericFlag:
		return true
	}
	return false
}

// didYouMean names the one of a list that a word is near to, by the distance of the names
// of plans; "" for none.
func didYouMean(word, before string, of []string) string {
	var p plan.Plan
	for _, name := range of {
		p.Stations = append(p.Stations, plan.Station{Name: name})
	}
	near, ok := p.Nearest(word)
	if !ok {
		return ""
	}
	return fmt.Sprintf("; did you mean %s%s?", before, near)
}

// coordinate reads LON,LAT in degrees.
func coordinate(what, text string) (orb.Point, error) {
	lonText, latText, _ := strings.Cut(text, ",")
	lon, err1 := strconv.ParseFloat(strings.TrimSpace(lonText), 64)
	lat, err2 := strconv.ParseFloat(strings.TrimSpace(latText), 64)
	switch meant := commandline.Numbers(text, 2); {
	case (err1 != nil || err2 != nil) && meant != nil:
		return orb.Point{}, usagef("%s: found %q, want LON,LAT in degrees: write %s", what, text, strings.Join(meant, ","))
	case err1 != nil || err2 != nil:
		return orb.Point{}, usagef("%s: found %q, want LON,LAT in degrees, such as -84.2,36.6", what, text)
	case !(math.Abs(lat) <= 90) && math.Abs(lon) <= 90:
		return orb.Point{}, usagef("%s: latitude %g is out of range -90 to 90; longitude comes first, are they swapped?",
			what, lat)
	case !(math.Abs(lon) <= 180) || !(math.Abs(lat) <= 90):
		return orb.Point{}, usagef("%s: found %q, allowed longitude -180 to 180, latitude -90 to 90", what, text)
	}
	return orb.Point{lon, lat}, nil
}

// box reads the corners of an area, in the order of a bbox of RFC 7946; nil for an
// empty text. An eastern edge below the western one lies across the antimeridian, where
// that is the shorter way; else the two are exchanged.
func box(what, text string) (*orb.Bound, error) {
	if text == "" {
		return nil, nil
	}
	const want = "want WEST,SOUTH,EAST,NORTH in degrees, such as -84.4,36.4,-84.1,36.7"
	parts := strings.Split(text, ",")
	if meant := commandline.Numbers(text, 4); len(parts) != 4 && meant != nil {
		return nil, usagef("%s: found %q: write %s", what, text, strings.Join(meant, ","))
	}
	if len(parts) != 4 {
		return nil, usagef("%s: found %q, %s", what, text, want)
	}
	southWest, err1 := coordinate(what+": south-west corner", parts[0]+","+parts[1])
	northEast, err2 := coordinate(what+": north-east corner", parts[2]+","+parts[3])
	if err := errors.Join(err1, err2); err != nil {
		return nil, err
	}
	if northEast[0] < southWest[0] {
		if northEast[0]+360-southWest[0] > 180 {
			return nil, usagef("%s: found %q, whose eastern edge %g lies west of its western one %g: exchange them, %s",
				what, text, northEast[0], southWest[0], want)
		}
		northEast[0] += 360
	}
	if !(southWest[1] < northEast[1] && southWest[0] < northEast[0]) {
		return nil, usagef("%s: found %q, the southern edge must lie below the northern one and the western one before "+
			"the eastern", what, text)
	}
	return &orb.Bound{Min: southWest, Max: northEast}, nil
}
