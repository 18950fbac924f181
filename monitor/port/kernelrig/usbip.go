//go:build linux

package main

import (
	"encoding/binary"
	"fmt"
	"io"
)

// USB/IP carries the requests of a USB host to a device over a stream. All
// numbers are big-endian, each head is 48 bytes long; a request that brings data
// has it behind the head, and so has a reply. Published: the Linux kernel's
// Documentation/usb/usbip_protocol.rst.

// The codes of heads.
const (
	submit   uint32 = 1
	unlink   uint32 = 2
	answered uint32 = 3
	unlinked uint32 = 4
)

// Errors as the protocol has them: Linux's numbers, negated.
const (
	stalled   int32 = -32  // EPIPE
	withdrawn int32 = -104 // ECONNRESET
)

// request is the head of a request.
type request struct {
	Code, Seq, Device uint32
	In                uint32 // 1: data goes to the host
	Endpoint          uint32
	Flags             uint32 // unlink: the number of the request to withdraw
	Length            int32
	_                 [3]int32
	Setup             [8]byte
}

// reply is the head of a reply.
type reply struct {
	Code, Seq uint32
	_         [3]uint32
	Status    int32
	Length    int32
	_         [3]int32
	_         [8]byte
}

// maxOut bounds what a request may bring.
const maxOut = 1 << 20

// readRequest reads a head and the data behind it.
func readRequest(r io.Reader) (req request, out []byte, err error) {
	if err := binary.Read(r, binary.BigEndian, &req); err != nil {
		return req, nil, fmt.Errorf("read a request: %w", err)
	}
	if req.Code != submit || req.In == 1 {
		return req, nil, nil
	}
	if req.Length < 0 || req.Length > maxOut {
		return req, nil, fmt.Errorf("got a request with %d bytes, want 0 to %d", req.Length, maxOut)
	}
	out = make([]byte, req.Length)
	if _, err := io.ReadFull(r, out); err != nil {
		return req, nil, fmt.Errorf("read the data of a request: %w", err)
	}
	return req, out, nil
}

// appendReply appends a head and, to a request for data, the data.
func appendReply(b []byte, code, seq uint32, status int32, length int, in []byte) []byte {
	b, _ = binary.Append(b, binary.BigEndian, reply{Code: code, Seq: seq, Status: status, Length: int32(length)})
	return append(b, in...)
}
