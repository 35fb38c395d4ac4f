package terrain

import (
	"encoding/binary"
	"math/bits"
)

// inflate unpacks a DEFLATE stream (RFC 1951) that is wholly in memory into out,
// in about a third of the time of compress/flate, which reads byte by byte. It
// reports whether the stream was sound and filled out exactly. Whoever calls it
// checks the sum of the bytes, and lets compress/flate name the fault.
func inflate(out, in []byte) bool {
	f := inflater{in: in, out: out}
	for {
		f.refill()
		last, kind := f.take(1), f.take(2)
		if f.n < 0 {
			return false
		}
		ok := false
		switch kind {
		case 0:
			ok = f.stored()
		case 1:
			ok = f.fixedCodes() && f.block()
		case 2:
			ok = f.dynamicCodes() && f.block()
		}
		if !ok {
			return false
		}
		if last == 1 {
			return f.filled == len(out)
		}
	}
}

type inflater struct {
	in, out           []byte
	at, filled        int
	hold              uint64 // bits taken from in, the next lowest
	n                 int    // how many; negative past the end
	literal, distance prefixCode
}

// refill holds 56 bits and more, as long as there are any.
func (f *inflater) refill() {
	if f.at+8 <= len(f.in) && f.n >= 0 {
		f.hold |= binary.LittleEndian.Uint64(f.in[f.at:]) << f.n
		k := (63 - f.n) >> 3
		f.at, f.n = f.at+k, f.n+8*k
		return
	}
	for ; f.n >= 0 && f.n <= 56 && f.at < len(f.in); f.at++ {
		f.hold |= uint64(f.in[f.at]) << f.n
		f.n += 8
	}
}

func (f *inflater) take(k int) int {
	v := f.hold & (1<<k - 1)
	f.hold, f.n = f.hold>>k, f.n-k
	return int(v)
}

func (f *inflater) symbol(c *prefixCode) int {
	v := c.fast[f.hold&(1<<fastBits-1)]
	if v == 0 {
		v = c.long(f.hold)
	}
	f.take(int(v & 15))
	return int(v >> 4)
}

// stored copies a block as it is, §3.2.4.
func (f *inflater) stored() bool {
	f.take(f.n & 7)
	f.at -= f.n >> 3 // bytes held go back
	f.hold, f.n = 0, 0
	if f.at+4 > len(f.in) {
		return false
	}
	size, check := int(binary.LittleEndian.Uint16(f.in[f.at:])), int(binary.LittleEndian.Uint16(f.in[f.at+2:]))
	f.at += 4
	if size != check^0xffff || size > len(f.in)-f.at || size > len(f.out)-f.filled {
		return false
	}
	copy(f.out[f.filled:], f.in[f.at:f.at+size])
	f.at, f.filled = f.at+size, f.filled+size
	return true
}

// Lengths and distances start at these and have so many more bits, §3.2.5.
var (
	lengthBase = [29]uint16{3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 15, 17, 19, 23, 27, 31, 35, 43, 51, 59, 67, 83, 99, 115, 131, 163, 195, 227, 258}
	lengthMore = [29]uint8{0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 4, 5, 5, 5, 5, 0}
	distBase   = [30]uint16{1, 2, 3, 4, 5, 7, 9, 13, 17, 25, 33, 49, 65, 97, 129, 193, 257, 385, 513, 769, 1025, 1537, 2049, 3073, 4097, 6145, 8193, 12289, 16385, 24577}
	distMore   = [30]uint8{0, 0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6, 7, 7, 8, 8, 9, 9, 10, 10, 11, 11, 12, 12, 13, 13}
)

// endOfBlock ends a block.
const endOfBlock = 256

// block unpacks one block of symbols. A length with its distance takes at most
// 48 bits. What changes all the time is kept in variables of its own, which a
// compiler can keep in registers.
func (f *inflater) block() bool {
	out, hold, n, filled := f.out, f.hold, uint(f.n), f.filled
	for {
		if n < 48 {
			if f.at+8 <= len(f.in) {
				hold |= binary.LittleEndian.Uint64(f.in[f.at:]) << n
				k := (63 - n) >> 3
				f.at, n = f.at+int(k), n+8*k
			} else {
				f.hold, f.n = hold, int(n)
				f.refill()
				hold, n = f.hold, uint(f.n)
			}
		}
		v := f.literal.fast[hold&(1<<fastBits-1)]
		if v == 0 {
			v = f.literal.long(hold)
		}
		k := uint(v & 15)
		if k > n {
			return false // past the end
		}
		hold, n = hold>>k, n-k
		s := int(v >> 4)
		switch {
		case s < endOfBlock:
			if filled >= len(out) {
				return false
			}
			out[filled] = byte(s)
			filled++
			continue
		case s == endOfBlock:
			f.hold, f.n, f.filled = hold, int(n), filled
			return true
		case s-257 >= len(lengthBase):
			return false
		}
		k = uint(lengthMore[s-257])
		size := int(lengthBase[s-257]) + int(hold&(1<<k-1))
		hold >>= k
		v = f.distance.fast[hold&(1<<fastBits-1)]
		if v == 0 {
			v = f.distance.long(hold)
		}
		d := int(v >> 4)
		if d >= len(distBase) {
			return false
		}
		hold >>= v & 15
		more := uint(distMore[d])
		back := int(distBase[d]) + int(hold&(1<<more-1))
		hold >>= more
		k += uint(v&15) + more
		if k > n || back > filled || size > len(out)-filled {
			return false
		}
		n -= k
		if back >= size {
			copy(out[filled:filled+size], out[filled-back:])
		} else {
			to, from := out[filled:filled+size], out[filled-back:]
			for i := range to { // the copy feeds itself
				to[i] = from[i]
			}
		}
		filled += size
	}
}

// fixedCodes are those of §3.2.6.
func (f *inflater) fixedCodes() bool {
	var lengths [288]uint8
	for s := range lengths {
		switch {
		case s < 144, s >= 280:
			lengths[s] = 8
		case s < 256:
			lengths[s] = 9
		default:
			lengths[s] = 7
		}
	}
	var five [32]uint8
	for s := range five {
		five[s] = 5
	}
	return f.literal.make(lengths[:]) && f.distance.make(five[:])
}

// lengthOrder is the order in which the lengths of the code of code lengths
// stand, §3.2.7.
var lengthOrder = [19]uint8{16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15}

// dynamicCodes reads the codes of a block, §3.2.7.
func (f *inflater) dynamicCodes() bool {
	f.refill()
	literals, distances, n := 257+f.take(5), 1+f.take(5), 4+f.take(4)
	var lengths [286 + 32 + 138]uint8
	for _, s := range lengthOrder[:n] {
		f.refill()
		lengths[s] = uint8(f.take(3))
	}
	if literals > 286 || distances > 30 || !f.literal.make(lengths[:19]) {
		return false
	}
	clear(lengths[:19])
	for i := 0; i < literals+distances; {
		f.refill()
		s := f.symbol(&f.literal)
		if f.n < 0 {
			return false
		}
		value, times := uint8(0), 1
		switch {
		case s < 16:
			value = uint8(s)
		case s == 16 && i > 0:
			value, times = lengths[i-1], 3+f.take(2)
		case s == 17:
			times = 3 + f.take(3)
		case s == 18:
			times = 11 + f.take(7)
		default:
			return false
		}
		if times > literals+distances-i {
			return false
		}
		for range times {
			lengths[i] = value
			i++
		}
	}
	if f.n < 0 {
		return false
	}
	return f.literal.make(lengths[:literals]) && f.distance.make(lengths[literals:literals+distances])
}

// fastBits are looked up at once; longer codes are rare.
const fastBits = 11

// noSymbol is beyond every code.
const noSymbol = 1 << 11

// prefixCode is a Huffman code as DEFLATE has them, §3.2.2. A symbol stands with
// the length of its code in the lowest four bits.
type prefixCode struct {
	fast    [1 << fastBits]uint16
	count   [16]int // codes of each length
	symbols [288]uint16
}

// make builds the code of symbols with these lengths, 0 for none; false where
// there are too many or too few. None at all will do, and one of one bit.
func (c *prefixCode) make(lengths []uint8) bool {
	c.count = [16]int{}
	for _, k := range lengths {
		c.count[k]++
	}
	c.count[0] = 0
	var code, index [16]int
	used := 0 // of all texts of 15 bits
	for k := 1; k < 16; k++ {
		code[k], index[k] = (code[k-1]+c.count[k-1])<<1, index[k-1]+c.count[k-1]
		used += c.count[k] << (15 - k)
	}
	if used != 1<<15 && used != 0 && !(used == 1<<14 && c.count[1] == 1) {
		return false
	}
	clear(c.fast[:])
	for s, k := range lengths {
		if k == 0 {
			continue
		}
		v := uint16(s)<<4 | uint16(k)
		c.symbols[index[k]] = v
		index[k]++
		if k <= fastBits {
			for i := int(bits.Reverse16(uint16(code[k])) >> (16 - k)); i < len(c.fast); i += 1 << k {
				c.fast[i] = v
			}
		}
		code[k]++
	}
	return true
}

// long finds a code bit by bit.
func (c *prefixCode) long(hold uint64) uint16 {
	code, first, index := 0, 0, 0
	for k := 1; k < 16; k++ {
		code |= int(hold & 1)
		if code-first < c.count[k] {
			return c.symbols[index+code-first]
		}
		index += c.count[k]
		first = (first + c.count[k]) << 1
		code, hold = code<<1, hold>>1
	}
	return noSymbol << 4
}
