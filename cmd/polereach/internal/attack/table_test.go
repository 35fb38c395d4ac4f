package attack

import (
	"fmt"
	"net"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"
)

// row counts one kind of attack. What was tried was refused, read, or read with other
// figures where the format has nothing to tell the damage by.
type row struct {
	kind                            string
	tried, refused, read, otherwise int64
	faults                          int
	kib                             int64
	slowest                         time.Duration
	note, slowestCase, largestCase  string
}

func (c *campaign) row(kind string) *row {
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, r := range c.rows {
		if r.kind == kind {
			return r
		}
	}
	r := &row{kind: kind}
	c.rows = append(c.rows, r)
	return r
}

// ran notes the time and memory of a run.
func (r *row) ran(o *outcome, t *try) {
	if o.took > r.slowest {
		r.slowest, r.slowestCase = o.took, fmt.Sprint(t.number)
	}
	if o.kib > r.kib {
		r.kib, r.largestCase = o.kib, fmt.Sprint(t.number)
	}
}

// count notes how a case ended.
func (t *try) count(tried, refused, read, otherwise int64) {
	t.c.mu.Lock()
	defer t.c.mu.Unlock()
	t.row.tried += tried
	t.row.refused += refused
	t.row.read += read
	t.row.otherwise += otherwise
}

// table prints what the campaign came to.
func (c *campaign) table(took time.Duration) {
	fmt.Printf("\nseed %d, %v\n%-22s %10s %9s %9s %10s %7s %9s %9s\n", c.seed, took.Round(time.Second),
		"kind", "tried", "refused", "read", "otherwise", "faults", "peak MiB", "slowest s")
	for _, r := range c.rows {
		fmt.Printf("%-22s %10d %9d %9d %10d %7d %9d %9.2f  %s\n", r.kind, r.tried, r.refused, r.read, r.otherwise,
			r.faults, r.kib>>10, r.slowest.Seconds(), r.note)
	}
	fmt.Println("otherwise: read with other figures, where the format has nothing to tell that damage by")
}

// counter is a server that answers nothing and counts who asks.
type counter struct {
	address string
	asked   atomic.Int64
}

func listen(t *testing.T) *counter {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	n := &counter{address: l.Addr().String()}
	go func() {
		for {
			conn, err := l.Accept()
			if err != nil {
				return
			}
			n.asked.Add(1)
			conn.Close()
		}
	}()
	return n
}

// env leads every request through the counter.
func (n *counter) env() []string {
	var env []string
	for _, name := range []string{"http_proxy", "https_proxy", "all_proxy", "HTTP_PROXY", "HTTPS_PROXY", "ALL_PROXY"} {
		env = append(env, name+"=http://"+n.address)
	}
	return append(env, "no_proxy=", "NO_PROXY=")
}

// countsRequests shows that the counter counts: the one command that may ask does.
func (c *campaign) countsRequests(t *testing.T) {
	dir := filepath.Join(c.work, "request")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	one := &try{c: c, row: c.row("network"), kind: "network", dir: dir}
	o := one.run(c.plain, nil, "sun", "get", "--timeout-s", "5", one.copyOf(c.demo("plan.geojson")))
	if c.network.asked.Load() == 0 || o.code != 1 {
		t.Fatalf("the counter of requests does not see sun get: exit %d, %s", o.code, o.err.String())
	}
	c.network.asked.Store(0)
}

// asked makes a fault of every request.
func (c *campaign) asked() {
	n := c.network.asked.Load()
	one := &try{c: c, row: c.row("network"), kind: "network", dir: filepath.Join(c.work, "request")}
	one.row.note = "requests seen in all runs, beside the one that shows that they are counted"
	one.row.tried = n
	if n > 0 {
		one.fault("%d requests were made", n)
	}
}

// demo is a file of the example.
func (c *campaign) demo(name string) string {
	return filepath.Join(c.repo, "examples", "cumberland", name)
}
