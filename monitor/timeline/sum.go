package timeline

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
)

// Sum is a hash over all lines of a journal up to one, in their order: the first half of
// SHA-256 over the sum of the lines before and the line without its newline. The sum of
// no line is all zeros.
type Sum [sha256.Size / 2]byte

func (s Sum) after(line []byte) Sum {
	h := sha256.New()
	h.Write(s[:])
	h.Write(line)
	return Sum(h.Sum(nil)[:len(s)])
}

// String is 32 hex digits.
func (s Sum) String() string { return hex.EncodeToString(s[:]) }

// afterAll goes on over whole lines.
func (s Sum) afterAll(lines []byte) Sum {
	for line := range bytes.Lines(lines) {
		s = s.after(bytes.TrimSuffix(line, []byte("\n")))
	}
	return s
}
