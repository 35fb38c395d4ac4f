package plan

import "bytes"

// repeatedKeys lists the keys that occur more than once in one object of b, at
// any depth. JSON readers disagree on which of them counts.
func repeatedKeys(b []byte) []string {
	if plainlyUnique(b) {
		return nil
	}
	return repeatedByMaps(b)
}

// repeatedByMaps is repeatedKeys for any object.
func repeatedByMaps(b []byte) []string {
	var repeated []string
	var open []map[string]int // one per open object or list
	for i := 0; i < len(b); {
		switch b[i] {
		case '{', '[':
			open = append(open, nil)
			i++
		case '}', ']':
			open = open[:len(open)-1]
			i++
		case '"':
			end := stringEnd(b, i)
			if end < len(b) && b[end] == ':' { // only a key is followed by a colon
				top := len(open) - 1
				if open[top] == nil {
					open[top] = make(map[string]int)
				}
				name := unquote(b[i:end])
				if open[top][name]++; open[top][name] == 2 {
					repeated = append(repeated, name)
				}
			}
			i = end
		default:
			i++
		}
	}
	return repeated
}

// plainlyUnique reports whether no object of b has a key twice, where that can be told
// without maps: false says nothing. Keys without escapes are the same where their text
// is.
func plainlyUnique(b []byte) bool {
	var (
		keys  [32][]byte // of all open objects
		first [8]int     // of each open object or list, its first key
	)
	n, depth := 0, 0
	for i := 0; i < len(b); {
		switch b[i] {
		case '{', '[':
			if depth == len(first) {
				return false
			}
			first[depth] = n
			depth++
			i++
		case '}', ']':
			depth--
			n = first[depth]
			i++
		case '"':
			end := stringEnd(b, i)
			if end < len(b) && b[end] == ':' {
				key := b[i:end]
				if n == len(keys) || bytes.IndexByte(key, '\\') >= 0 {
					return false
				}
				for _, k := range keys[first[depth-1]:n] {
					if bytes.Equal(k, key) {
						return false
					}
				}
				keys[n] = key
				n++
			}
			i = end
		default:
			i++
		}
	}
	return true
}
