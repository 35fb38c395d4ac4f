package main

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

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
	if len(args) < 2 {
		return args, nil
	}
	cmd := app.Command(args[1])
	if cmd == nil {
		word := strings.TrimLeft(args[1], "-")
		if topFlags := []string{"help", "h", "version"}; word != args[1] && !slices.Contains(topFlags, word) {
			return nil, usagef("unknown flag %s before a command%s; see polereach --help", args[1],
				didYouMean(word, "--", topFlags))
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
				errs = append(errs, fmt.Errorf("%s: flag --%s is given twice, %q and %q; give it once", cmd.Name, name, first, value))
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
