package mesh

import (
	"crypto/sha256"
	"encoding/hex"
	"hash"
	"io"
)

// sealKey begins the last member of a part: the SHA-256 (FIPS 180-4) of every byte
// before it, in hexadecimal.
const sealKey = `,"sha256":"`

// sealB is the length of that member, the brace that ends the part, and the end of its line.
const sealB = len(sealKey) + 2*sha256.Size + len("\"}\n")

func sealOf(sum hash.Hash) string { return sealKey + hex.EncodeToString(sum.Sum(nil)) + "\"}\n" }

// sealReader hashes what is read through it, but for the last sealB bytes.
type sealReader struct {
	from io.Reader
	sum  hash.Hash
	last []byte
}

func (s *sealReader) Read(b []byte) (n int, err error) {
	n, err = s.from.Read(b)
	s.last = append(s.last, b[:n]...)
	if sure := len(s.last) - sealB; sure > 0 {
		s.sum.Write(s.last[:sure])
		s.last = append(s.last[:0], s.last[sure:]...)
	}
	return n, err
}

// holds reports, once all is read, whether it is what was written.
func (s *sealReader) holds() bool { return string(s.last) == sealOf(s.sum) }
