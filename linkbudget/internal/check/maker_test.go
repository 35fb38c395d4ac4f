package check_test

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/linkbudget/region"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/sun"
)

// maker makes arguments: zero, nil, what is not finite, extremes, and good values with
// one or two things in them made bad, so that what stands behind the first checks is
// reached too.
type maker struct {
	*rand.Rand
	good map[reflect.Type]func() any
	kept map[reflect.Type][]reflect.Value // what the library returned without an error
}

var (
	floats = []float64{0, math.Copysign(0, -1), 1, -1, 0.5, 3, 7, 10, 45, 60, 90, -90, 180, 360, 1000, 868.3, 868e6,
		125e3, 6371e3, 1e-9, 1e-300,
		1e12, 1e300, math.MaxFloat64, -math.MaxFloat64, math.SmallestNonzeroFloat64, math.NaN(), math.Inf(1), math.Inf(-1)}
	ints = []int64{0, 1, -1, 2, 3, 4, 7, 8, 12, 100, 255, 1 << 20, math.MaxInt32, math.MinInt32, math.MaxInt64,
		math.MinInt64}
	strs = []string{"", "a", "Ash", "Birch", "eu868", "us915", "reaches", "svg", "\xff", strings.Repeat("x", 300),
		"<&\"\x1b", "omni", "sector", "12"}
	moments = []time.Time{{}, time.Date(2025, 6, 1, 12, 0, 0, 0, time.UTC), time.Date(2025, 6, 3, 0, 0, 0, 0, time.UTC),
		time.Date(-5000, 1, 1, 0, 0, 0, 0, time.UTC), time.Unix(1<<40, 0)}
	// leftAlone hold what is not finite by design: heights of a grid, whose voids are NaN.
	leftAlone = map[reflect.Type]bool{reflect.TypeFor[terrain.Grid](): true, reflect.TypeFor[time.Time](): true}
)

// hilly is a small DEM with a void.
func hilly() *terrain.Grid {
	g := &terrain.Grid{
		Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 50, StepLonDeg: 0.001, StepLatDeg: 0.001, Cols: 31, Rows: 21},
		HeightM: make([]float32, 31*21),
	}
	for i := range g.HeightM {
		g.HeightM[i] = float32(100 + 60*math.Sin(float64(i%31)/4))
	}
	g.HeightM[40] = terrain.VoidHeight()
	return g
}

// broken is a DEM that cannot be read.
type broken struct{ *terrain.Grid }

func (broken) Heights([]orb.Point, []float64, []terrain.Flag) error { return errBroken }

// senseless is a DEM whose known heights are no numbers.
type senseless struct{ *terrain.Grid }

func (senseless) Heights(at []orb.Point, heightM []float64, flag []terrain.Flag) error {
	for i := range at {
		heightM[i], flag[i] = floats[26+i%3], terrain.Ground // NaN and the infinities
	}
	return nil
}

const goodPlan = `{"type":"FeatureCollection","features":[
{"type":"Feature","geometry":{"type":"Point","coordinates":[10.005,49.99]},"properties":{"name":"Ash","height_m":6}},
{"type":"Feature","geometry":{"type":"Point","coordinates":[10.02,49.99]},"properties":{"name":"Birch","height_m":5,"panel_w":3,"cell_mah":3000}},
{"type":"Feature","geometry":{"type":"LineString","coordinates":[[10.005,49.99],[10.02,49.99]]},"properties":{"from":"Ash","to":"Birch","required":true}}]}`

func newMaker() *maker {
	m := &maker{good: map[reflect.Type]func() any{}, kept: map[reflect.Type][]reflect.Value{}}
	add := func(f func() any) { m.good[reflect.TypeOf(f())] = f }
	env := func() linkbudget.Environment {
		return linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}}
	}
	settings := func() plan.Settings {
		return plan.Settings{Environment: env(), Station: linkbudget.DefaultStation("", 5)}
	}
	add(func() any { return linkbudget.DefaultStation("Ash", 5) })
	add(func() any { return env() })
	add(func() any { return settings() })
	add(func() any { return linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1} })
	add(func() any { return linkbudget.DefaultPacket })
	add(func() any { return hilly().Lattice })
	add(func() any { return *hilly() })
	add(func() any {
		p, _ := terrain.NewProfile(hilly(), orb.Point{10.005, 49.99}, orb.Point{10.02, 49.985}, terrain.ProfileOptions{})
		return p
	})
	add(func() any { return orb.Point{10.01, 49.99} })
	add(func() any {
		return terrain.Source{Name: "N49E010.hgt", Lattice: hilly().Lattice,
			Load: func() (*terrain.Grid, error) { return hilly(), nil }}
	})
	add(func() any { return terrain.HorizonOptions{StepDeg: 45, MaxM: 2000} })
	add(func() any {
		return coverage.Options{RadiusM: 1500, Receiver: linkbudget.DefaultStation("you", 2), Environment: env(), Workers: 2}
	})
	add(func() any {
		p, err := plan.Read("plan.geojson", []byte(goodPlan))
		if err != nil {
			panic(err)
		}
		return *p
	})
	add(func() any { return mesh.SiteOptions{Settings: settings(), Band: "eu868", PacketsPerHour: 5} })
	add(func() any { return mesh.Options{SiteOptions: mesh.SiteOptions{Settings: settings()}} })
	add(func() any {
		return region.Options{Settings: settings(), Receiver: linkbudget.DefaultStation("you", 2), RadiusM: 1500, Workers: 2}
	})
	add(func() any {
		return siting.Options{
			Neighbours: []siting.Neighbour{{Station: linkbudget.DefaultStation("Ash", 5), At: orb.Point{10.005, 49.99}}},
			Candidate:  linkbudget.DefaultStation("new", 4), Environment: env(), Top: 2, MostCells: 20, CellM: 300,
			Areas: orb.MultiPolygon{{{{10.01, 49.985}, {10.02, 49.985}, {10.02, 49.995}, {10.01, 49.985}}}},
		}
	})
	add(func() any { return sun.DefaultClimate(50, 100) })
	add(func() any { return sun.Site{At: orb.Point{10.01, 49.99}} })
	add(func() any { return sun.Panel{TiltDeg: 60, AzimuthDeg: 180} })
	add(func() any { return power.WeatherOf(sun.DefaultClimate(50, 100)) })
	add(func() any {
		return power.System{Panels: []power.Panel{power.NewPanel(3, power.Plane{TiltDeg: 60, AzimuthDeg: 180})},
			Bank: power.Bank{Cells: 2, CapacityAh: 3}, Load: power.Load{MeasuredA: 0.025}}
	})
	add(func() any {
		return power.PoleOptions{System: m.good[reflect.TypeFor[power.System]()]().(power.System),
			Weather: func(float64) power.Weather { return power.WeatherOf(sun.DefaultClimate(50, 100)) },
			Horizon: terrain.HorizonOptions{StepDeg: 45, MaxM: 2000}}
	})
	add(func() any { return power.Air{Month: 6, PeakWm2: 800} })
	add(func() any {
		return power.Exposure{Air: []power.Air{{Month: 6, PeakWm2: 800}}, Sun: func(power.Plane) ([]power.DaySun, error) {
			var d power.DaySun
			d[12] = 0.5
			return []power.DaySun{d}, nil
		}}
	})
	add(func() any {
		return diffraction.Sightline{DistM: []float64{0, 1000, 2000}, GroundM: []float64{10, 30, 10}, AHeightM: 20,
			BHeightM: 20, EffectiveRadiusM: 8.5e6, WavelengthM: 0.345}
	})
	return m
}

// sortByTurn puts names in the order in which they are called: makers first.
func sortByTurn(names []string) {
	slices.SortFunc(names, func(a, b string) int {
		turn := func(s string) string {
			if strings.Contains(s, ".") {
				return "b" + s
			}
			return "a" + s
		}
		return strings.Compare(turn(a), turn(b))
	})
}

// arguments of the call of that number: all zero first, then good ones and any mixture by
// turns. A receiver is never nil.
func (m *maker) arguments(c call, number int) []reflect.Value {
	f := c.Type()
	args := make([]reflect.Value, f.NumIn())
	for i := range args {
		t := f.In(i)
		receiver := c.method && i == 0
		if receiver {
			t = t.Elem()
		}
		if number == 0 {
			args[i] = m.least(t)
		} else {
			args[i] = m.value(t, 0, number%3 == 1)
		}
		if receiver {
			p := reflect.New(t)
			p.Elem().Set(args[i])
			if kept := m.kept[p.Type()]; len(kept) > 0 && number%2 == 1 {
				p = kept[m.IntN(len(kept))]
			}
			args[i] = p
		}
	}
	return args
}

// least is the zero value, or what may not be nil.
func (m *maker) least(t reflect.Type) reflect.Value {
	if v, ok := m.outside(t, true); ok {
		return v
	}
	return reflect.Zero(t)
}

// value makes one; good asks for one with which something can be done.
func (m *maker) value(t reflect.Type, depth int, good bool) reflect.Value {
	if v, ok := m.outside(t, false); ok {
		return v
	}
	if kept := m.kept[t]; len(kept) > 0 && m.IntN(2) == 0 {
		return m.spoilt(kept[m.IntN(len(kept))], good)
	}
	if make := m.good[t]; make != nil && (good || m.IntN(4) > 0) {
		return m.spoilt(reflect.ValueOf(make()), good)
	}
	v := reflect.New(t).Elem()
	switch t.Kind() {
	case reflect.Bool:
		v.SetBool(m.IntN(2) == 0)
	case reflect.Float32, reflect.Float64:
		v.SetFloat(floats[m.IntN(len(floats))])
		if good {
			v.SetFloat(floats[m.IntN(17)])
		}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		v.SetInt(ints[m.IntN(len(ints))])
		if good {
			v.SetInt(ints[m.IntN(9)])
		}
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		v.SetUint(uint64(ints[m.IntN(len(ints))]))
		if good {
			v.SetUint(uint64(m.IntN(4)))
		}
	case reflect.String:
		v.SetString(strs[m.IntN(len(strs))])
	case reflect.Pointer:
		if m.IntN(4) > 0 && depth < 4 {
			v.Set(reflect.New(t.Elem()))
			v.Elem().Set(m.value(t.Elem(), depth+1, good))
		}
	case reflect.Slice:
		if n := m.IntN(5) - 1; n >= 0 && depth < 4 {
			v.Set(reflect.MakeSlice(t, n, n))
			for i := range n {
				v.Index(i).Set(m.value(t.Elem(), depth+1, good))
			}
		}
	case reflect.Array:
		for i := range v.Len() {
			v.Index(i).Set(m.value(t.Elem(), depth+1, good))
		}
	case reflect.Map:
		if m.IntN(2) == 0 && depth < 4 {
			v.Set(reflect.MakeMap(t))
			v.SetMapIndex(m.value(t.Key(), depth+1, good), m.value(t.Elem(), depth+1, good))
		}
	case reflect.Struct:
		if m.IntN(5) > 0 {
			for i := range v.NumField() {
				if t.Field(i).IsExported() {
					v.Field(i).Set(m.value(t.Field(i).Type, depth+1, good))
				}
			}
		}
	case reflect.Func:
		if m.IntN(3) > 0 {
			v.Set(reflect.MakeFunc(t, func([]reflect.Value) []reflect.Value {
				out := make([]reflect.Value, t.NumOut())
				for i := range out {
					out[i] = reflect.Zero(t.Out(i))
				}
				return out
			}))
		}
	}
	return v
}

// keep remembers results to try others on.
func (m *maker) keep(results []reflect.Value) {
	for _, r := range results {
		t := r.Type()
		if t.Kind() == reflect.Pointer && r.IsNil() || t.Kind() != reflect.Pointer && t.Kind() != reflect.Struct {
			continue
		}
		if list := m.kept[t]; len(list) < 6 {
			m.kept[t] = append(list, r)
		} else {
			list[m.IntN(len(list))] = r
		}
	}
}
