package plan

import "bytes"

// fewKeys is how many keys of an object are compared one by one; what has more is counted
// in a map, so that the time stays proportional to the text.
const fewKeys = 32

// repeatedKeys lists the keys that occur more than once in one object of b, at
// any depth. JSON readers disagree on which of them counts.
func repeatedKeys(b []byte) (repeated []string) {
	type level struct {
		first int            // its first key in keys
		count map[string]int // nil for few keys
	}
	var roomForKeys [fewKeys][]byte
	var roomForOpen [8]level
	keys, open := roomForKeys[:0], roomForOpen[:0] // of all open objects and lists
	for i := 0; i < len(b); i++ {
		switch b[i] {
		case '{', '[':
			open = append(open, level{first: len(keys)})
		case '}', ']':
			keys, open = keys[:open[len(open)-1].first], open[:len(open)-1]
		case '"':
			end := stringEnd(b, i)
			if end < len(b) && b[end] == ':' { // only a key is followed by a colon
				name := b[i+1 : end-1]
				if bytes.IndexByte(name, '\\') >= 0 {
					name = []byte(unquote(b[i:end]))
				}
				at := &open[len(open)-1]
				if at.count == nil && len(keys)-at.first == fewKeys {
					at.count = map[string]int{}
					for _, k := range keys[at.first:] {
						at.count[string(k)]++
					}
				}
				before := at.count[string(name)]
				if at.count == nil {
					for _, k := range keys[at.first:] {
						if bytes.Equal(k, name) {
							before++
						}
					}
					keys = append(keys, name)
				} else {
					at.count[string(name)]++
				}
				if before == 1 {
					repeated = append(repeated, string(name))
				}
			}
			i = end - 1
		}
	}
	return repeated
}
