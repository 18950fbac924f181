package timeline

import (
	"bytes"
	"encoding/hex"
	"io"
	"slices"
	"strconv"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/files"
)

// Place is a place between two lines of a journal, behind the event of a number.
type Place struct {
	Offset int64 // bytes before it; 0: it is not known
	Seq    int64 // number of the event before it
	Sum    Sum   // of all lines before it
}

// ParseSum reads what Sum.String gives.
func ParseSum(text string) (s Sum, ok bool) {
	b, err := hex.DecodeString(text)
	if err != nil || len(b) != len(s) {
		return s, false
	}
	return Sum(b), true
}

// newest is the last of some places, in rising order, that a file still has; the zero
// Place, its beginning, where it has none.
func newest(f files.File, size int64, places []Place) Place {
	for _, p := range slices.Backward(places) {
		if p.Offset > 0 && p.Offset <= size && endsWith(f, p) {
			return p
		}
	}
	return Place{}
}

// endsWith reports whether the line before a place is that of its event.
func endsWith(f io.ReaderAt, p Place) bool {
	const usual = 4 << 10 // a line is hardly ever longer
	for _, length := range []int64{usual, crclog.MaxLine + 2} {
		text := make([]byte, min(p.Offset, length))
		if n, _ := f.ReadAt(text, p.Offset-int64(len(text))); n < len(text) {
			return false
		}
		line, whole := bytes.CutSuffix(text, []byte("\n"))
		begins := bytes.LastIndexByte(line, '\n') + 1
		if begins == 0 && p.Offset > int64(len(text)) {
			continue
		}
		e, err := Parse(line[begins:])
		return whole && err == nil && e.Seq == p.Seq
	}
	return false
}

// Number is that of the event of a line, given without its newline, whose checksum is
// right. Only a line that begins otherwise than Line renders it is read as a whole.
func Number(line []byte) (int64, error) {
	rest, ours := bytes.CutPrefix(line, []byte(`{"format":1,"seq":`))
	if digits, _, ended := bytes.Cut(rest, []byte(`,"t_ns":`)); ours && ended {
		if n, err := strconv.ParseInt(string(digits), 10, 64); err == nil && n > 0 {
			return n, nil
		}
	}
	e, err := Parse(line)
	return e.Seq, err
}

// Behind finds, in a journal of so many bytes whose numbers rise, a line's beginning from
// which all events behind a number can be read; few others come before them.
func Behind(f io.ReaderAt, size, seq int64) int64 {
	const near = 64 << 10
	low, high := int64(0), size
	for seq > 0 && high-low > near {
		middle := low + (high-low)/2
		begins, number, found := firstFrom(f, middle, high)
		if found && number <= seq {
			low = begins
		} else {
			high = middle
		}
	}
	return low
}

// firstFrom is the first good line that begins behind an offset.
func firstFrom(f io.ReaderAt, offset, end int64) (begins, number int64, found bool) {
	r := io.NewSectionReader(f, offset, end-offset)
	_, _ = crclog.Scan(r, func(at int64, line []byte, damage error) error {
		if damage != nil {
			return nil // the rest of the line that the offset is in
		}
		if n, err := Number(line); err == nil {
			begins, number, found = offset+at, n, true
		}
		return io.EOF // enough
	})
	return begins, number, found
}
