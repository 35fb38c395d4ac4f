package plan

// byCell sorts keys by their upper half, the cell; keys of one cell stay in their
// order. It takes keys over and needs as much memory again. A radix sort from the
// lowest digit (D. Knuth, The Art of Computer Programming, volume 3, section 5.2.5):
// its time grows with the number of keys alone.
func byCell(keys []uint64) []uint64 {
	const bits, digits = 11, 1 << 11
	sorted := make([]uint64, len(keys))
	for shift := 32; shift < 64; shift += bits {
		var place [digits]int // of the next key with a digit
		for _, k := range keys {
			place[k>>shift%digits]++
		}
		if len(keys) == 0 || place[keys[0]>>shift%digits] == len(keys) {
			continue // all keys have the same
		}
		before := 0
		for d, count := range place {
			place[d] = before
			before += count
		}
		for _, k := range keys {
			d := k >> shift % digits
			sorted[place[d]] = k
			place[d]++
		}
		keys, sorted = sorted, keys
	}
	return keys
}
