package recording

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
)

// NewIdentity is a random one, which all parts of a session carry from format 2 on: 32 hex
// digits.
func NewIdentity() string {
	var b [16]byte
	_, _ = rand.Read(b[:]) // it never fails
	return hex.EncodeToString(b[:])
}

// Identity distinguishes a recording of format 1 from others: a hash over the base date
// (Unix ns) of its first section and the data of its first input, 32 hex digits. The first
// input has the wall clock to the nanosecond, the build and the taps, so no two sessions
// share it. Sections that are appended to such a recording carry it.
func Identity(base int64, first []byte) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%d\n%s", base, first))
	return hex.EncodeToString(sum[:16])
}
