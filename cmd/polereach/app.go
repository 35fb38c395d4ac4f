package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/linkbudget/plan"
)

// now is the clock: magnetic bearings are told for its month.
var now = time.Now

// run is the program: arguments in, output and exit code out.
func run(ctx context.Context, args []string, out, errOut io.Writer) int {
	checked, wholeBefore := &checkedWriter{Writer: out}, outfile.Whole()
	app := newApp(checked, errOut)
	arranged, err := arrange(app, args)
	if err == nil {
		err = app.RunContext(ctx, arranged)
	}
	if err == nil && checked.err != nil {
		err = failed(fmt.Errorf("standard output: %w", checked.err))
	}
	code := codeOf(err)
	var e *exitError
	if err != nil && !(errors.As(err, &e) && e.err == nil) {
		text := err.Error()
		if errors.Is(err, context.Canceled) {
			text = "interrupted, " + cmp.Or(leftBy(err), left(wholeBefore))
		}
		for line := range strings.SplitSeq(plan.Visible(text), "\n") {
			fmt.Fprintf(errOut, "polereach: %s\n", line)
		}
	}
	return code
}

// newApp builds the command line as a value, so that tests run it in-process.
func newApp(out, errOut io.Writer) *cli.App {
	app := &cli.App{
		Name:      "polereach",
		Usage:     "will a LoRa node on that pole reach its neighbours, and live on its sun?",
		UsageText: "polereach COMMAND [flags] [PLAN] [flags]",
		Commands: append([]*cli.Command{siteCommand(), linkCommand(), planCommand(), coverageCommand(), spotsCommand(),
			calibrateCommand(), sunCommand(), sheetCommand(), airtimeCommand(), demCommand(), beginCommand()},
			commandline.OwnCommands(wordsOf)...),
		Description: `Each command tells its flags and an example that runs: polereach COMMAND --help
Terrain comes by polereach dem get, weather by polereach sun get; no other
command goes to the network, but for --allow-remote. --version tells the build.

Answers rest on models and on what is stated; look at both ends on site.`,
		Writer: out, ErrWriter: errOut,
		Version: commandline.Version(),

		HideHelpCommand: true,
		OnUsageError:    onUsageError,
		ExitErrHandler:  func(*cli.Context, error) {},
		Action: func(c *cli.Context) error {
			if c.Args().Present() {
				names := joined(c.App.VisibleCommands(), ", ", func(cmd *cli.Command) string { return cmd.Name })
				return usagef("unknown command %q%s; commands: %s", c.Args().First(),
					didYouMean(c.Args().First(), "", strings.Split(names, ", ")), names)
			}
			return cli.ShowAppHelp(c)
		},
	}
	for _, cmd := range app.Commands {
		for _, one := range append([]*cli.Command{cmd}, cmd.Subcommands...) {
			one.OnUsageError = onUsageError
			one.Before = outputsApart
			one.HideHelpCommand = true
		}
	}
	return app
}

// wordsOf are the words for a flag that a shell may complete: bands, and the stations of a
// plan among the words.
func wordsOf(flag string, words []string) (list []string) {
	switch flag {
	case "band":
		for _, b := range band.Names() {
			list = append(list, string(b))
		}
	case "pole", "must", "gateway", "without", "like":
		for _, word := range words {
			if end := filepath.Ext(word); end != ".geojson" && end != ".json" {
				continue
			}
			data, err := readFile(word)
			if err != nil {
				continue
			}
			if p, err := plan.Read(word, data); err == nil {
				for i := range p.Stations {
					list = append(list, p.Stations[i].Name)
				}
			}
		}
	}
	return list
}

// onUsageError keeps the library from printing help into piped output.
func onUsageError(c *cli.Context, err error, _ bool) error {
	return usagef("%s: %w; see polereach %s --help", c.Command.Name, err, c.Command.Name)
}

// joined lists what each says.
func joined[T any](list []T, separator string, says func(T) string) string {
	var words []string
	for _, one := range list {
		words = append(words, says(one))
	}
	return strings.Join(words, separator)
}

func init() {
	cli.HelpPrinter = commandline.HelpPrinter("pole", "at", "from", "around", "reach", "must", "gateway", "height-m",
		"height-a-m", "height-b-m", "band", "freq-mhz", "sf", "dem", "radio", "format", "out")
	cli.HelpFlag = &cli.BoolFlag{Name: "help", Aliases: []string{"h"}, Usage: "show help", Category: outputGroup,
		DisableDefaultText: true}
	cli.VersionFlag = &cli.BoolFlag{Name: "version", Aliases: []string{"v"}, Usage: "print the version"}
	cli.VersionPrinter = func(c *cli.Context) { fmt.Fprintln(c.App.Writer, c.App.Name, c.App.Version) }
}
