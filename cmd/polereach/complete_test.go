package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

func TestCandidates(t *testing.T) {
	for _, c := range []struct {
		words []string
		want  string
	}{
		{[]string{"si"}, "site"},
		{[]string{"co"}, "coverage completion"},
		{[]string{"--v"}, "--version"},
		{[]string{"sun", "g"}, "get"},
		{[]string{"sun", "get", "--w"}, "--what"},
		{[]string{"link", "1,2", "1,3", "--height-"}, "--height-a-m --height-b-m --height-m"},
		{[]string{"link", "-"}, ""}, // all, below
		{[]string{"link", "--band", "us"}, "us915"},
		{[]string{"site", demoPlan, "--pole", "Sor"}, "Sorrel Ridge"},
		{[]string{"site", demoPlan, "--pole", `"Sorrel R`}, "Sorrel Ridge"},
		{[]string{"site", demoPlan, "--pole", `Tanager\ K`}, "Tanager Knob"},
		{[]string{"site", "nowhere.geojson", "--pole", ""}, "none"},
		{[]string{"site", "examples/"}, "none"}, // files are the shell's
		{[]string{"site", "--out", "--p"}, "none"},
		{[]string{"nothing", "-"}, "--help --version"},
	} {
		r := polereach(t, append([]string{"complete", "--"}, c.words...)...)
		got := strings.Split(strings.TrimSpace(r.out), "\n")
		want := []string{""}
		switch {
		case c.words[0] == "link" && len(c.words) == 2:
			want = nil
			for _, f := range everyCommand()["link"].Flags {
				want = append(want, strings.Repeat("-", min(2, len(f.Names()[0])))+f.Names()[0])
			}
			want = append(want, "--help")
		case strings.Contains(c.want, " ") && !strings.HasPrefix(c.want, "-") && c.words[0] == "site":
			want = []string{c.want}
		case c.want != "none":
			want = strings.Fields(c.want)
		}
		slices.Sort(got)
		slices.Sort(want)
		if r.code != exitHolds || r.err != "" || !slices.Equal(got, want) {
			t.Errorf("%q: exit %d %s, %q, want %q", c.words, r.code, r.err, got, want)
		}
	}
}

// bash sources the script and asks the program; a name with a blank comes back quoted.
func TestBashCompletes(t *testing.T) {
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("no bash here")
	}
	dir := t.TempDir()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	script := polereach(t, "completion", "bash").out
	program := filepath.Join(dir, "polereach")
	text := "#!/bin/sh\n" + asProgram + "=1 exec " + self + " \"$@\"\n"
	if err := os.WriteFile(program, []byte(text), 0o755); err != nil {
		t.Fatal(err)
	}
	for want, words := range map[string]string{
		"--gateway\n":          "polereach plan --gate",
		"Sorrel\\ Ridge\n":     "polereach site " + demoPlan + " --pole Sor",
		"coverage completion ": "polereach co",
	} {
		line := script + "\nCOMP_WORDS=(" + words + ")\nCOMP_WORDS[0]=" + program +
			"\nCOMP_CWORD=$((${#COMP_WORDS[@]} - 1))\n_polereach\nprintf '%s\\n' \"${COMPREPLY[@]}\"\n"
		var errOut bytes.Buffer
		cmd := exec.Command(bash, "--norc", "-c", line)
		cmd.Stderr = &errOut
		out, err := cmd.Output()
		if strings.HasSuffix(want, " ") {
			out = []byte(strings.ReplaceAll(string(out), "\n", " "))
		}
		if err != nil || string(out) != want || errOut.Len() > 0 {
			t.Errorf("%s: %v, %q, want %q; %s", words, err, out, want, errOut.String())
		}
	}
}

func TestCompletionAndManual(t *testing.T) {
	for shell, word := range map[string]string{"bash": "complete -o default -F", "zsh": "compdef",
		"fish": "complete -c polereach"} {
		if r := polereach(t, "completion", shell); r.code != exitHolds || !strings.Contains(r.out, word) ||
			!strings.Contains(r.out, "complete -- ") {
			t.Errorf("%s: exit %d, %s", shell, r.code, r.out)
		}
	}
	for _, args := range [][]string{{"completion"}, {"completion", "csh"}, {"completion", "bash", "zsh"}} {
		refused(t, polereach(t, args...), "want one of bash, zsh, fish")
	}
	page := polereach(t, "man").out
	for name, cmd := range everyCommand() {
		for _, f := range cmd.Flags {
			if !cmd.Hidden && !strings.Contains(page, "-"+f.Names()[0]) {
				t.Errorf("the manual lacks --%s of %s", f.Names()[0], name)
			}
		}
	}
}

func TestVersion(t *testing.T) {
	r := polereach(t, "--version")
	if r.code != exitHolds || !regexp.MustCompile(`^polereach \S+, .*go1\.\S+, with(out)? GDAL\n$`).MatchString(r.out) {
		t.Errorf("exit %d: %q %s", r.code, r.out, r.err)
	}
}
