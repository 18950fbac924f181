package port

import (
	"bufio"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// RawDate is when byte i of a file of raw bus bytes is taken to have ended: such
// a file carries no time, so as many bytes as a frame has are one frame time at the
// beginning of one period.
func RawDate(p *bus.Protocol, i int64, period unit.Duration) unit.Time {
	frame, char := i/int64(p.FrameLen), i%int64(p.FrameLen)
	return unit.Time(unit.Duration(frame)*period + unit.Duration(char+1)*unit.Duration(p.CharTime()))
}

// Raw is a source over a file of raw bus bytes: a session with one bus tap,
// "main", with a beat each second, that begins at Unix time 0.
type Raw struct {
	r        *bufio.Reader
	name     string
	protocol *bus.Protocol
	period   unit.Duration
	build    string
	read     int64 // bytes
	step     int   // what was yielded before the bytes
	beat     unit.Time
	last     unit.Time
	pending  byte
	have     bool
	data     [8]byte
	ended    bool
}

// NewRaw makes a source over r, of frames of a protocol; period is from frame to frame,
// and not shorter than a frame.
func NewRaw(r io.Reader, name string, p *bus.Protocol, period unit.Duration, build string) (*Raw, error) {
	if least := unit.Duration(p.FrameTime()); period < least {
		return nil, fmt.Errorf("got a period of %d ns, want at least the %d ns that a frame takes", period, least)
	}
	return &Raw{r: bufio.NewReaderSize(r, 1<<16), name: name, protocol: p, period: period, build: build, beat: unit.Time(unit.Second)}, nil
}

// Next implements engine.Source. Each byte is an input of its own, dated by
// itself.
func (s *Raw) Next(in *event.Input) error {
	switch s.step++; s.step {
	case 1:
		data, err := json.Marshal(event.Start{Build: s.build, Taps: []event.TapName{{Name: "main", Kind: "bus"}}})
		*in = event.Input{Kind: event.InputBegin, Data: data}
		return err
	case 2:
		data, err := json.Marshal(event.Port{Port: s.name, Settings: "raw bytes"})
		*in = event.Input{Kind: event.InputTapUp, Tap: 1, Data: data}
		return err
	}
	return s.bytes(in)
}

func (s *Raw) bytes(in *event.Input) error {
	if !s.have {
		b, err := s.r.ReadByte()
		if err == io.EOF {
			return s.end(in)
		}
		if err != nil {
			return fmt.Errorf("read %s: %w", s.name, err)
		}
		s.pending, s.have = b, true
	}
	at := RawDate(s.protocol, s.read, s.period)
	if s.beat <= at {
		binary.BigEndian.PutUint64(s.data[:], uint64(s.beat))
		*in = event.Input{At: s.beat, Kind: event.InputBeat, Data: s.data[:]}
		s.beat = s.beat.Add(unit.Second)
		return nil
	}
	s.data[0], s.have, s.last = s.pending, false, at
	s.read++
	*in = event.Input{At: at, Tap: 1, Kind: event.InputBytes, Data: s.data[:1]}
	return nil
}

func (s *Raw) end(in *event.Input) error {
	if s.ended {
		return io.EOF
	}
	s.ended = true
	*in = event.Input{At: s.last, Kind: event.InputEnd}
	return nil
}
