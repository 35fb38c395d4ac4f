package report

import (
	"encoding/json"
	"io"
	"math"

	"github.com/polereach/polereach/linkbudget"
)

// fixed is a number written to JSON with at most so many decimals, without
// trailing zeros. The sign of a rounded zero is dropped.
func fixed(v float64, decimals int) float64 {
	scale := math.Pow(10, float64(decimals))
	if r := math.Round(v*scale) / scale; r != 0 {
		return r
	}
	return 0
}

func db(v linkbudget.DB) float64   { return fixed(float64(v), 3) }
func dbm(v linkbudget.DBm) float64 { return fixed(float64(v), 3) }
func metres(v float64) float64     { return fixed(v, 3) }
func placeDeg(v float64) float64   { return fixed(v, 7) }
func angleDeg(v float64) float64   { return fixed(v, 4) }

func ptr[T any](v T) *T { return &v }

// writeJSON writes v indented with a final newline, without escaping < and >.
func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}
