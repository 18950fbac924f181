package main

import (
	"encoding/json"
	"errors"
	"io"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/port"
)

// decodeRaw dates each frame by the place of its last byte in the file.
func decodeRaw(in io.Reader, lines *json.Encoder, w *wants) ([]account, error) {
	p := w.protocol
	out := newFrames(p, lines, "", func(f *bus.Found) int64 {
		return int64(port.RawDate(p, f.Offset+int64(p.FrameLen)-1, w.period))
	})
	var fed int64
	err := pieces(in, func(read []byte) error {
		for _, part := range slots(read, fed, int64(p.FrameLen)) {
			out.feed(part, int64(port.RawDate(p, fed, w.period)), false)
			fed += int64(len(part))
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
func slots(b []byte, at, frame int64) (parts [][]byte) {
	for len(b) > 0 {
		n := min(len(b), int(frame-at%frame))
		parts = append(parts, b[:n])
		b, at = b[n:], at+int64(n)
	}
	return parts
}
