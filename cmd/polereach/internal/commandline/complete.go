package commandline

import (
	"embed"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"
)

//go:embed completion
var scripts embed.FS

var shells = []string{"bash", "zsh", "fish"}

// Values are the words that a flag of a command can take, given all words on the line; nil
// where files are as good a guess.
type Values func(flag string, words []string) []string

// OwnCommands tell of the program itself: completion, man, and complete, which the scripts of
// completion ask.
func OwnCommands(values Values) []*cli.Command {
	return []*cli.Command{{
		Name:      "completion",
		Usage:     "a script that completes words in bash, zsh or fish",
		UsageText: "polereach completion bash|zsh|fish",
		Description: `Example:
   polereach completion bash

In bash: source <(polereach completion bash). The scripts ask the program itself
for its commands, their flags and the names of the stations of a plan on the line.`,
		Action: func(c *cli.Context) error {
			shell := c.Args().First()
			if c.NArg() != 1 || !slices.Contains(shells, shell) {
				return fmt.Errorf("completion: found %q, want one of %s", c.Args().Slice(), strings.Join(shells, ", "))
			}
			script, err := scripts.ReadFile("completion/polereach." + shell)
			if err == nil {
				_, err = c.App.Writer.Write(script)
			}
			return err
		},
	}, {
		Name:      "man",
		Usage:     "the manual page, for man -l -",
		UsageText: "polereach man",
		Description: `Example:
   polereach man

To read it: polereach man | man -l -`,
		Action: func(c *cli.Context) error {
			page, err := c.App.ToManWithSection(1)
			if err == nil {
				_, err = io.WriteString(c.App.Writer, page)
			}
			return err
		},
	}, {
		Name:        "complete",
		Usage:       "what the last word may become",
		UsageText:   "polereach complete -- WORD...",
		Description: "Example:\n   polereach complete -- si",
		Hidden:      true,
		Action: func(c *cli.Context) error {
			for _, word := range candidates(c.App, c.Args().Slice(), values) {
				if _, err := fmt.Fprintln(c.App.Writer, word); err != nil {
					return err
				}
			}
			return nil
		},
	}}
}

// unquoted takes away what a shell would.
var unquoted = strings.NewReplacer(`\`, "", `"`, "", `'`, "")

// candidates are what the last of the words may become, each with its beginning.
func candidates(app *cli.App, words []string, values Values) []string {
	if len(words) == 0 {
		words = []string{""}
	}
	for i := range words {
		words[i] = unquoted.Replace(words[i])
	}
	last := words[len(words)-1]
	var of []string
	commands, flags := app.VisibleCommands(), []cli.Flag{cli.HelpFlag, cli.VersionFlag}
	for _, word := range words[:len(words)-1] {
		i := slices.IndexFunc(commands, func(c *cli.Command) bool { return c.HasName(word) })
		if i < 0 {
			commands = nil
			break
		}
		flags = append(slices.Clone(commands[i].Flags), cli.HelpFlag)
		commands = commands[i].Subcommands
	}
	before := ""
	if len(words) > 1 {
		before = words[len(words)-2]
	}
	switch f := flagNamed(flags, before); {
	case f != nil && f.TakesValue():
		of = values(f.Names()[0], words)
	case strings.HasPrefix(last, "-"):
		for _, f := range flags {
			name := f.Names()[0]
			of = append(of, strings.Repeat("-", min(2, len(name)))+name)
		}
	default:
		for _, c := range commands {
			of = append(of, c.Name)
		}
	}
	return slices.DeleteFunc(of, func(word string) bool { return !strings.HasPrefix(unquoted.Replace(word), last) })
}

func flagNamed(flags []cli.Flag, word string) cli.DocGenerationFlag {
	for _, f := range flags {
		if strings.HasPrefix(word, "-") && slices.Contains(f.Names(), strings.TrimLeft(word, "-")) {
			return f.(cli.DocGenerationFlag)
		}
	}
	return nil
}

var plainWord = regexp.MustCompile(`^[A-Za-z0-9_./,:@%+-]+$`)

// Quoted is a word as a POSIX shell takes it back.
func Quoted(word string) string {
	if plainWord.MatchString(word) {
		return word
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}
