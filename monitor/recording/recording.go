// Package recording keeps the inputs of a session in pcapng files and reads them back, also
// from files that a power cut or a bad disk has hurt.
//
// The form of the files, for who writes a reader, is the chapter "The recording" of
// DEVELOPERS.md; a test has a reader in another language find every input by it. In short: a
// recording is a list of segments, each a file (segment.go). The open one,
// recording.pcapng, is plain and has a packet for each input (writer.go, packet.go, kind.go,
// ports.go; blocks.go renders). A closed one is packed: many inputs a packet, in columns (bundle.go),
// behind the checkpoint with which it begins (kept_checkpoint.go), and all of it compressed
// (pack.go). Comments of sections and interfaces are JSON with a checksum (comments.go), and
// all parts carry the session's identity (identity.go). Export makes one plain file of a span.
//
// A Reader goes forward through all of it, in bounded memory (reader.go, window.go): it believes
// a block by itself (flaw.go has why not), searches on behind one that it does not believe
// (search.go, section.go), gives a gap in place of inputs that are lacking, and lists the damages. No
// flipped bit yields another input. It begins at the start or at a Position; a file by
// itself goes through OpenFile, which knows packed ones too, and one of another program is
// refused (foreign.go). Repair readies the end of a recording for what is appended.
//
// Format 1, of the first builds, is one file without identity, segments and bundles; its
// sections name no taps, the first input of each does.
package recording

import "errors"

const (
	linkType    = 250 // LINKTYPE_RTAC_SERIAL
	headerLen   = 12  // bytes of the link type's own header
	benchName   = "bench"
	program     = "benchproof"
	formatNow   = 3
	formatFirst = 1 // the oldest that is read
	maxName     = 255
	maxText     = 1000
	maxOption   = 65535
	resolution  = 9 // timestamps are powers of ten: 1e-9 s
)

// MaxData is the longest Data of an input that fits into a packet, bytes.
const MaxData = 256 << 10

// Blocks, options and sizes of pcapng.
const (
	blockSection   = 0x0A0D0D0A
	blockInterface = 1
	blockCounts    = 5 // interface statistics: other programs add them
	blockPacket    = 6

	orderMagic = 0x1A2B3C4D

	optionEnd         = 0
	optionComment     = 1
	optionHardware    = 2 // of a section
	optionSystem      = 3 // of a section
	optionApplication = 4 // of a section
	optionName        = 2 // of an interface
	optionDescription = 3 // of an interface
	optionResolution  = 9 // of an interface
	optionHash        = 3 // of a packet
	optionPacketID    = 5 // of a packet

	hashCRC32 = 2

	sectionFixed   = 24
	interfaceFixed = 16
	packetFixed    = 28
	minBlock       = 12
	maxBlock       = MaxData + 128<<10
	// minPacket is the least that a packet of ours takes: its fixed part, the
	// link type's header, hash, packet id, end of options, trailing length.
	minPacket = packetFixed + headerLen + 12 + 12 + 4 + 4
)

var (
	// ErrNotRecording says that a file is something else, and what.
	ErrNotRecording = errors.New("not a recording of benchproof")
	// ErrNewer says that a newer program wrote the recording.
	ErrNewer = errors.New("a newer program wrote this recording")
)
