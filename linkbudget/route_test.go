package linkbudget

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Computed by hand: 1/0.81; 0.95^3; 1 - 0.3^3 and 0.973/0.7; 1 - 0.4^3.
func TestRoutes(t *testing.T) {
	for _, row := range []struct {
		name      string
		got       func() (float64, error)
		want, tol float64
	}{
		{"ETX of 0.9 both ways", func() (float64, error) { return ETX(0.9, 0.9) }, 1.2346, 5.1e-5},
		{"ETX without acknowledgement", func() (float64, error) { return ETX(0.8, 1) }, 1.25, 1e-12},
		{"3 hops of 0.95", func() (float64, error) { return RouteDelivery(0.95, 0.95, 0.95) }, 0.857375, 1e-12},
		{"no hop", func() (float64, error) { return RouteDelivery() }, 1, 0},
		{"0.7 with 2 retries", func() (float64, error) { return RetriedDelivery(0.7, 2) }, 0.973, 1e-12},
		{"its transmissions", func() (float64, error) { return ExpectedTransmissions(0.7, 2) }, 1.39, 1e-12},
		{"three relays of 0.6", func() (float64, error) { return IndependentRelays(0.6, 0.6, 0.6) }, 0.936, 1e-12},
		{"no relay", func() (float64, error) { return IndependentRelays() }, 0, 0},
		{"route of ETX 1.25 and 1.5", func() (float64, error) { return RouteETX(1.25, 1.5) }, 2.75, 1e-12},
		{"certain link", func() (float64, error) { return RetriedDelivery(1, 0) }, 1, 0},
		{"dead link", func() (float64, error) { return RetriedDelivery(0, 9) }, 0, 0},
		{"transmissions over a dead link", func() (float64, error) { return ExpectedTransmissions(0, 9) }, 10, 0},
		{"no end of retries", func() (float64, error) { return RetriedDelivery(0.1, math.MaxInt) }, 1, 0},
	} {
		got, err := row.got()
		if err != nil {
			t.Errorf("%s: %v", row.name, err)
		}
		radioWithin(t, row.name, got, row.want, row.tol)
	}
}

// Tries written out one by one are the independent way.
func TestRetriesOneByOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.Float64Range(0, 1).Draw(t, "p")
		retries := rapid.IntRange(0, 30).Draw(t, "retries")
		var arrives, sent float64
		pending := 1.0
		for range retries + 1 {
			sent += pending
			arrives += pending * p
			pending *= 1 - p
		}
		got, err := RetriedDelivery(p, retries)
		if err != nil || !(math.Abs(got-arrives) <= 1e-12) {
			t.Fatalf("delivery %v, %v; want %v", got, err, arrives)
		}
		if got, err := ExpectedTransmissions(p, retries); err != nil || !(math.Abs(got-sent) <= 1e-9) {
			t.Fatalf("transmissions %v, %v; want %v", got, err, sent)
		}
	})
}

// A hop more never helps a route, a relay more never harms a set.
func TestRouteProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SliceOfN(rapid.Float64Range(0, 1), 0, 8).Draw(t, "p")
		more := append(p[:len(p):len(p)], rapid.Float64Range(0, 1).Draw(t, "one more"))
		route, _ := RouteDelivery(p...)
		longer, err := RouteDelivery(more...)
		if err != nil || !(longer >= 0 && longer <= route) {
			t.Fatalf("route %v, longer %v, %v", route, longer, err)
		}
		relays, _ := IndependentRelays(p...)
		further, err := IndependentRelays(more...)
		if err != nil || !(further >= relays && further <= 1) {
			t.Fatalf("relays %v, one more %v, %v", relays, further, err)
		}
	})
}

func TestRouteRefuses(t *testing.T) {
	nan := math.NaN()
	for name, row := range map[string]struct {
		call func() (float64, error)
		want []string
	}{
		"retries":   {func() (float64, error) { return ExpectedTransmissions(2, -1) }, []string{"delivery: found 2", "retries: found -1"}},
		"etx":       {func() (float64, error) { return ETX(0, nan) }, []string{"forward delivery: found 0", "reverse delivery: found NaN"}},
		"route":     {func() (float64, error) { return RouteDelivery(1, -1, nan) }, []string{"hop 2: found -1", "hop 3: found NaN"}},
		"route etx": {func() (float64, error) { return RouteETX(0.5, 2, math.Inf(1)) }, []string{"hop 1: found etx 0.5", "hop 3: found etx +Inf"}},
		"relays":    {func() (float64, error) { return IndependentRelays(1.1) }, []string{"relay 1: found 1.1"}},
		"overflow":  {func() (float64, error) { return RouteETX(1e308, 1e308) }, []string{"sum"}},
	} {
		got, err := row.call()
		if err == nil || got != 0 {
			t.Errorf("%s: %v, %v", name, got, err)
			continue
		}
		for _, want := range row.want {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %q lacks %q", name, fmt.Sprint(err), want)
			}
		}
	}
}
