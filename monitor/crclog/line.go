// Package crclog keeps JSON objects as lines of a file, each with a checksum,
// so that what a crash or a bad disk did to the file can be distinguished from what was
// written.
//
// One line:
//
//	{"seq":12,"kind":"mark","crc":"9f1c22aa"}\n
//
// The last member is crc: the CRC32C (Castagnoli polynomial) over the bytes from
// the opening brace up to just before the comma in front of "crc", as eight
// lower-case hex digits. An object without members has no such comma; its sum
// covers the opening brace. The rest of the line is the object as it was
// marshalled.
//
// Damage and a torn tail are two things. A line that does not agree with its
// checksum while good lines follow is damage: it is reported, and reading goes
// on behind it. What stands behind the last good line is the torn tail: the
// writer was cut off there. Only that is ever cut from a file, and it is kept
// aside.
package crclog

import (
	"bytes"
	"errors"
	"fmt"
	"hash/crc32"
)

// MaxLine is the longest line that Scan believes, in bytes without the newline.
const MaxLine = 1 << 20

const (
	checksumStart = `,"crc":"`
	checksumEnd   = `"}`
	sumLen        = 8
	checksumLen   = len(checksumStart) + sumLen + len(checksumEnd)
	hexDigits     = "0123456789abcdef"
)

// What Open finds wrong with a line.
var (
	ErrNoChecksum    = errors.New("the line is no object that ends in a crc")
	ErrWrongChecksum = errors.New("the line does not agree with its crc")
)

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// Append appends the line for a marshalled JSON object to dst, newline
// included. The object must stand on one line without space around it, as
// json.Marshal leaves it.
func Append(dst, object []byte) []byte {
	body := bytes.TrimSuffix(object, []byte("}"))
	dst = append(dst, body...)
	seal := checksumStart
	if len(body) == 1 {
		seal = seal[1:]
	}
	dst = append(dst, seal...)
	dst = appendSum(dst, body)
	return append(dst, checksumEnd+"\n"...)
}

// Check checks a line, given without its newline, and returns the object that
// was sealed, in memory of its own.
func Check(line []byte) (object []byte, err error) {
	body, sum, ok := split(line)
	if !ok {
		return nil, ErrNoChecksum
	}
	var want [sumLen]byte
	if appendSum(want[:0], body); !bytes.Equal(want[:], sum) {
		return nil, fmt.Errorf("%w: got %q, want %q", ErrWrongChecksum, sum, want[:])
	}
	return append(append(make([]byte, 0, len(body)+1), body...), '}'), nil
}

// split parts a line into what the sum covers and the sum as written.
func split(line []byte) (body, sum []byte, ok bool) {
	at := len(line) - checksumLen
	if at < 0 || line[0] != '{' || string(line[len(line)-len(checksumEnd):]) != checksumEnd {
		return nil, nil, false
	}
	sum = line[at+len(checksumStart) : len(line)-len(checksumEnd)]
	switch string(line[at : at+len(checksumStart)]) {
	case checksumStart:
		return line[:at], sum, at > 1
	case "{" + checksumStart[1:]:
		return line[:1], sum, at == 0
	}
	return nil, nil, false
}

func appendSum(dst, body []byte) []byte {
	sum := crc32.Checksum(body, castagnoli)
	for shift := 28; shift >= 0; shift -= 4 {
		dst = append(dst, hexDigits[sum>>shift&15])
	}
	return dst
}
