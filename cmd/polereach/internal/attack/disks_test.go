package attack

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// onSmallDisk runs a command on a file system of its own, in a name space of its own
// that goes with it, and copies what it leaves.
const onSmallDisk = `set -e
mkdir -p disk
mount -t tmpfs -o size="$1" none disk
cp -a old/. disk/
[ "$2" = rw ] || mount -o remount,ro disk
shift 2
cd disk
code=0
"$@" >../stdout || code=$?
cd ..
mkdir after
cp -a disk/. after/
exit $code
`

// disks has outputs written where there is no room, or no right to write.
func (c *campaign) disks(_ *testing.T, share float64) {
	if err := exec.Command("unshare", "-rm", "sh", "-c", "mount -t tmpfs -o size=64k none /mnt").Run(); err != nil {
		r := c.row("full, read-only disks")
		r.note = fmt.Sprintf("NOT TRIED: unshare -rm cannot mount here (%v)", err)
		fmt.Println("attack: full and read-only disks are not tried:", r.note)
		return
	}
	list := c.writings()
	c.each("full, read-only disks", share, func(t *try) {
		w := t.pick(list)
		if w == nil {
			return
		}
		if t.rng.IntN(8) == 0 {
			t.fullDevice(w)
			return
		}
		old := filepath.Join(t.dir, "old")
		if err := os.MkdirAll(old, 0o755); err != nil {
			panic(err)
		}
		size := 4096 // the folder
		for _, name := range w.files {
			t.put(filepath.Join("old", name), w.want[0][name])
			size += (len(w.want[0][name]) + 4095) &^ 4095
		}
		room, mode := t.rng.IntN(size+8192), "rw" // none, some of the new files, or all
		if t.rng.IntN(4) == 0 {
			mode = "ro"
		}
		args := append([]string{"-rm", "sh", "-c", onSmallDisk, "sh", fmt.Sprint(size + room), mode, w.program}, w.args[1]...)
		o := t.run("unshare", nil, args...)
		if c.ctx.Err() != nil {
			return
		}
		t.judge(o)
		after := filepath.Join(t.dir, "after")
		t.wholeOrOld(w, after, true)
		state, others := w.state(after)
		if len(others) > 0 {
			t.fault("%s: on a full disk it leaves %q", w.name, others)
		}
		for name, whose := range state {
			switch {
			case !o.refused() && (whose == 0 || whose == -1):
				t.fault("%s: exit %d, yet %s is not written", w.name, o.code, name)
			case mode == "ro" && whose != 0 && whose != 2:
				t.fault("%s: %s has changed on a read-only disk", w.name, name)
			}
		}
		if o.refused() {
			t.count(1, 1, 0, 0)
		} else {
			t.count(1, 0, 1, 0)
		}
	})
}

// fullDevice writes to the device that is always full.
func (t *try) fullDevice(w *writing) {
	args := w.args[1]
	at := -1
	for i, a := range args {
		if a == "--out" {
			at = i + 1
		}
	}
	changed := append([]string{}, args...)
	changed[at] = "/dev/full"
	o := t.run(w.program, nil, changed...)
	t.judge(o)
	if o.code != 1 || !strings.Contains(o.err.String(), "no space left") {
		t.fault("%s: exit %d on a full device: %s", w.name, o.code, o.err.String())
	}
	if _, others := w.state(t.dir); len(others) > 0 {
		t.fault("%s: on a full device it leaves %q", w.name, others)
	}
	t.count(1, 1, 0, 0)
}
