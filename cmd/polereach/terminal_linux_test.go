package main

import (
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"

	"golang.org/x/sys/unix"
)

// The program on a terminal of 64 columns: help keeps to them, and an answer ends with its verdict.
func TestOnARealTerminal(t *testing.T) {
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ args, last string }{
		{"link --help", "   --help, -h                 show help"},
		{"site --pole Westledge " + demoPlan, "Westledge: REACHES"},
	} {
		master, terminal := terminalOf(t, 64)
		cmd := exec.Command(self, strings.Fields(c.args)...)
		cmd.Env = append(os.Environ(), asProgram+"=1")
		cmd.Stdout, cmd.Stderr = terminal, os.Stderr
		done := make(chan string)
		go func() {
			var text []byte
			buf := make([]byte, 4096)
			for {
				n, err := master.Read(buf)
				text = append(text, buf[:n]...)
				if err != nil { // EIO, once nobody has it open
					done <- strings.ReplaceAll(string(text), "\r\n", "\n")
					return
				}
			}
		}()
		_ = cmd.Run() // its exit is the answer's
		terminal.Close()
		text := <-done
		master.Close()
		lines := strings.Split(strings.TrimRight(text, "\n"), "\n")
		if !strings.HasPrefix(lines[len(lines)-1], c.last) {
			t.Errorf("%s ends with %q", c.args, lines[len(lines)-1])
		}
		for _, line := range lines {
			if strings.Contains(c.args, "--help") && len(line) > 64 {
				t.Errorf("%d columns: %q", len(line), line)
			}
		}
	}
}

func terminalOf(t *testing.T, columns uint16) (master, terminal *os.File) {
	t.Helper()
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Skip("no terminals here:", err)
	}
	fd := int(master.Fd())
	n, err := unix.IoctlGetInt(fd, unix.TIOCGPTN)
	if err == nil {
		err = unix.IoctlSetPointerInt(fd, unix.TIOCSPTLCK, 0)
	}
	if err == nil {
		terminal, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", n), os.O_RDWR|unix.O_NOCTTY, 0)
	}
	if err != nil {
		t.Skip("no terminals here:", err)
	}
	if err := unix.IoctlSetWinsize(int(terminal.Fd()), unix.TIOCSWINSZ, &unix.Winsize{Row: 24, Col: columns}); err != nil {
		t.Fatal(err)
	}
	return master, terminal
}
