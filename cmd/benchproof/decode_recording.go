package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/protocols"
	"benchproof.example/decode/pulse"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

// recorded decodes the taps of a recording, each item dated as its last byte was
// read.
type recorded struct {
	lines  *json.Encoder
	wants  *wants
	names  []event.TapName
	now    unit.Time
	buses  map[uint8]*frames
	boards map[uint8]*boardLines
}

// inputs are those of a recording.
type inputs interface {
	Next(in *event.Input) error
	Taps() []event.TapName
	Damages() []recording.Damage
	Tail() (offset int64, torn bool)
}

// hurtError says where a recording could not be believed; what else is in it was decoded.
type hurtError struct{ places []string }

func (e *hurtError) Error() string {
	return "the recording is hurt: what could be read of it was decoded"
}

// hurt is a hurtError, or nil for a recording that is whole.
func hurt(r inputs) error {
	var e hurtError
	for _, d := range r.Damages() {
		e.places = append(e.places, fmt.Sprintf("the recording is damaged %s", d))
	}
	if at, torn := r.Tail(); torn {
		e.places = append(e.places, fmt.Sprintf("the recording ends in the middle of an input, at byte %d: its end was never written", at))
	}
	if e.places == nil {
		return nil
	}
	return &e
}

func decodeRecording(ctx context.Context, r inputs, lines *json.Encoder, w *wants) ([]account, error) {
	d := &recorded{lines: lines, wants: w, buses: map[uint8]*frames{}, boards: map[uint8]*boardLines{}}
	var input event.Input
	for {
		err := r.Next(&input)
		if errors.Is(err, io.EOF) {
			return d.accounts(), hurt(r)
		}
		if err == nil {
			if d.names == nil { // a span of a recording: nothing begins in it
				d.names = r.Taps()
			}
			err = errors.Join(ctx.Err(), d.take(&input))
		}
		if err != nil {
			return nil, err
		}
	}
}

func (d *recorded) take(in *event.Input) error {
	d.now = in.At
	switch in.Kind {
	case event.InputBegin, event.InputResume:
		var s event.Start
		if err := json.Unmarshal(in.Data, &s); err != nil {
			return fmt.Errorf("a session's start: %w", err)
		}
		d.names = s.Taps
	case event.InputTapDown:
		if f := d.buses[in.Tap]; f != nil {
			f.framer.Reset()
		}
		if b := d.boards[in.Tap]; b != nil {
			b.reader.Reset()
		}
	case event.InputBytes, event.InputBadBytes:
		return d.bytes(in)
	}
	return nil
}

func (d *recorded) bytes(in *event.Input) error {
	bad := in.Kind == event.InputBadBytes
	switch kind := d.kind(in.Tap); {
	case d.wants.as != "" && d.wants.as != kind:
	case kind == asPulses:
		b := d.boards[in.Tap]
		if b == nil {
			b = &boardLines{lines: d.lines, tap: d.tap(in.Tap), date: func(*pulse.Pulse) int64 { return int64(d.now) }}
			d.boards[in.Tap] = b
		}
		b.feed(in.Data, bad)
		return b.err
	default:
		f := d.buses[in.Tap]
		if f == nil {
			p, err := d.protocol(in.Tap)
			if err != nil {
				return err
			}
			f = newFrames(p, d.lines, d.tap(in.Tap), byDate)
			d.buses[in.Tap] = f
		}
		f.feed(in.Data, int64(in.At), bad)
		return f.err
	}
	return nil
}

// kind is what a tap hears: a bus unless the recording says pulses.
func (d *recorded) kind(tap uint8) string {
	if int(tap) <= len(d.names) && tap > 0 && d.names[tap-1].Kind == asPulses {
		return asPulses
	}
	return asBus
}

// protocol is that of a tap: the one asked for, else what the recording names. A
// recording that names none is of the first.
func (d *recorded) protocol(tap uint8) (*bus.Protocol, error) {
	if d.wants.asked || int(tap) > len(d.names) || tap == 0 {
		return d.wants.protocol, nil
	}
	named := &d.names[tap-1]
	p, known := protocols.Find(named.Protocol)
	if !known {
		return nil, &choiceError{fmt.Sprintf("tap %s has the protocol %s, which this program does not know; want one with --protocol: %s",
			named.Name, named.Protocol, strings.Join(protocols.All().Names(), ", "))}
	}
	return p, nil
}

// tap is the name that lines carry where there are several taps.
func (d *recorded) tap(n uint8) string {
	if len(d.names) > 1 && int(n) <= len(d.names) && n > 0 {
		return d.names[n-1].Name
	}
	return ""
}

func (d *recorded) accounts() (out []account) {
	for i, t := range d.names {
		if f := d.buses[uint8(i+1)]; f != nil {
			out = append(out, f.end(t.Name))
		}
		if b := d.boards[uint8(i+1)]; b != nil {
			out = append(out, b.end(t.Name))
		}
	}
	return out
}
