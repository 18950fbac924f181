// Package recording keeps the inputs of a session as a pcapng file and reads
// them back, also from a file that a power cut or a bad disk has hurt.
//
// The file is pcapng (IETF draft-ietf-opsawg-pcapng), little-endian, with the
// registered link type 250, LINKTYPE_RTAC_SERIAL: timed asynchronous serial
// bytes. Other tools open it; they show times, bytes and comments.
//
//	section header       one for each run of the daemon; comment: a Header, sealed
//	interface 0 "bench"  carries what belongs to no tap
//	interface 1..        one for each tap that came up; name of the tap, its port
//	                     as description; comment: a link, sealed
//	enhanced packet      one for each input
//
// Comments of sections and interfaces are JSON objects with a checksum as
// package crclog makes it, and interfaces repeat the base: neither a flipped bit
// nor a lost section header can move dates or taps.
//
// A packet:
//
//	timestamp      base + At, ns; At is whole microseconds
//	data           seconds and microseconds of the timestamp (4 bytes each,
//	               big-endian), event byte, control lines 0, two bytes 0; then
//	               the input's Data
//	opt_comment    the kind's word, then ": " and readable text where there is
//	               some; absent for bytes and bad-bytes
//	epb_hash       algorithm 2, CRC32 (IEEE) of the data, most significant byte
//	               first
//	epb_packetid   n<<8 | tap; n counts inputs from 0 over all sections
//
// The event byte is 2 for bytes, 8 for bad-bytes, 10 for overrun, 5 for
// recording-gap, 6 for end, and 0 for every other kind, which the word of the
// comment then reports. No flipped bit yields another input: the date stands there
// twice and its nanoseconds are bound to the base, the tap stands in the packet
// id and follows from the interface, the numbers run on without a jump. What is
// not read back (padding, readable text) may be hurt unseen.
package recording

import "errors"

const (
	linkType   = 250 // LINKTYPE_RTAC_SERIAL
	headerLen  = 12  // bytes of the link type's own header
	benchName  = "bench"
	program    = "benchproof"
	formatNow  = 1
	maxName    = 255
	maxText    = 1000
	maxOption  = 65535
	resolution = 9 // timestamps are powers of ten: 1e-9 s
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
