// Package commandline is what a command line tells of itself: help in columns,
// completion for shells, its version, and what to write for a word that it cannot take.
package commandline

import (
	"cmp"
	"fmt"
	"io"
	"os"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/urfave/cli/v2"
	"golang.org/x/term"
)

const (
	widest, narrowest = 80, 60 // columns of a help text
	usageColumn       = 30     // where the text beside a flag begins
	flagIndent        = "   "
)

// Columns is the width of the terminal behind w, 0 where there is none. What says its
// Columns itself is asked.
func Columns(w io.Writer) int {
	switch w := w.(type) {
	case interface{ Columns() int }:
		return w.Columns()
	case *os.File:
		if width, _, err := term.GetSize(int(w.Fd())); err == nil {
			return cmp.Or(width, widest)
		}
	}
	return 0
}

// Group puts flags under a heading of help.
func Group(heading string, flags ...cli.Flag) []cli.Flag {
	for _, f := range flags {
		switch f := f.(type) {
		case *cli.BoolFlag:
			f.Category = heading
		case *cli.Float64Flag:
			f.Category = heading
		case *cli.GenericFlag:
			f.Category = heading
		case *cli.IntFlag:
			f.Category = heading
		case *cli.StringFlag:
			f.Category = heading
		case *cli.StringSliceFlag:
			f.Category = heading
		}
	}
	return flags
}

// HelpPrinter prints help for the library. The common flags come first, in their order;
// the other groups stand in the order in which the command has them.
func HelpPrinter(common ...string) func(io.Writer, string, any) {
	return func(w io.Writer, _ string, of any) {
		width := widest
		if n := Columns(w); n > 0 {
			width = max(narrowest, min(widest, n))
		}
		p := &printer{width: width}
		switch of := of.(type) {
		case *cli.App:
			p.app(of)
		case *cli.Command:
			p.command(of, common)
		}
		_, _ = io.WriteString(w, p.String()) // the library passes over it, and the writer keeps it
	}
}

type printer struct {
	strings.Builder
	width int
}

func (p *printer) app(a *cli.App) {
	p.wrap("", "", a.Name+": "+a.Usage)
	p.WriteString("\nUsage:\n")
	p.wrap(flagIndent, flagIndent, a.UsageText)
	p.WriteString("\nQuestions:\n")
	for _, c := range a.VisibleCommands() {
		head := fmt.Sprintf("%s%-11s", flagIndent, c.Name)
		p.wrap(head, strings.Repeat(" ", len(head)), c.Usage)
	}
	p.WriteByte('\n')
	p.text(a.Description)
}

func (p *printer) command(c *cli.Command, common []string) {
	p.wrap("", "", c.HelpName+": "+c.Usage)
	p.WriteString("\nUsage:\n")
	for line := range strings.Lines(c.UsageText) {
		p.wrap(flagIndent, flagIndent+flagIndent, line)
	}
	p.WriteByte('\n')
	p.text(c.Description)
	for _, g := range groups(c.VisibleFlags(), common) {
		p.WriteString("\n" + g.heading + ":\n")
		for _, f := range g.flags {
			p.flag(f)
		}
	}
}

type group struct {
	heading string
	flags   []cli.DocGenerationFlag
}

// groups has every flag once, the common ones first.
func groups(flags []cli.Flag, common []string) []group {
	list := []group{{heading: "Common"}}
	rank := func(f cli.Flag) int { return slices.Index(common, f.Names()[0]) }
	for _, f := range flags {
		heading := cmp.Or(f.(cli.CategorizableFlag).GetCategory(), "More of this command")
		if rank(f) >= 0 {
			heading = "Common"
		}
		i := slices.IndexFunc(list, func(g group) bool { return g.heading == heading })
		if i < 0 {
			i, list = len(list), append(list, group{heading: heading})
		}
		list[i].flags = append(list[i].flags, f.(cli.DocGenerationFlag))
	}
	slices.SortStableFunc(list[0].flags, func(a, b cli.DocGenerationFlag) int { return rank(a) - rank(b) })
	return slices.DeleteFunc(list, func(g group) bool { return len(g.flags) == 0 })
}

func (p *printer) flag(f cli.DocGenerationFlag) {
	var names []string
	for _, name := range f.Names() {
		names = append(names, strings.Repeat("-", min(2, len(name)))+name)
	}
	value, usage := placeholder(f)
	head := flagIndent + strings.TrimRight(strings.Join(names, ", ")+" "+value, " ")
	indent := strings.Repeat(" ", usageColumn)
	if len(head) > usageColumn-2 {
		p.WriteString(head + "\n")
		head = ""
	}
	if text := strings.Trim(f.GetDefaultText(), `"`); f.TakesValue() && text != "" {
		usage += " (default: " + text + ")"
	}
	p.wrap(fmt.Sprintf("%-*s", usageColumn, head), indent, usage)
}

// aside is the name of a value that a usage gives by the way, as in "width, `M`, 1 to 5".
var aside = regexp.MustCompile("`(?:WORD|FORMAT)` |, `[^`]+`([,;:)]|$)")

// placeholder is what the usage of a flag calls its value, between backquotes, and the usage
// for the column beside it: without them, and without the name where it is an aside.
func placeholder(f cli.DocGenerationFlag) (value, usage string) {
	usage = f.GetUsage()
	if _, after, ok := strings.Cut(usage, "`"); ok {
		value, _, _ = strings.Cut(after, "`")
	}
	return value, strings.ReplaceAll(aside.ReplaceAllString(usage, "$1"), "`", "")
}

// text prints paragraphs anew; lines that are indented stay lines. What stands behind two
// spaces in them is a column, and a command goes on behind a backslash.
func (p *printer) text(text string) {
	var paragraph []string
	end := func() {
		if len(paragraph) > 0 {
			p.wrap("", "", strings.Join(paragraph, " "))
		}
		paragraph = nil
	}
	for line := range strings.SplitSeq(strings.TrimSpace(text), "\n") {
		body := strings.TrimLeft(line, " ")
		indent := line[:len(line)-len(body)]
		column := strings.LastIndex(body, "  ") + len("  ")
		switch {
		case body == "":
			end()
			p.WriteByte('\n')
		case indent == "":
			paragraph = append(paragraph, line)
		case strings.HasPrefix(body, "polereach "):
			end()
			p.shell(indent, body)
		default:
			end()
			head := indent
			if column > 1 {
				head += body[:column]
			}
			p.wrap(head, strings.Repeat(" ", len(head)), strings.TrimPrefix(line, head))
		}
	}
	end()
}

// shell prints a command so that a shell takes it, be it on several lines.
func (p *printer) shell(indent, command string) {
	line, open := indent, false
	for i, word := range strings.Fields(command) {
		if i > 0 && !open && utf8.RuneCountInString(line)+1+len(word)+2 > p.width {
			p.WriteString(line + " \\\n")
			line = indent + flagIndent
		} else if i > 0 {
			line += " "
		}
		line += word
		open = open != (strings.Count(word, `"`)%2 == 1)
	}
	p.WriteString(line + "\n")
}

// wrap prints text behind head, further lines behind indent.
func (p *printer) wrap(head, indent, text string) {
	line, begun := head, false
	for _, word := range strings.Fields(text) {
		if begun && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > p.width {
			p.WriteString(line + "\n")
			line, begun = indent, false
		}
		if begun {
			line += " "
		}
		line, begun = line+word, true
	}
	p.WriteString(strings.TrimRight(line, " ") + "\n")
}
