package main

import (
	"encoding/json"
	"fmt"
	"strconv"

	"benchproof.example/decode/bus"
)

// frameLine is a line of decode.
type frameLine struct {
	T      int64      `json:"t_ns"`
	Tap    string     `json:"tap,omitempty"` // of a recording with several buses
	Offset int64      `json:"offset"`
	Frame  shownFrame `json:"frame"`
}

// shownFrame is a frame as a line has it: what its protocol has not is left out.
//
//	{"counts":[992],"ch17":false,"ch18":false,"frame_lost":false,"failsafe":false,"footer":0,"bad":false}
type shownFrame struct {
	protocol *bus.Protocol
	text     []byte // of the line before
	bus.Frame
}

// MarshalJSON implements json.Marshaler. What it returns is lent until the next call.
func (f *shownFrame) MarshalJSON() ([]byte, error) {
	p := f.protocol
	out := append(f.text[:0], `{"counts":[`...)
	for i, count := range f.Counts[:p.Channels] {
		if i > 0 {
			out = append(out, ',')
		}
		out = strconv.AppendUint(out, uint64(count), 10)
	}
	out = append(out, ']')
	member := func(key string) { out = append(append(append(out, `,"`...), key...), `":`...) }
	truth := func(key string, value bool) {
		member(key)
		out = strconv.AppendBool(out, value)
	}
	for n := range p.Digital {
		truth("ch"+strconv.Itoa(p.Channels+1+n), f.Digital(n))
	}
	if p.Flags&bus.Lost != 0 {
		truth("frame_lost", f.Lost())
	}
	if p.Flags&bus.Failsafe != 0 {
		truth("failsafe", f.Failsafe())
	}
	if p.Private != "" {
		member(p.Private)
		out = strconv.AppendUint(out, uint64(f.Private), 10)
	}
	truth("bad", f.Bad)
	f.text = append(out, '}')
	return f.text, nil
}

// frames prints the frames of one bus.
type frames struct {
	protocol *bus.Protocol
	framer   bus.Framer
	lines    *json.Encoder
	date     func(*bus.Found) int64
	line     frameLine
	printed  func(*bus.Found) // print, made once: there is a call for each character
	err      error            // of printing
}

func newFrames(p *bus.Protocol, lines *json.Encoder, tap string, date func(*bus.Found) int64) *frames {
	f := &frames{protocol: p, framer: p.NewFramer(), lines: lines, date: date, line: frameLine{Tap: tap, Frame: shownFrame{protocol: p}}}
	f.printed = f.print
	return f
}

func (f *frames) feed(p []byte, at int64, bad bool) { f.framer.Feed(p, at, bad, f.printed) }

func (f *frames) print(x *bus.Found) {
	f.line.T, f.line.Offset = f.date(x), x.Offset
	f.protocol.Decode(x.Raw, &f.line.Frame.Frame)
	f.line.Frame.Bad = x.Bad
	if err := f.lines.Encode(&f.line); f.err == nil {
		f.err = err
	}
}

// byDate dates a frame as its last byte was fed.
func byDate(x *bus.Found) int64 { return x.At }

// end is the account once no more comes.
func (f *frames) end(tap string) *busAccount {
	f.framer.Reset()
	return &busAccount{tap: tap, Account: f.framer.Account()}
}

// busAccount is where the bytes of one bus went.
type busAccount struct {
	tap string // "" where there is one only
	bus.Account
	more string // what else there is to report
}

func (a *busAccount) items() int64 { return a.Frames }
func (a *busAccount) what() string { return "frame" }

func (a *busAccount) sentence() string {
	s := fmt.Sprintf("%d bytes, %d frames, %d bytes refused", a.In, a.Frames, a.Refused.Total())
	if why := refusals(a.Refused[:], func(r int) bus.Reason { return bus.Reason(r) }); why != "" {
		s += ": " + why
	}
	if a.OddFlags > 0 {
		s += fmt.Sprintf("; %d frames with flag bits that have no common meaning", a.OddFlags)
	}
	if a.tap != "" {
		s = a.tap + ": " + s
	}
	return s + a.more
}
