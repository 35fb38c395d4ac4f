package madetiff

// lzw packs by nothing but codes of single bytes of 9 bits, with the table cleared before it grows
// to need 10: TIFF 6.0, section 13.
func lzw(in []byte) []byte {
	var out []byte
	acc, n := uint32(0), 0
	put := func(code uint32) {
		acc, n = acc<<9|code, n+9
		for ; n >= 8; n -= 8 {
			out = append(out, byte(acc>>(n-8)))
		}
	}
	for i, b := range in {
		if i%200 == 0 {
			put(256)
		}
		put(uint32(b))
	}
	put(257)
	if n > 0 {
		out = append(out, byte(acc<<(8-n)))
	}
	return out
}

// packBits writes runs of bytes: TIFF 6.0, section 9.
func packBits(in []byte) []byte {
	var out []byte
	for len(in) > 0 {
		n := 1
		for n < len(in) && n < 128 && in[n] == in[0] {
			n++
		}
		if n > 1 {
			out, in = append(out, byte(1-n), in[0]), in[n:]
			continue
		}
		for n < len(in) && n < 128 && in[n] != in[n-1] {
			n++
		}
		out, in = append(append(out, byte(n-1)), in[:n]...), in[n:]
	}
	return out
}
