package attack

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// leastFuzz is the share of time from which fuzzing pays for the building of its targets.
const leastFuzz = 30 * time.Second

var (
	targetLine = regexp.MustCompile(`(?m)^func (Fuzz\w+)\(\w+ \*testing\.F\)`)
	execsLine  = regexp.MustCompile(`execs: (\d+)`)
	findLine   = regexp.MustCompile(`Failing input written to (\S+)`)
)

type target struct{ room, name, tags string }

// targets lists every fuzz target of the tree.
func (c *campaign) targets(t *testing.T) []target {
	var list []target
	err := filepath.WalkDir(c.repo, func(path string, e os.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case e.IsDir() && (strings.HasPrefix(e.Name(), "_") || e.Name() == ".git" || e.Name() == "testdata"):
			return filepath.SkipDir
		case !strings.HasSuffix(path, "_test.go"):
			return nil
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		tags := ""
		if head, _, _ := bytes.Cut(text, []byte("\npackage ")); bytes.Contains(head, []byte("//go:build gdal")) {
			tags = "gdal"
		}
		for _, m := range targetLine.FindAllSubmatch(text, -1) {
			list = append(list, target{filepath.Dir(path), string(m[1]), tags})
		}
		return nil
	})
	if err != nil || len(list) == 0 {
		t.Fatalf("no fuzz targets: %v", err)
	}
	return list
}

// parts are a target's of the time: more for the engine that every answer comes from.
func (f target) parts() time.Duration {
	switch filepath.Base(f.room) {
	case "linkbudget", "coverage":
		return 3
	}
	return 1
}

// fuzz runs every fuzz target for its parts of the share.
func (c *campaign) fuzz(t *testing.T, share float64) {
	list := c.targets(t)
	one := &try{c: c, row: c.row("fuzz executions"), kind: "fuzz executions", dir: filepath.Join(c.work, "fuzz")}
	whole := time.Duration(share * float64(c.total))
	parts := time.Duration(0)
	for _, f := range list {
		parts += f.parts()
	}
	part := whole / parts
	if c.onlyKind != "" || whole < leastFuzz {
		one.row.note = fmt.Sprintf("NOT TRIED: needs a campaign of %v", time.Duration(float64(leastFuzz)/share).Round(time.Second))
		return
	}
	if err := os.MkdirAll(one.dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for i, f := range list {
		if f.tags == "gdal" && c.gdal == "" || c.ctx.Err() != nil {
			continue
		}
		one.number = uint64(i)
		one.fuzzOne(f, f.parts()*part)
	}
	one.row.note = fmt.Sprintf("%d targets, %v and more each; memory and time are not those of the program", len(list), part.Round(time.Second))
}

func (t *try) fuzzOne(f target, part time.Duration) {
	ctx, cancel := context.WithTimeout(t.c.ctx, part+10*time.Minute) // of which most is for building
	defer cancel()
	t.last = []string{"go", "test", "-tags=" + f.tags, "-run=^$", "-fuzz=^" + f.name + "$", "-fuzztime=" + part.String(),
		"-fuzzminimizetime=10x", "."}
	cmd := exec.CommandContext(ctx, t.last[0], t.last[1:]...)
	cmd.Dir, cmd.WaitDelay = f.room, 5*time.Second
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGINT) }
	var out capped
	cmd.Stdout, cmd.Stderr = &out, &out
	err := cmd.Run()
	counts := execsLine.FindAllSubmatch(out.Bytes(), -1)
	var execs int64
	if len(counts) > 0 {
		execs, _ = strconv.ParseInt(string(counts[len(counts)-1][1]), 10, 64)
	}
	t.count(execs, 0, execs, 0)
	fmt.Printf("fuzz: %s in %s: %d executions\n", f.name, strings.TrimPrefix(f.room, t.c.repo+"/"), execs)
	if err == nil || t.c.ctx.Err() != nil {
		return
	}
	if find := findLine.FindSubmatch(out.Bytes()); find != nil {
		path := filepath.Join(f.room, string(find[1]))
		t.copyOf(path)
		os.Remove(path) // the tree stays as it was
	} else if bytes.Contains(out.Bytes(), []byte("context deadline exceeded")) && execs > 0 {
		return // package testing fails so where the time is up in the middle of an input
	}
	t.put("output.txt", out.Bytes())
	t.fault("%s: %v: %s", f.name, err, out.String()[max(0, out.Len()-1500):])
}
