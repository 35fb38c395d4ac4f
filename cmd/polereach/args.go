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
	takesValue := valueFlags(cmd)
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
			name, _, hasValue := strings.Cut(strings.TrimLeft(arg, "-"), "=")
			if hasValue || !takesValue[name] {
				continue
			}
			if i+1 == len(args) {
				return nil, usagef("%s: flag --%s needs a value", cmd.Name, name)
			}
			i++
			flags = append(flags, args[i])
		}
	}
	out := append(slices.Clone(command), flags...)
	return append(append(out, "--"), rest...), nil
}

// valueFlags names the flags of a command that are followed by a value.
func valueFlags(cmd *cli.Command) map[string]bool {
	names := map[string]bool{}
	for _, f := range cmd.Flags {
		if _, isBool := f.(*cli.BoolFlag); isBool {
			continue
		}
		for _, n := range f.Names() {
			names[n] = true
		}
	}
	return names
}
