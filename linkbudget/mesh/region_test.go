package mesh_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// fichtel opens the two tiles of 3" around the Fichtelgebirge.
func fichtel(t testing.TB) terrain.DEM {
	t.Helper()
	folder := os.Getenv("POLEREACH_DEM_DIR")
	if folder == "" {
		t.Skip("set POLEREACH_DEM_DIR to the folder of terrain files that holds srtm3/N49E011 and N50E011")
	}
	var sources []terrain.Source
	for _, name := range []string{"N49E011.hgt.zip", "N50E011.hgt.zip"} {
		found, err := terrain.OpenSources(os.DirFS(filepath.Join(folder, "srtm3")), name)
		if err != nil {
			t.Fatal(err)
		}
		sources = append(sources, found...)
	}
	dem, err := terrain.NewTiles(sources, terrain.TilesOptions{CacheBytes: 160 << 20})
	if err != nil {
		t.Fatal(err)
	}
	return dem
}

// region is poles at random places of a rectangle, in an order that has nothing
// to do with the ground.
func region(n int, in orb.Bound) *plan.Plan {
	r := rand.New(rand.NewPCG(2000, 15))
	p := &plan.Plan{Source: "region"}
	for i := range n {
		at := orb.Point{in.Min[0] + r.Float64()*(in.Max[0]-in.Min[0]), in.Min[1] + r.Float64()*(in.Max[1]-in.Min[1])}
		p.Stations = append(p.Stations, plan.Station{Name: fmt.Sprintf("pole %d", i), At: at,
			Status: plan.Status(i % 10 / 9)})
	}
	return p
}

var twoTiles = orb.Bound{Min: orb.Point{11.001, 49.001}, Max: orb.Point{11.999, 50.999}}

func regionOptions(rangeM float64) mesh.Options {
	return mesh.Options{
		SiteOptions: mesh.SiteOptions{Settings: settings(), RangeM: rangeM, PacketsPerHour: 4},
		Gateways:    []string{"pole 0", "pole 7"},
	}
}

// BenchmarkRegion is 2000 poles with all pairs within 15 km, on one core. Read
// ns/pair against BenchmarkLink of package linkbudget for as many points.
func BenchmarkRegion(b *testing.B) {
	dem, p, opt := fichtel(b), region(2000, twoTiles), regionOptions(15e3)
	opt.Workers = 1
	b.ReportAllocs()
	var m *mesh.Mesh
	for b.Loop() {
		var err error
		if m, err = mesh.Check(context.Background(), p, dem, opt); err != nil {
			b.Fatal(err)
		}
	}
	pairs := float64(len(m.Pairs))
	b.ReportMetric(pairs, "pairs")
	b.ReportMetric(m.Cost.ProfilePoints/pairs, "points/pair")
	b.ReportMetric(b.Elapsed().Seconds()/float64(b.N)/pairs*1e9, "ns/pair")
}

// The whole region in a process of its own stays within 512 MiB. Its rate is
// told, not judged: no test may fail because a machine is slow.
func TestRegionMemory(t *testing.T) {
	if testing.Short() {
		t.Skip("memory and CPU of a region of 2000 poles")
	}
	dem := fichtel(t)
	if status, _ := os.ReadFile("/proc/self/status"); !strings.Contains(string(status), "VmHWM:") {
		t.Skip("no peak memory in /proc/self/status on this system: run it on Linux")
	}
	if os.Getenv("POLEREACH_TEST_REGION") == "" {
		child := exec.Command(os.Args[0], "-test.run", "^TestRegionMemory$", "-test.v")
		child.Env = append(os.Environ(), "POLEREACH_TEST_REGION=1")
		out, err := child.CombinedOutput()
		if err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		found := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindSubmatch(out)
		if found == nil {
			t.Fatalf("the child did not tell its peak memory:\n%s", out)
		}
		kb, _ := strconv.Atoi(string(found[1]))
		t.Logf("%s", regexp.MustCompile(`region: .*`).Find(out))
		if !(kb > 0 && kb < 512<<10) {
			t.Errorf("peak memory %d MiB, allowed below 512", kb>>10)
		}
		return
	}
	p, opt := region(2000, twoTiles), regionOptions(15e3)
	opt.Workers = 1
	begin := cpuSeconds(t)
	m, err := mesh.Check(context.Background(), p, dem, opt)
	if err != nil {
		t.Fatal(err)
	}
	elapsed := cpuSeconds(t) - begin
	if n := len(m.Pairs); n < 50_000 || int64(n) != m.Cost.Pairs {
		t.Errorf("%d pairs examined, %d announced", n, m.Cost.Pairs)
	}
	status, _ := os.ReadFile("/proc/self/status")
	peak := regexp.MustCompile(`VmHWM:.*`).FindString(string(status))
	fmt.Printf("region: %d pairs, %.0f points, %.2f s of CPU, %.0f pairs per second of one core, %d parts, %d bridges, "+
		"%s\n",
		len(m.Pairs), m.Cost.ProfilePoints, elapsed, float64(len(m.Pairs))/elapsed, len(m.Components), len(m.Bridges),
		strings.Join(strings.Fields(peak), " "))
	fmt.Println(peak)
}

// cpuSeconds is what this process has used of all cores: user and system time,
// fields 14 and 15 of proc_pid_stat(5), in hundredths of a second.
func cpuSeconds(t *testing.T) float64 {
	t.Helper()
	text, err := os.ReadFile("/proc/self/stat")
	if err != nil {
		t.Fatal(err)
	}
	fields := strings.Fields(string(text[strings.LastIndexByte(string(text), ')')+1:]))
	user, err1 := strconv.ParseFloat(fields[11], 64)
	system, err2 := strconv.ParseFloat(fields[12], 64)
	if err := errors.Join(err1, err2); err != nil {
		t.Fatal(err)
	}
	return (user + system) / 100
}
