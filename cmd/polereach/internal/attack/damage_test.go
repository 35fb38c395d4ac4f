package attack

import (
	"bytes"
	"math/rand/v2"
	"slices"
	"strings"
)

// damage is what was done to a file.
type damage struct {
	what     string
	from, to int // the bytes changed
	cut      bool
}

// hurt returns a damaged copy.
func hurt(rng *rand.Rand, data []byte) ([]byte, damage) {
	out := slices.Clone(data)
	n := len(data)
	if n == 0 {
		return []byte{byte(rng.Uint32())}, damage{what: "filled", to: 1}
	}
	at := rng.IntN(n)
	length := 1 + rng.IntN(1+min(n-at-1, 1<<rng.IntN(14)))
	switch rng.IntN(12) {
	case 0, 1, 2:
		switch rng.IntN(3) {
		case 0: // close to the end, where little is missing
			at = n - 1 - rng.IntN(min(n, 64))
		case 1:
			at = rng.IntN(min(n, 1024))
		}
		return out[:at], damage{"cut", at, n, true}
	case 3: // what a full disk or a broken download leaves
		clear(out[at:])
		return out, damage{"zeros to the end", at, n, false}
	case 4:
		clear(out[at : at+length])
		return out, damage{"zeros", at, at + length, false}
	case 5:
		for i := at; i < at+length; i++ {
			out[i] = byte(rng.Uint32())
		}
		return out, damage{"noise", at, at + length, false}
	case 6:
		from := rng.IntN(n - length + 1)
		copy(out[at:at+length], data[from:])
		return out, damage{"a part twice", at, at + length, false}
	case 7:
		return slices.Delete(out, at, at+length), damage{"a part gone", at, n, false}
	case 8:
		more := make([]byte, length)
		for i := range more {
			more[i] = byte(rng.Uint32())
		}
		return slices.Insert(out, at, more...), damage{"a part more", at, n, false}
	case 9:
		at = rng.IntN(min(n, 600)) // where heads are
		out[at] = []byte{0, 1, 0x7f, 0x80, 0xff, byte(rng.Uint32())}[rng.IntN(6)]
		return out, damage{"a byte of the head", at, at + 1, false}
	case 10:
		at = min(n-1, rng.IntN(min(n, 600)))
		to := min(n, at+2)
		for i := at; i < to; i++ {
			out[i] = byte(rng.Uint32())
		}
		return out, damage{"two bytes of the head", at, to, false}
	default:
		out[at] ^= 1 << rng.IntN(8)
		return out, damage{"a bit", at, at + 1, false}
	}
}

// tells reports whether the format can show this damage.
func (s *sound) tells(d damage, length int) bool {
	if body := s.files[s.damaged()]; d.cut && strings.HasSuffix(s.damaged(), ".asc") &&
		d.from > bytes.LastIndexByte(bytes.TrimSpace(body), ' ') { // inside the last number
		return false
	}
	if d.cut || s.length && length != len(s.files[s.damaged()]) {
		return true
	}
	for _, part := range s.told {
		if part.from <= d.from && d.to <= part.to {
			return true
		}
	}
	return false
}
