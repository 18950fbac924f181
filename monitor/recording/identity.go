package recording

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
)

// Identity distinguishes a recording from others: a hash over the base date (Unix ns) of its
// first section and the data of its first input, 32 hex digits. The first input has
// the wall clock to the nanosecond, the build and the taps, so no two sessions share
// it, and a recording of any build has it. A copy of a recording has the same one.
func Identity(base int64, first []byte) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%d\n%s", base, first))
	return hex.EncodeToString(sum[:16])
}
