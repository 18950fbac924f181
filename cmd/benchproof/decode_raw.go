package main

import (
	"encoding/json"
	"errors"
	"io"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/unit"
)

// decodeRaw dates each frame by the place of its last byte in the file.
func decodeRaw(in io.Reader, lines *json.Encoder, period unit.Duration) ([]account, error) {
	out := frames{lines: lines, date: func(f *servobus.Found) int64 {
		return int64(port.RawDate(f.Offset+servobus.FrameLen-1, period))
	}}
	var fed int64
	err := pieces(in, func(p []byte) error {
		for _, p := range slots(p, fed) {
			out.feed(p, int64(port.RawDate(fed, period)), false)
			fed += int64(len(p))
		}
		return out.err
	})
	return []account{out.end("")}, err
}

// pieces reads to the end.
func pieces(in io.Reader, take func([]byte) error) error {
	buf := make([]byte, 1<<16)
	for {
		n, err := in.Read(buf)
		if failed := take(buf[:n]); failed != nil {
			return failed
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
	}
}

// slots cuts bytes, of which the first is byte at of the file, where one frame's
// time ends and the next begins: the framer must not take them for one moment.
func slots(b []byte, at int64) (parts [][]byte) {
	for len(b) > 0 {
		n := min(len(b), servobus.FrameLen-int(at%servobus.FrameLen))
		parts = append(parts, b[:n])
		b, at = b[n:], at+int64(n)
	}
	return parts
}
