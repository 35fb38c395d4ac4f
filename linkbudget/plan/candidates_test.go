package plan

import (
	"cmp"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The second way to the same order: a stable sort by comparison.
func TestByCellIsAStableSort(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mask := rapid.SampledFrom([]uint64{1<<64 - 1, 0xff<<32 | 0xffff, 0xf<<60 | 0xff, 0xffff, 7<<43 | 3<<32 | 0xf}).Draw(t, "mask")
		var keys []uint64
		for _, k := range rapid.SliceOfN(rapid.Uint64(), 0, 300).Draw(t, "keys") {
			keys = append(keys, k&mask)
		}
		want := slices.Clone(keys)
		slices.SortStableFunc(want, func(x, y uint64) int { return cmp.Compare(x>>32, y>>32) })
		if got := byCell(keys); !slices.Equal(got, want) {
			t.Fatalf("%x, want %x", got, want)
		}
	})
}

func BenchmarkByCell(b *testing.B) {
	keys := make([]uint64, 78_553)
	for i := range keys {
		keys[i] = uint64(uint32(i*2_654_435_761))<<32 | uint64(i)
	}
	b.Run("radix", func(b *testing.B) {
		for b.Loop() {
			byCell(slices.Clone(keys))
		}
	})
	b.Run("compared", func(b *testing.B) {
		for b.Loop() {
			slices.Sort(slices.Clone(keys))
		}
	})
}
