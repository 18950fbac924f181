package recording

import (
	"bytes"
	"io"
	"path/filepath"
)

// packedStart is how a compressed file begins (RFC 8878, 3.1.1).
var packedStart = []byte{0x28, 0xB5, 0x2F, 0xFD}

// OpenFile looks at a file that lies by itself: is says that it is a recording, or a part
// of one, packed or not, by its beginning or else by its name, and then f must be read
// through what is returned. What has the name of a recording and is none shows on reading.
func OpenFile(f interface {
	io.ReadCloser
	io.ReaderAt
}, name string) (recorded io.ReadCloser, is bool, err error) {
	head := make([]byte, len(packedStart))
	n, _ := f.ReadAt(head, 0) // shorter: none of both
	base := filepath.Base(name)
	switch {
	case n == len(head) && bytes.Equal(head, packedStart):
		recorded, err = unpack(f)
		return recorded, true, err
	case n == len(head) && Begins(head), base == OpenName, closedName.MatchString(base):
		return f, true, nil
	}
	return nil, false, nil
}
