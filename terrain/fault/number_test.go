package fault_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/polereach/polereach/terrain/fault"
)

type pole struct{ heightM, vswr float64 }

var poleNumbers = []fault.Number[pole]{
	{Key: "height_m", Limits: fault.Limits{Max: 300, Unit: "m", Above: true}, At: func(p *pole) *float64 { return &p.heightM }},
	{Key: "vswr", Limits: fault.Limits{Min: 1, Max: 10}, Zero: "a perfect match", At: func(p *pole) *float64 { return &p.vswr }},
}

func TestNumbers(t *testing.T) {
	for _, c := range []struct {
		p    pole
		want []string
	}{
		{pole{300, 0}, nil}, {pole{0.01, 1}, nil}, {pole{5, 10}, nil},
		{pole{0, 0.5}, []string{"height_m: found 0, allowed above 0 to 300 m", "vswr: found 0.5, allowed 1 to 10, or 0 for a perfect match"}},
		{pole{math.NaN(), math.Inf(1)}, []string{"height_m: found NaN, allowed above 0 to 300 m", "vswr: found +Inf, allowed 1 to 10, or 0 for a perfect match"}},
	} {
		var got []string
		for _, err := range fault.Numbers(poleNumbers, &c.p) {
			var field *fault.FieldError
			if !errors.As(err, &field) || field.Max != 300 && field.Max != 10 {
				t.Errorf("%v: %+v", err, field)
			}
			got = append(got, err.Error())
		}
		if fmt.Sprint(got) != fmt.Sprint(c.want) {
			t.Errorf("%+v: %q, want %q", c.p, got, c.want)
		}
	}
}

// The numbers of a part are found through the whole, and are none where it is not there.
func TestWithin(t *testing.T) {
	type mast struct{ top *pole }
	list := fault.Within(poleNumbers, func(m *mast) *pole { return m.top })
	if errs := fault.Numbers(list, &mast{}); len(errs) != 0 {
		t.Error(errs)
	}
	m := mast{&pole{heightM: 400}}
	if errs := fault.Numbers(list, &m); len(errs) != 1 || list[0].At(&m) != &m.top.heightM {
		t.Error(errs)
	}
}
