package main

import (
	"bytes"
	"context"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/urfave/cli/v2"
)

// screen is a terminal of so many columns.
type screen struct {
	bytes.Buffer
	columns int
}

func (s *screen) Columns() int { return s.columns }

func onScreen(t *testing.T, columns int, args ...string) result {
	t.Helper()
	out, errOut := screen{columns: columns}, bytes.Buffer{}
	code := run(context.Background(), append([]string{"polereach"}, args...), &out, &errOut)
	return result{code, out.String(), errOut.String()}
}

// everyCommand is each command with its words, subcommands included.
func everyCommand() map[string]*cli.Command {
	all := map[string]*cli.Command{}
	for _, c := range newApp(nil, nil).Commands {
		all[c.Name] = c
		for _, sub := range c.Subcommands {
			all[c.Name+" "+sub.Name] = sub
		}
	}
	return all
}

func TestHelpFitsAndIsWhole(t *testing.T) {
	for name, cmd := range everyCommand() {
		args := append(strings.Fields(name), "--help")
		for columns, limit := range map[int]int{0: 80, 60: 60, 40: 60, 72: 72, 200: 80} {
			r := onScreen(t, columns, args...)
			if r.code != exitHolds || !strings.HasSuffix(r.out, "\n") || strings.HasSuffix(r.out, "\n\n") {
				t.Errorf("%s: exit %d, ends in %q", name, r.code, r.out[max(0, len(r.out)-10):])
			}
			for line := range strings.SplitSeq(r.out, "\n") {
				if n := utf8.RuneCountInString(line); n > limit || strings.HasSuffix(line, " ") {
					t.Errorf("%s in %d columns: %d in %q", name, columns, n, line)
				}
			}
			heads := regexp.MustCompile(`(?m)^   (-[^ ,]+)`).FindAllStringSubmatch(r.out, -1)
			var listed []string
			for _, m := range heads {
				listed = append(listed, strings.TrimLeft(m[1], "-"))
			}
			var want []string
			for _, f := range cmd.Flags {
				want = append(want, f.Names()[0])
			}
			want = append(want, "help")
			slices.Sort(listed)
			slices.Sort(want)
			if !slices.Equal(listed, want) {
				t.Errorf("%s lists %v, want %v", name, listed, want)
			}
		}
	}
	r := onScreen(t, 60, "--help")
	for name, cmd := range everyCommand() {
		if !strings.Contains(name, " ") && !cmd.Hidden && !strings.Contains(r.out, "\n   "+name+" ") {
			t.Errorf("help does not list %s", name)
		}
	}
	for line := range strings.SplitSeq(r.out, "\n") {
		if utf8.RuneCountInString(line) > 60 {
			t.Errorf("%q", line)
		}
	}
}

// The same flag has the same default and takes the same kind of value wherever it is.
func TestSameDefaults(t *testing.T) {
	type meaning struct{ kind, value, of string }
	first := map[string]meaning{}
	for name, cmd := range everyCommand() {
		for _, f := range cmd.Flags {
			doc := f.(cli.DocGenerationFlag)
			flag := f.Names()[0]
			now := meaning{regexp.MustCompile(`\w+$`).FindString(typeName(f)), doc.GetDefaultText(), name}
			if flag == "height-m" && name == "begin" || flag == "from" || flag == "cover" && name == "dem get" {
				continue // begin writes the height that all others then take; origins differ in kind; get fetches covers
			}
			now.kind = strings.Replace(now.kind, "Slice", "", 1)
			if was, known := first[flag]; known && (was.kind != now.kind || was.value != now.value) {
				t.Errorf("--%s: %+v and %+v", flag, was, now)
			} else if !known {
				first[flag] = now
			}
		}
	}
}

func typeName(f cli.Flag) string { return fmt.Sprintf("%T", f) }

// "help COMMAND" is what other programs have for "COMMAND --help".
func TestHelpAsAWord(t *testing.T) {
	for _, name := range []string{"", "plan", "dem get"} {
		words := strings.Fields(name)
		r, want := polereach(t, append([]string{"help"}, words...)...), polereach(t, append(words, "--help")...)
		if r != want || r.code != exitHolds || r.out == "" {
			t.Errorf("help %s: exit %d, %s%s", name, r.code, r.out, r.err)
		}
	}
	if r, want := polereach(t, "-v"), polereach(t, "--version"); r != want || r.code != exitHolds {
		t.Errorf("-v: exit %d, %s%s", r.code, r.out, r.err)
	}
}
