package main

import (
	"encoding/json"
	"fmt"

	"benchproof.example/decode/servobus"
)

// frameLine is a line of decode.
type frameLine struct {
	T      int64     `json:"t_ns"`
	Tap    string    `json:"tap,omitempty"` // of a recording with several buses
	Offset int64     `json:"offset"`
	Frame  frameJSON `json:"frame"`
}

type frameJSON struct {
	Counts    [servobus.Channels]uint16 `json:"counts"`
	Ch17      bool                      `json:"ch17"`
	Ch18      bool                      `json:"ch18"`
	FrameLost bool                      `json:"frame_lost"`
	Failsafe  bool                      `json:"failsafe"`
	Footer    uint8                     `json:"footer"`
	Bad       bool                      `json:"bad"`
}

func toJSON(f *servobus.Frame) frameJSON {
	return frameJSON{f.Counts, f.Ch17(), f.Ch18(), f.FrameLost(), f.Failsafe(), f.Footer, f.Bad}
}

// frames prints the frames of one bus.
type frames struct {
	framer servobus.Framer
	lines  *json.Encoder
	tap    string // "" where there is one bus only
	date   func(*servobus.Found) int64
	err    error // of printing
}

func (f *frames) feed(p []byte, at int64, bad bool) { f.framer.Feed(p, at, bad, f.print) }

func (f *frames) print(x *servobus.Found) {
	var frame servobus.Frame
	frame.Decode(x.Raw)
	frame.Bad = x.Bad
	line := frameLine{T: f.date(x), Tap: f.tap, Offset: x.Offset, Frame: toJSON(&frame)}
	if err := f.lines.Encode(line); f.err == nil {
		f.err = err
	}
}

// byDate dates a frame as its last byte was fed.
func byDate(x *servobus.Found) int64 { return x.At }

// end is the account once no more comes.
func (f *frames) end(tap string) *busAccount {
	f.framer.Reset()
	return &busAccount{tap: tap, Account: f.framer.Account()}
}

// busAccount is where the bytes of one bus went.
type busAccount struct {
	tap string // "" where there is one only
	servobus.Account
	more string // what else there is to report
}

func (a *busAccount) items() int64 { return a.Frames }
func (a *busAccount) what() string { return "frame" }

func (a *busAccount) sentence() string {
	s := fmt.Sprintf("%d bytes, %d frames, %d bytes refused", a.In, a.Frames, a.RefusedTotal())
	if why := refusals(a.Refused[:], func(r int) servobus.Reason { return servobus.Reason(r) }); why != "" {
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
