package check_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"io/fs"
	"math"
	"reflect"
	"strings"
	"testing/fstest"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/landcover"
)

// outside makes what is no value of the library.
func (m *maker) outside(t reflect.Type, least bool) (reflect.Value, bool) {
	switch t {
	case reflect.TypeFor[context.Context]():
		return reflect.ValueOf(context.Background()), true
	case reflect.TypeFor[io.Writer]():
		return reflect.ValueOf(io.Discard), true
	case reflect.TypeFor[io.Reader]():
		texts := []string{"", goodPlan, "{}", "distance_m,height_m\n0,1\n10,2\n", "null"}
		return reflect.ValueOf(strings.NewReader(texts[m.IntN(len(texts))])), true
	}
	if least {
		return reflect.Value{}, false
	}
	pick := func(of ...any) (reflect.Value, bool) {
		v := of[m.IntN(len(of))]
		out := reflect.New(t).Elem()
		if v != nil {
			out.Set(reflect.ValueOf(v))
		}
		return out, true
	}
	switch t {
	case reflect.TypeFor[time.Time]():
		return pick(moments[0], moments[1], moments[2], moments[3], moments[4])
	case reflect.TypeFor[terrain.Cover]():
		sources, _ := landcover.Sources(hilly(), "hilly")
		codes, _ := landcover.New(sources, nil, 0)
		heights, _ := landcover.New(nil, sources, 0)
		square := orb.Ring{{10, 49.985}, {10.02, 49.985}, {10.02, 49.996}, {10, 49.985}}
		drawn, _ := landcover.Drawn([]landcover.Outline{{Rings: orb.Polygon{square},
			Stands: terrain.Standing{Class: terrain.CoverSuburban, HeightM: 9}}}, nil)
		return pick(nil, codes, heights, drawn)
	case reflect.TypeFor[terrain.DEM]():
		tiles, _ := terrain.NewTiles([]terrain.Source{m.good[reflect.TypeFor[terrain.Source]()]().(terrain.Source)},
			terrain.TilesOptions{})
		return pick(nil, hilly(), hilly(), hilly(), tiles, broken{hilly()}, senseless{hilly()}, &terrain.Grid{},
			terrain.Stack(), terrain.WithCover(hilly(), wooded{}))
	case reflect.TypeFor[fs.FS]():
		return pick(nil, fstest.MapFS{}, fstest.MapFS{"a.asc": {Data: []byte("ncols 2\n")}})
	case reflect.TypeFor[error]():
		return pick(nil, errBroken)
	case reflect.TypeFor[any]():
		return pick(nil, 1.5, "x", math.NaN())
	case reflect.TypeFor[json.RawMessage]():
		return pick(json.RawMessage(nil), json.RawMessage(`1`), json.RawMessage(`"a"`), json.RawMessage(`{`),
			json.RawMessage(`[1e999]`))
	case reflect.TypeFor[[]byte]():
		return pick([]byte(nil), []byte(goodPlan), []byte("{"), bytes.Repeat([]byte("["), 1000))
	}
	return reflect.Value{}, false
}

// spoilt is a value, as it is or with one or two things in it made anew.
func (m *maker) spoilt(of reflect.Value, good bool) reflect.Value {
	v := reflect.New(of.Type()).Elem()
	v.Set(of)
	if good || m.IntN(4) == 0 {
		return v
	}
	for range 1 + m.IntN(2) {
		m.spoil(v, 0)
	}
	return v
}

func (m *maker) spoil(v reflect.Value, depth int) {
	switch {
	case v.Kind() == reflect.Struct && v.NumField() > 0 && depth < 4 && v.Type() != reflect.TypeFor[time.Time]():
		if i := m.IntN(v.NumField()); v.Type().Field(i).IsExported() {
			m.spoil(v.Field(i), depth+1)
		}
	case v.Kind() == reflect.Slice && v.Len() > 0 && m.IntN(3) > 0:
		list := reflect.MakeSlice(v.Type(), v.Len(), v.Len()) // the other may be kept
		reflect.Copy(list, v)
		v.Set(list)
		m.spoil(v.Index(m.IntN(v.Len())), depth+1)
	case v.CanSet():
		v.Set(m.value(v.Type(), depth+1, false))
	}
}

// wooded is a cover of woods and houses in stripes.
type wooded struct{}

func (wooded) Standing(at []orb.Point, out []terrain.Standing) error {
	for i, p := range at {
		out[i] = terrain.Standing{Class: terrain.CoverClass(uint(math.Abs(p[0])*1e4) % 7)}
	}
	return nil
}
