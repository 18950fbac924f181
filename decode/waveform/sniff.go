package waveform

import (
	"bytes"
	"slices"
)

// Sniffed is how many bytes of a file Sniff looks at, at most.
const Sniffed = 512

// Kind is what a file looks like by its first bytes.
type Kind uint8

// The kinds of file.
const (
	Unknown Kind = iota // bytes that are no text, and of no kind known here
	Foreign             // a kind of file that has no edges in it
	VCD                 // text whose first mark is a $
	CSV                 // any other text
)

// foreignKinds are kinds of file that are easily taken for a waveform, by how they
// begin.
var foreignKinds = []struct{ magic, what string }{
	{"\x7fELF", "a program (ELF)"},
	{"\x1f\x8b\x08", "compressed bytes (gzip), which must be unpacked first"},
	{"\xfd7zXZ\x00", "compressed bytes (xz), which must be unpacked first"},
	{"BZh", "compressed bytes (bzip2), which must be unpacked first"},
	{"\x28\xb5\x2f\xfd", "compressed bytes (zstd), which must be unpacked first"},
	{"PK\x03\x04", "an archive (zip), which must be unpacked first"},
	{"\x0a\x0d\x0d\x0a", "a capture of packets (pcapng)"},
	{"%PDF", "a document (PDF)"},
	{"\x89PNG", "a picture (PNG)"},
}

// mark is the byte order mark that some editors put before UTF-8 text.
const mark = "\xef\xbb\xbf"

// Sniff reports what a file is by its first bytes (Sniffed of them are enough), and
// in words what it looks like where it is neither a dump nor a list.
func Sniff(head []byte) (kind Kind, what string) {
	if len(head) == 0 {
		return Unknown, "an empty file"
	}
	for _, f := range foreignKinds {
		if bytes.HasPrefix(head, []byte(f.magic)) {
			return Foreign, f.what
		}
	}
	if isUTF16(head) {
		return Foreign, "UTF-16 text, which must be saved as UTF-8"
	}
	if slices.ContainsFunc(head, isControl) {
		return Unknown, "bytes that are no text"
	}
	text := bytes.TrimLeft(bytes.TrimPrefix(head, []byte(mark)), " \t\r\n\v\f")
	switch {
	case len(text) == 0:
		return Unknown, "nothing but spaces"
	case text[0] == '<':
		return Foreign, "markup (HTML or XML)"
	case text[0] == '$':
		return VCD, ""
	}
	return CSV, ""
}

func isControl(c byte) bool { return c < ' ' && !isSpace(c) || c == 0x7F }

// isUTF16 reports a mark of UTF-16 with letters behind it of which each has a
// zero byte.
func isUTF16(head []byte) bool {
	const marked, letters = 2, 4
	if len(head) < marked+2*letters {
		return false
	}
	zero := marked + 1
	switch {
	case bytes.HasPrefix(head, []byte("\xfe\xff")):
		zero = marked
	case !bytes.HasPrefix(head, []byte("\xff\xfe")):
		return false
	}
	for i := range letters {
		if head[zero+2*i] != 0 {
			return false
		}
	}
	return true
}

// isSpace reports white space as IEEE 1364 and C have it.
func isSpace(c byte) bool { return c == ' ' || c >= '\t' && c <= '\r' }
