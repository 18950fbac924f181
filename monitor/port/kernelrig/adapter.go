//go:build linux

package main

import (
	"io"
	"slices"
	"sync"
)

// The two status bytes at the head of each packet. An error in the second one
// belongs to the packet: the driver can't show which character it was.
const (
	modemIdle = 0x01
	lineIdle  = 0x60
	badParity = 0x04
)

// busLine is what the servo bus wants (common practice).
const busLine = "100000 8E2"

// collected is how many packets the adapter keeps for a driver that does not ask.
const collected = 8

// adapter is an emulated USB serial adapter at the other end of a USB/IP stream.
type adapter struct {
	serial string
	conn   io.ReadWriteCloser

	mu      sync.Mutex // also over writes: replies leave in the order in which they were made
	line    line
	asked   []request // for packets, not answered yet
	waiting [][]byte  // packets that nobody asked for yet
	early   int       // characters that the driver wanted sent before the bus's settings were asked for
	written int       // and after that
	lost    int       // packets that found no room
}

// serve answers until the stream ends.
func (a *adapter) serve() error {
	for {
		req, out, err := readRequest(a.conn)
		if err != nil {
			return err
		}
		a.mu.Lock()
		err = a.send(a.answer(&req, out))
		a.mu.Unlock()
		if err != nil {
			return err
		}
	}
}

func (a *adapter) send(replies []byte) error {
	if len(replies) == 0 {
		return nil
	}
	_, err := a.conn.Write(replies)
	return err
}

// answer is the reply to a request, or nothing if it has to wait.
func (a *adapter) answer(req *request, out []byte) []byte {
	switch {
	case req.Code == unlink:
		return a.withdraw(req)
	case req.Endpoint == 0:
		in, ok := a.control(req.Setup)
		if !ok {
			return appendReply(nil, answered, req.Seq, stalled, 0, nil)
		}
		return appendReply(nil, answered, req.Seq, 0, len(in)+len(out), in)
	case req.In == 1:
		a.asked = append(a.asked, *req)
		return a.deliver()
	}
	if a.line.String() == busLine {
		a.written += len(out)
	} else {
		a.early += len(out)
	}
	return appendReply(nil, answered, req.Seq, 0, len(out), nil)
}

func (a *adapter) withdraw(req *request) []byte {
	i := slices.IndexFunc(a.asked, func(r request) bool { return r.Seq == req.Flags })
	if i < 0 {
		return appendReply(nil, unlinked, req.Seq, 0, 0, nil)
	}
	a.asked = slices.Delete(a.asked, i, i+1)
	return appendReply(nil, unlinked, req.Seq, withdrawn, 0, nil)
}

// deliver is the replies that carry packets now.
func (a *adapter) deliver() (b []byte) {
	for len(a.asked) > 0 && len(a.waiting) > 0 {
		b = appendReply(b, answered, a.asked[0].Seq, 0, len(a.waiting[0]), a.waiting[0])
		a.asked, a.waiting = a.asked[1:], a.waiting[1:]
	}
	return b
}

// receive hands characters from the wire to the driver, as one packet with the given
// errors.
func (a *adapter) receive(errors byte, characters []byte) error {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.waiting = append(a.waiting, append([]byte{modemIdle, lineIdle | errors}, characters...))
	if len(a.waiting) > collected {
		a.waiting = a.waiting[1:]
		a.lost++
	}
	return a.send(a.deliver())
}

// report is what the driver asked for so far.
func (a *adapter) report() map[string]any {
	a.mu.Lock()
	defer a.mu.Unlock()
	return map[string]any{
		"serial": a.serial, "line": a.line.String(), "latency_ms": a.line.LatencyMS,
		"early": a.early, "written": a.written, "lost_packets": a.lost,
	}
}
