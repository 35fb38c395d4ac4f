//go:build gdal

package gdal

import (
	"bytes"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"
)

// childJob names the environment variable that makes the test program do one
// job and exit: a crash of GDAL would take a process with it, and memory is
// counted per process.
const childJob = "POLEREACH_GDAL_TEST_JOB"

// jobs are what a child can do; the arguments are on its standard input, one a
// line.
var jobs = map[string]func(lines []string) error{
	"damaged": lookAtDamaged,
	"large":   crossLarge,
}

func TestMain(m *testing.M) {
	if job := os.Getenv(childJob); job != "" {
		var in bytes.Buffer
		_, err := in.ReadFrom(os.Stdin)
		if err == nil {
			err = jobs[job](strings.Split(strings.TrimSpace(in.String()), "\n"))
		}
		if err != nil {
			os.Stdout.WriteString("job failed: " + err.Error() + "\n")
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// inChild runs a job in a process of its own and returns what it wrote and how it
// ended.
func inChild(t *testing.T, job string, limit time.Duration, lines ...string) (out, errOut string, err error) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), childJob+"="+job)
	cmd.Stdin = strings.NewReader(strings.Join(lines, "\n"))
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	hang := time.AfterFunc(limit, func() { cmd.Process.Kill() })
	err = cmd.Wait()
	if !hang.Stop() {
		t.Errorf("the child did not end within %v", limit)
	}
	return stdout.String(), stderr.String(), err
}
