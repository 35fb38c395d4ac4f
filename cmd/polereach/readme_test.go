package main

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/power"
)

// The README shows the program as it is: its command is run and its output compared,
// up to where it is cut, and its Go code is the package's tested Example.
func TestReadmeShowsTheRealThing(t *testing.T) {
	t.Chdir("../..")
	readme, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	const prompt = "$ go run ./cmd/polereach "
	_, block, found := strings.Cut(string(readme), prompt)
	if !found {
		t.Fatalf("no line %q", prompt)
	}
	block, _, _ = strings.Cut(block, "```")
	command, want, _ := strings.Cut(block, "\n")
	want, cut := strings.CutSuffix(want, "...\n")
	if got := polereach(t, shellWords(command)...); !cut || !strings.HasPrefix(got.out, want) || got.code != exitHolds {
		t.Errorf("%s: exit %d, and the README shows something else; paste:\n%s", command, got.code, got.out)
	}

	example, err := os.ReadFile("linkbudget/example_test.go")
	if err != nil {
		t.Fatal(err)
	}
	_, code, _ := strings.Cut(string(readme), "```go\n")
	code, _, _ = strings.Cut(code, "```")
	if code == "" || !strings.Contains(string(example), code) {
		t.Errorf("the Go code of the README is not that of linkbudget/example_test.go:\n%s", code)
	}
}

// The README names every key of a plan.
func TestReadmeNamesEveryKey(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, section, _ := strings.Cut(string(readme), "## The plan file")
	section, _, _ = strings.Cut(section, "\n## ")
	groups := regexp.MustCompile("`([a-z_]+)\\*`").FindAllStringSubmatch(section, -1)
	for _, key := range power.Keys() {
		if !slices.ContainsFunc(groups, func(g []string) bool { return strings.HasPrefix(key.Name, g[1]) }) {
			t.Errorf("%s of the sun is in no group", key.Name)
		}
	}
	for _, key := range plan.Keys() {
		if !strings.Contains(section, "`"+key.Name+"`") {
			t.Errorf("%s of a %s is missing", key.Name, key.Feature)
		}
	}
}
