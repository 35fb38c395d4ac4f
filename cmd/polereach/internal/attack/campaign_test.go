// Package attack hands the built program what a stranger might: damaged rasters, odd
// files, kills, full disks, signals. It is run by .ci/attack and holds tests only.
package attack

import (
	"context"
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"os"
	"os/signal"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

// Bounds that no run of the program may exceed.
const (
	mostTime = 20 * time.Second
	mostKiB  = 1 << 20
)

// campaign is what all kinds of attack share.
type campaign struct {
	ctx         context.Context
	seed        uint64
	total       time.Duration
	plain, gdal string // the program; gdal is empty where the machine has no GDAL
	repo        string
	work, finds string
	onlyKind    string // repeat one case
	onlyCase    uint64
	network     *counter

	mu     sync.Mutex
	rows   []*row
	faults int
}

// TestAttack runs for POLEREACH_ATTACK_MINUTES. A find is repeated with the seed printed
// and POLEREACH_ATTACK_ONLY=KIND:CASE.
func TestAttack(t *testing.T) {
	minutes, err := strconv.ParseFloat(os.Getenv("POLEREACH_ATTACK_MINUTES"), 64)
	if err != nil || !(minutes > 0) {
		t.Skip("POLEREACH_ATTACK_MINUTES is not set: .ci/attack sets it")
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	c := &campaign{
		ctx: ctx, seed: uint64(time.Now().UnixNano()) % 1e9, total: time.Duration(minutes * float64(time.Minute)),
		plain: os.Getenv("POLEREACH_ATTACK_PLAIN"), gdal: os.Getenv("POLEREACH_ATTACK_GDAL"), work: t.TempDir(),
		finds: os.Getenv("POLEREACH_ATTACK_FINDS"),
	}
	if text := os.Getenv("POLEREACH_ATTACK_SEED"); text != "" {
		if c.seed, err = strconv.ParseUint(text, 10, 64); err != nil {
			t.Fatal(err)
		}
	}
	if text := os.Getenv("POLEREACH_ATTACK_ONLY"); text != "" {
		kind, number, _ := strings.Cut(text, ":")
		if c.onlyKind = kind; number != "" {
			if c.onlyCase, err = strconv.ParseUint(number, 10, 64); err != nil {
				t.Fatal(err)
			}
		}
	}
	if c.repo, err = filepath.Abs("../../../.."); err != nil {
		t.Fatal(err)
	}
	if c.finds == "" {
		c.finds = filepath.Join(os.TempDir(), fmt.Sprintf("polereach-attack-%d", c.seed))
	}
	fmt.Printf("attack: seed %d, %v, finds go to %s\n", c.seed, c.total, c.finds)
	c.network = listen(t)
	c.countsRequests(t)

	began := time.Now()
	c.rasters(t, 0.21)
	c.odd(t, 0.06)
	c.kills(t, 0.16)
	c.signals(t, 0.04)
	c.disks(t, 0.03)
	c.fuzz(t, 0.50)
	c.asked()
	c.table(time.Since(began))
	if ctx.Err() != nil {
		t.Error("interrupted: the campaign is not complete")
	}
	if c.faults > 0 {
		t.Errorf("%d faults; what led to them is in %s", c.faults, c.finds)
	}
}

// each runs one kind of attack on all processors until its share of the time is over.
// Every case has random numbers of its own, so that it can be repeated alone.
func (c *campaign) each(kind string, share float64, one func(*try)) {
	r := c.row(kind)
	run := func(number uint64) {
		h := fnv.New64a()
		h.Write([]byte(kind))
		dir := filepath.Join(c.work, fmt.Sprintf("%s-%d", kind, number))
		if err := os.MkdirAll(dir, 0o755); err != nil {
			panic(err) // the campaign's own folder: nothing can be tried without it
		}
		defer os.RemoveAll(dir)
		one(&try{c: c, row: r, kind: kind, number: number, dir: dir,
			rng: rand.New(rand.NewPCG(c.seed, h.Sum64()^number))})
	}
	if c.onlyKind != "" {
		if c.onlyKind == kind {
			run(c.onlyCase)
		}
		return
	}
	until := time.Now().Add(time.Duration(share * float64(c.total)))
	var next atomic.Uint64
	var all sync.WaitGroup
	for range runtime.NumCPU() {
		all.Go(func() {
			for c.ctx.Err() == nil && time.Now().Before(until) {
				run(next.Add(1) - 1)
			}
		})
	}
	all.Wait()
}

// try is one case.
type try struct {
	c      *campaign
	row    *row
	kind   string
	number uint64
	dir    string
	rng    *rand.Rand
	last   []string // the last command
}

// fault notes what must not be and keeps what led to it.
func (t *try) fault(format string, args ...any) {
	if t.c.ctx.Err() != nil {
		return // our own doing
	}
	what := fmt.Sprintf(format, args...)
	keep := filepath.Join(t.c.finds, fmt.Sprintf("%s-%d", t.kind, t.number))
	t.c.mu.Lock()
	defer t.c.mu.Unlock()
	t.row.faults++
	t.c.faults++
	fmt.Printf("FAULT %s:%d: %s\n  %s\n  kept in %s\n", t.kind, t.number, what, strings.Join(t.last, " "), keep)
	if t.c.faults > 200 {
		return // enough is kept
	}
	os.RemoveAll(keep)
	text := fmt.Sprintf("seed %d\n%s\ncd %s; %s\n", t.c.seed, what, t.dir, strings.Join(t.last, " "))
	err := os.MkdirAll(keep, 0o755)
	if err == nil {
		err = copyRegular(keep, t.dir)
	}
	if err == nil {
		err = os.WriteFile(filepath.Join(keep, "fault.txt"), []byte(text), 0o644)
	}
	if err != nil {
		fmt.Println("  not kept whole:", err)
	}
}

// copyRegular copies the regular files of a tree, a file of more than 256 MiB as an empty one
// of its size.
func copyRegular(to, from string) error {
	return filepath.WalkDir(from, func(path string, e os.DirEntry, err error) error {
		if err != nil || !e.Type().IsRegular() {
			return err
		}
		info, err := e.Info()
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(from, path)
		if err != nil {
			return err
		}
		if err := os.MkdirAll(filepath.Dir(filepath.Join(to, rel)), 0o755); err != nil {
			return err
		}
		if info.Size() > 256<<20 {
			if err := os.WriteFile(filepath.Join(to, rel), nil, 0o644); err != nil {
				return err
			}
			return os.Truncate(filepath.Join(to, rel), info.Size())
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(to, rel), data, 0o644)
	})
}

// put writes a file of the case.
func (t *try) put(name string, data []byte) string {
	path := filepath.Join(t.dir, name)
	if err := os.WriteFile(path, data, 0o644); err != nil {
		panic(err)
	}
	return path
}

// copyOf puts a copy of a file into the folder of the case.
func (t *try) copyOf(path string) string {
	data, err := os.ReadFile(path)
	if err != nil {
		panic(err)
	}
	return t.put(filepath.Base(path), data)
}
