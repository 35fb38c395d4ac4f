package check_test

import (
	"context"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"hash/fnv"
	"io/fs"
	"math/rand/v2"
	"reflect"
	"regexp"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/terrain/fault"
)

// exported is what the source of a room exports: the comment of every function, of
// every method as Type.Method, and of every type.
func exported(t *testing.T, dir string) map[string]string {
	t.Helper()
	docs := map[string]string{}
	packages, err := parser.ParseDir(token.NewFileSet(), "../../../"+dir,
		func(f fs.FileInfo) bool { return !strings.HasSuffix(f.Name(), "_test.go") }, parser.ParseComments)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range packages {
		for _, f := range p.Files {
			for _, d := range f.Decls {
				switch d := d.(type) {
				case *ast.FuncDecl:
					name := d.Name.Name
					if d.Recv != nil {
						of := d.Recv.List[0].Type
						if star, ok := of.(*ast.StarExpr); ok {
							of = star.X
						}
						if ident, ok := of.(*ast.Ident); ok { // none exported is generic
							name = ident.Name + "." + name
						}
					}
					if d.Name.IsExported() && ast.IsExported(name) {
						docs[name] = d.Doc.Text()
					}
				case *ast.GenDecl:
					for _, s := range d.Specs {
						s, ok := s.(*ast.TypeSpec)
						if !ok || !s.Name.IsExported() || s.Assign.IsValid() {
							continue
						}
						if _, is := s.Type.(*ast.InterfaceType); !is {
							docs[s.Name.Name] = d.Doc.Text() + s.Doc.Text()
						}
					}
				}
			}
		}
	}
	return docs
}

// The list of the rooms is whole: nothing is exported that is not called below.
func TestAllThatIsExportedIsListed(t *testing.T) {
	for _, r := range rooms {
		listed := map[string]bool{}
		for name := range r.functions {
			listed[name] = true
		}
		for _, p := range r.types {
			of := reflect.TypeOf(p)
			name, _, _ := strings.Cut(of.Elem().Name(), "[") // of a generic type
			listed[name] = true
			for i := range of.NumMethod() {
				listed[of.Elem().Name()+"."+of.Method(i).Name] = true
			}
		}
		for name := range exported(t, r.dir) {
			if !listed[name] {
				t.Errorf("%s: %s is exported and not listed", r.dir, name)
			}
		}
	}
}

const (
	callsEach   = 400 // of a formula
	callsOfLong = 60  // of what may take a while: with a context, and in the rooms above linkbudget
	timeOfOne   = time.Minute
)

// Whatever a caller passes, no exported function or method panics unless its comment
// (or that of its type) says so, and none returns a number that is not finite beside a nil
// error unless its comment says that too. A formula without an error is asked for no more
// than not to panic: NaN in, NaN out.
//
// Not tried are nil contexts, readers, writers and receivers: those panic in all of Go.
func TestNothingPanicsAndNothingIsNaN(t *testing.T) {
	if testing.Short() {
		t.Skip("calls every function of the library with odd values")
	}
	m := newMaker()
	for _, r := range rooms {
		docs := exported(t, r.dir)
		names := make([]string, 0, len(r.functions))
		calls := map[string]call{}
		for name, f := range r.functions {
			calls[name] = call{reflect.ValueOf(f), false}
			names = append(names, name)
		}
		for _, p := range r.types {
			of := reflect.TypeOf(p)
			for i := range of.NumMethod() {
				name := of.Elem().Name() + "." + of.Method(i).Name
				if _, own := docs[name]; own { // others are promoted
					calls[name] = call{of.Method(i).Func, true}
					names = append(names, name)
				}
			}
		}
		sortByTurn(names)
		for _, name := range names {
			t.Run(r.dir+"/"+name, func(t *testing.T) {
				m.try(t, r.dir+"."+name, calls[name], docs[name]+docs[strings.Split(name, ".")[0]])
			})
		}
	}
}

var (
	saysPanic = regexp.MustCompile(`(?i)panic`)
	saysNaN   = regexp.MustCompile(`(?i)\bNaN\b|infinit|±?Inf\b|not finite`)
)

// long are the rooms in which one call may take a while.
var long = map[string]bool{"linkbudget/power": true, "linkbudget/coverage": true, "linkbudget/mesh": true,
	"linkbudget/region": true,
	"linkbudget/siting": true, "linkbudget/report": true, "linkbudget/report/picture": true,
	"linkbudget/report/handheld": true, "terrain/sun": true}

// call is a function, or a method with its receiver first.
type call struct {
	reflect.Value
	method bool
}

func (m *maker) try(t *testing.T, name string, c call, doc string) {
	f := c.Value
	h := fnv.New64()
	h.Write([]byte(name))
	m.Rand = rand.New(rand.NewPCG(1, h.Sum64()))
	calls := callsEach
	if f.Type().NumIn() > 0 && f.Type().In(0) == reflect.TypeFor[context.Context]() || long[strings.Split(name, ".")[0]] {
		calls = callsOfLong
	}
	for n := range calls {
		args := m.arguments(c, n)
		told := show(args) // before the call can change them
		type outcome struct {
			results  []reflect.Value
			panicked any
			stack    []byte
		}
		done := make(chan outcome, 1)
		go func() {
			var o outcome
			defer func() {
				if o.panicked = recover(); o.panicked != nil {
					o.stack = debug.Stack()
				}
				done <- o
			}()
			if f.Type().IsVariadic() {
				o.results = f.CallSlice(args)
			} else {
				o.results = f.Call(args)
			}
		}()
		var o outcome
		select {
		case o = <-done:
		case <-time.After(timeOfOne):
			t.Fatalf("%s has not returned after %v\n%s", name, timeOfOne, told)
		}
		if o.panicked != nil {
			if saysPanic.MatchString(doc) {
				continue
			}
			t.Fatalf("%s panicked: %v\n%s\n%s", name, o.panicked, told, where(o.stack))
		}
		err, canFail := failure(o.results)
		if err != nil {
			var caught *fault.PanicError
			if errors.As(err, &caught) && !strings.HasPrefix(name, "linkbudget/report") { // those write what is made by hand too
				t.Fatalf("%s: a worker panicked: %v\n%s", name, err, told)
			}
			continue
		}
		if !saysNaN.MatchString(doc) && canFail {
			for i, r := range o.results {
				if at := check.NotFinite(r, fmt.Sprintf("result %d", i), leftAlone); at != "" {
					t.Fatalf("%s returned %s without an error\n%s", name, at, told)
				}
			}
		}
		m.keep(o.results)
	}
}

func failure(results []reflect.Value) (err error, canFail bool) {
	if n := len(results); n > 0 {
		if results[n-1].Type() == reflect.TypeFor[error]() {
			err, _ = results[n-1].Interface().(error)
			return err, true
		}
	}
	return nil, false
}

// where is the stack from the panic on, the library's part.
func where(stack []byte) string {
	var kept []string
	for line := range strings.SplitSeq(string(stack), "\n") {
		if strings.HasPrefix(line, "\t") && strings.Contains(line, "/linkbudget/") || strings.Contains(line, "/terrain/") {
			kept = append(kept, strings.TrimSpace(line))
		}
	}
	return strings.Join(kept[:min(len(kept), 6)], "\n")
}

func show(args []reflect.Value) string {
	var lines []string
	for i, a := range args {
		lines = append(lines, fmt.Sprintf("argument %d, %v: %.1500s", i, a.Type(), fmt.Sprintf("%+v", printable(a))))
	}
	return strings.Join(lines, "\n")
}

func printable(v reflect.Value) any {
	if v.Kind() == reflect.Pointer && !v.IsNil() {
		v = v.Elem()
	}
	if e, ok := v.Interface().(error); ok {
		if e == nil || v.Kind() == reflect.Struct {
			return v.Type().String()
		}
	}
	type plain struct{ Value any }
	defer func() { _ = recover() }() // a String method that panics is found where it is called
	if v.Kind() == reflect.Struct {  // no more of a list than is shown, as that takes longer than the call
		short := reflect.New(v.Type()).Elem()
		short.Set(v)
		for i := range v.NumField() {
			if list := short.Field(i); list.CanSet() && list.Kind() == reflect.Slice && list.Len() > 100 {
				list.Set(list.Slice(0, 100))
			}
		}
		v = short
	}
	return plain{v.Interface()}
}

var errBroken = errors.New("broken on purpose")
