package recording

import (
	"bytes"
	"fmt"
)

// headLen is as much of a file as tells whose it is: a section header up to the name of the program.
const headLen = sectionFixed + 4 + len(program)

// applicationIs is the option with that name, which comes first in ours.
var applicationIs = append([]byte{optionApplication, 0, byte(len(program)), 0}, program...)

// swappedMagic and the older capture magics, as they stand in a file.
var (
	swappedMagic = []byte{0x1A, 0x2B, 0x3C, 0x4D}
	olderMagics  = [][]byte{
		{0xD4, 0xC3, 0xB2, 0xA1}, {0xA1, 0xB2, 0xC3, 0xD4}, // microseconds
		{0x4D, 0x3C, 0xB2, 0xA1}, {0xA1, 0xB2, 0x3C, 0x4D}, // nanoseconds
	}
	sectionStart = []byte{0x0A, 0x0D, 0x0D, 0x0A}
)

// refuseForeign ends the reading at a file whose first block is the whole
// section header of another program. A header of ours that is merely damaged is
// not refused.
func (r *Reader) refuseForeign(block []byte) {
	if r.begun || r.win.offset != 0 || len(block) < sectionFixed+4 {
		return
	}
	if bytes.Contains(block, []byte("base_ns")) || bytes.Contains(block, []byte(program)) {
		return
	}
	application, found := options(block[sectionFixed : len(block)-4]).find(optionApplication)
	if found {
		r.err = fmt.Errorf("%w: a pcapng capture that %q wrote", ErrNotRecording, plain(string(application)))
		return
	}
	r.err = fmt.Errorf("%w: a pcapng capture that another program wrote", ErrNotRecording)
}

// refuseAll says what a file is in which no section of ours was found. An empty
// file, one that begins with zeros, and the torn beginning of a recording, be there zeros
// in the place of its end or not, or blocks behind it, are no other file: nil.
func (r *Reader) refuseAll() error {
	head := r.head
	begun, torn := bytes.HasPrefix(head, sectionStart), bytes.HasPrefix(sectionStart, bytes.TrimRight(head, "\x00"))
	switch {
	case begun && len(head) >= 12 && bytes.Equal(head[8:12], swappedMagic):
		return fmt.Errorf("%w: a pcapng capture in big-endian byte order, recordings are little-endian", ErrNotRecording)
	case torn, begun && (r.whole == 0 || tornInName(head)):
		return nil
	case begun:
		return fmt.Errorf("%w: a pcapng capture that another program wrote", ErrNotRecording)
	}
	for _, magic := range olderMagics {
		if bytes.HasPrefix(head, magic) {
			return fmt.Errorf("%w: a capture in the older pcap format; recordings are pcapng", ErrNotRecording)
		}
	}
	return fmt.Errorf("%w: it begins with the bytes % x, a recording with % x", ErrNotRecording, head[:min(12, len(head))], sectionStart)
}

// tornInName reports that a header was cut off within the name of our program, or behind it.
func tornInName(head []byte) bool {
	return len(head) == headLen && bytes.HasPrefix(applicationIs, bytes.TrimRight(head[sectionFixed:], "\x00"))
}
