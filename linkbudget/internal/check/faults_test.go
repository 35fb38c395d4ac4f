package check_test

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// good is a good value of a type, see newMaker.
func good[T any]() T { return newMaker().good[reflect.TypeFor[T]()]().(T) }

func goodPlanOf(t *testing.T) *plan.Plan {
	p, err := plan.Read("plan.geojson", []byte(goodPlan))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

var (
	ctx     = context.Background()
	here    = orb.Point{10.005, 49.99}
	there   = orb.Point{10.02, 49.985}
	station = linkbudget.DefaultStation("Ash", 5)
)

// askDEM calls everything that takes a DEM, by name.
func askDEM(t *testing.T, dem terrain.DEM, ctx context.Context) map[string]error {
	_, profile := terrain.NewProfile(dem, here, there, terrain.ProfileOptions{})
	_, horizon := terrain.Horizon(ctx, dem, here, 3, terrain.HorizonOptions{StepDeg: 45, MaxM: 2000})
	_, path := mesh.CheckPath(ctx, station, station, here, there, dem, good[mesh.SiteOptions]())
	_, site := mesh.CheckSite(ctx, goodPlanOf(t), plan.Station{At: here}, dem, good[mesh.SiteOptions]())
	_, all := mesh.Check(ctx, goodPlanOf(t), dem, good[mesh.Options]())
	_, sweep := coverage.Sweep(ctx, station, here, dem, good[coverage.Options]())
	_, search := siting.Search(ctx, dem, good[siting.Options]())
	_, survey := power.SurveyPole(ctx, here, 3, dem, good[power.PoleOptions]())
	_, missing := plan.MissingGround(dem, "the pole", here)
	return map[string]error{"NewProfile": profile, "Horizon": horizon, "CheckPath": path, "CheckSite": site, "Check": all,
		"Sweep": sweep, "Search": search, "SurveyPole": survey, "MissingGround": missing}
}

// A server tells its caller's fault from its own: no DEM is the caller's, one that fails,
// or gives what is no number, is not, and the DEM's own error is found in what comes back.
func TestFaultsOfTerrain(t *testing.T) {
	for name, err := range askDEM(t, hilly(), ctx) {
		if err != nil {
			t.Errorf("%s over good ground: %v", name, err)
		}
	}
	for name, err := range askDEM(t, nil, ctx) {
		if !errors.Is(err, fault.ErrInput) || errors.Is(err, terrain.ErrRead) || !strings.Contains(err.Error(), "DEM") {
			t.Errorf("%s without a DEM: %v", name, err)
		}
	}
	for name, err := range askDEM(t, broken{hilly()}, ctx) {
		if !errors.Is(err, terrain.ErrRead) || !errors.Is(err, errBroken) || errors.Is(err, fault.ErrInput) {
			t.Errorf("%s over a DEM that fails: %v", name, err)
		}
	}
	for name, err := range askDEM(t, senseless{hilly()}, ctx) {
		if !errors.Is(err, terrain.ErrRead) {
			t.Errorf("%s over heights that are no numbers: %v", name, err)
		}
	}
}

// Where a context is taken its end is told.
func TestEndOfContext(t *testing.T) {
	ended, cancel := context.WithCancel(ctx)
	cancel()
	for name, err := range askDEM(t, hilly(), ended) {
		takes := name != "NewProfile" && name != "MissingGround" && name != "CheckPath" // whose advice alone is long
		if takes && !errors.Is(err, context.Canceled) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// onlyInWorkers is a DEM that panics after so many calls, those that look up the ground at
// the poles in the caller's own goroutine.
type onlyInWorkers struct {
	*terrain.Grid
	calls chan struct{}
}

func newOnlyInWorkers(calls int) onlyInWorkers {
	d := onlyInWorkers{hilly(), make(chan struct{}, calls)}
	for range calls {
		d.calls <- struct{}{}
	}
	return d
}

func (d onlyInWorkers) Heights(at []orb.Point, heightM []float64, flag []terrain.Flag) error {
	select {
	case <-d.calls:
		return d.Grid.Heights(at, heightM, flag)
	default:
		panic(io.ErrClosedPipe)
	}
}

// A DEM or a progress function that panics in a goroutine of the library does not end the
// process: its value comes back in an error, and nobody waits for ever.
func TestPanicsInWorkers(t *testing.T) {
	progress := func(int, int) { panic(io.ErrClosedPipe) }
	meshes, sweeps := good[mesh.Options](), good[coverage.Options]()
	meshes.Progress, sweeps.Progress = progress, progress
	file := fstest.MapFS{"N49E010.hgt": {Data: make([]byte, 2*1201*1201)}}
	sources, err := terrain.OpenSources(panickingFS{file}, ".")
	if err != nil || len(sources) != 1 {
		t.Fatal(sources, err)
	}
	for name, call := range map[string]func() error{
		"Check, DEM": func() error {
			_, err := mesh.Check(ctx, goodPlanOf(t), newOnlyInWorkers(1), good[mesh.Options]())
			return err
		},
		"CheckSite, DEM": func() error {
			_, err := mesh.CheckSite(ctx, goodPlanOf(t), plan.Station{At: here}, newOnlyInWorkers(2), good[mesh.SiteOptions]())
			return err
		},
		"Sweep, DEM": func() error {
			_, err := coverage.Sweep(ctx, station, here, newOnlyInWorkers(1), good[coverage.Options]())
			return err
		},
		"Search, DEM": func() error {
			_, err := siting.Search(ctx, newOnlyInWorkers(1),
				good[siting.Options]())
			return err
		}, "Check, progress": func() error { _, err := mesh.Check(ctx, goodPlanOf(t), hilly(), meshes); return err },
		"Sweep, progress": func() error { _, err := coverage.Sweep(ctx, station, here, hilly(), sweeps); return err },
		"Load, file":      func() error { _, err := sources[0].Load(); return err },
	} {
		done := make(chan error, 1)
		go func() { done <- call() }()
		select {
		case err := <-done:
			var caught *fault.PanicError
			if !errors.As(err, &caught) || caught.Value != io.ErrClosedPipe || !errors.Is(err, io.ErrClosedPipe) ||
				errors.Is(err, fault.ErrInput) {
				t.Errorf("%s: %v", name, err)
			}
		case <-time.After(time.Minute):
			t.Fatalf("%s: still waiting", name)
		}
	}
}

// panickingFS has files that panic when they are read at an offset.
type panickingFS struct{ fs.FS }

func (p panickingFS) Open(name string) (fs.File, error) {
	f, err := p.FS.Open(name)
	if _, folder := f.(fs.ReadDirFile); folder || err != nil {
		return f, err
	}
	return panickingFile{f}, nil
}

type panickingFile struct{ fs.File }

func (panickingFile) ReadAt([]byte, int64) (int, error) { panic(io.ErrClosedPipe) }
