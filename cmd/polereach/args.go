package main

import (
	"regexp"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"
)

// negativeNumber is an argument that begins like a number below zero: a
// western longitude or a southern latitude, never a flag.
var negativeNumber = regexp.MustCompile(`^-\.?[0-9]`)

// arrange moves the flags of a command before its other arguments. The flag
// parser stops at the first argument that is not a flag and would swallow
// flags that follow a file name; and it would take "-84.2,36.6" for a flag.
func arrange(app *cli.App, args []string) ([]string, error) {
	if len(args) < 2 {
		return args, nil
	}
	cmd := app.Command(args[1])
	if cmd == nil {
		return args, nil
	}
	command := args[:2]
	if len(args) > 2 {
		if sub := cmd.Command(args[2]); sub != nil {
			cmd, command = sub, args[:3]
		}
	}
	repeatable := map[string]bool{} // of the flags that take a value
	for _, f := range cmd.Flags {
		for _, name := range f.Names() {
			switch f.(type) {
			case *cli.BoolFlag:
			case *cli.StringSliceFlag, *cli.GenericFlag:
				repeatable[name] = true
			default:
				repeatable[name] = false
			}
		}
	}
	given := map[string]string{} // the flag parser lets the last of two win
	var flags, rest []string
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
			several, takesValue := repeatable[name]
			if !takesValue {
				continue
			}
			if !hasValue {
				if i+1 == len(args) {
					return nil, usagef("%s: flag --%s needs a value", cmd.Name, name)
				}
				i++
				value = args[i]
				flags = append(flags, value)
			}
			if first, twice := given[name]; twice && !several {
				return nil, usagef("%s: flag --%s is given twice, %q and %q; give it once", cmd.Name, name, first, value)
			}
			given[name] = value
		}
	}
	out := append(slices.Clone(command), flags...)
	return append(append(out, "--"), rest...), nil
}
