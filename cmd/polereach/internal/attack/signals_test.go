package attack

import (
	"os"
	"strings"
	"syscall"
	"testing"
	"time"
)

// mostPatience is how long a run may go on after a signal.
const mostPatience = 5 * time.Second

// signals interrupts runs at every stage. A run that is told to stop leaves nothing
// half-written and nothing lying about, and says so.
func (c *campaign) signals(_ *testing.T, share float64) {
	list := c.writings()
	c.each("signals", share, func(t *try) {
		w := t.pick(list)
		if w == nil {
			return
		}
		t.fill(w)
		sent := []syscall.Signal{syscall.SIGINT, syscall.SIGTERM}[t.rng.IntN(2)]
		var at time.Time
		o := t.run(w.program, func(p *os.Process) {
			t.moment(w)
			at = time.Now()
			_ = p.Signal(sent)
		}, w.args[1]...)
		if c.ctx.Err() != nil {
			return
		}
		t.judge(o, sent)
		if late := time.Since(at); late > mostPatience {
			t.fault("%s: it goes on for %v after %v", w.name, late, sent)
		}
		state := t.wholeOrOld(w, t.dir, true)
		_, others := w.state(t.dir)
		if len(others) > 0 && o.signal == 0 {
			t.fault("%s: stopped by %v it leaves %q", w.name, sent, others)
		}
		written := 0
		for _, whose := range state {
			if whose == 1 {
				written++
			}
		}
		told := strings.Contains(o.err.String(), "interrupted")
		switch {
		case o.code == 1 && told && written > 0 && strings.Contains(o.err.String(), "nothing written"):
			t.fault("%s: it says that nothing is written, of %d files", w.name, written)
		case o.code == 1 && !told:
			t.fault("%s: stopped by %v it gives another reason: %s", w.name, sent, o.err.String())
		case o.code == 1 || o.signal == sent:
			t.count(1, 1, 0, 0)
		default: // it was done before
			t.count(1, 0, 1, 0)
		}
	})
}
