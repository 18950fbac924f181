package recording

import "bytes"

// Begins reports whether the first four bytes of a file are those of a pcapng
// capture, as every recording's are; whether it is one of ours shows on reading.
func Begins(head []byte) bool { return bytes.Equal(head, sectionStart) }
