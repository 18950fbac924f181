// Package timeline keeps the events of a session as a journal: one event a line,
// in order, each line sealed with a checksum as package crclog does it.
//
//	{"format":1,"seq":12,"t_ns":12345678900,"from_ns":12331000000,
//	 "at":"2026-05-02T09:14:03.345Z","kind":"mode.asked","about":"stabiliser",
//	 "data":{...},"crc":"9f1c22aa"}
//
// on one line, members in this order. format is the version of the lines. seq
// counts events from 1. t_ns and from_ns are bench time in ns: when it became a
// fact, and its onset. at is the wall clock at t_ns, UTC, milliseconds, cut and
// not rounded. kind says what happened, about whom or what it concerns, and data
// is an object that the kind defines, {} where it defines none. Programs may add
// members; readers pass over those they don't know.
package timeline

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"time"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/event"
)

// Format is the version of the lines that this program writes.
const Format = 1

// atLayout is how a line shows the wall clock; Go's formatting cuts digits.
const atLayout = "2006-01-02T15:04:05.000Z"

// Line appends the journal line of an event to dst, newline included. wall is
// the wall clock at e.At, Unix ns. After an error dst is as it was.
func Line(dst []byte, e *event.Event, wall int64) ([]byte, error) {
	data, err := object(e.Data)
	if err != nil {
		return dst, fmt.Errorf("render event %d (%s): %w", e.Seq, e.Kind, err)
	}
	kind, err := plainJSON(e.Kind)
	if err != nil {
		return dst, fmt.Errorf("render event %d: %w", e.Seq, err)
	}
	about, err := plainJSON(e.About)
	if err != nil {
		return dst, fmt.Errorf("render event %d: %w", e.Seq, err)
	}
	b := make([]byte, 0, 192+len(data))
	b = strconv.AppendInt(append(b, `{"format":`...), Format, 10)
	b = strconv.AppendInt(append(b, `,"seq":`...), e.Seq, 10)
	b = strconv.AppendInt(append(b, `,"t_ns":`...), int64(e.At), 10)
	b = strconv.AppendInt(append(b, `,"from_ns":`...), int64(e.From), 10)
	b = time.Unix(0, wall).UTC().AppendFormat(append(b, `,"at":"`...), atLayout)
	b = append(append(b, `","kind":`...), kind...)
	b = append(append(b, `,"about":`...), about...)
	b = append(append(b, `,"data":`...), data...)
	b = append(b, '}')
	long := crclog.Append(dst, b)
	if length := len(long) - len(dst) - 1; length > crclog.MaxLine {
		return dst, fmt.Errorf("render event %d (%s): got a line of %d bytes, want at most %d", e.Seq, e.Kind, length, crclog.MaxLine)
	}
	return long, nil
}

// object renders the data of an event. None is an empty object.
func object(data any) ([]byte, error) {
	if data == nil {
		return []byte("{}"), nil
	}
	b, err := plainJSON(data)
	if err != nil {
		return nil, err
	}
	if string(b) == "null" {
		return []byte("{}"), nil
	}
	if b[0] != '{' {
		return nil, fmt.Errorf("got data of type %T, which is no JSON object", data)
	}
	return b, nil
}

// plainJSON renders a value on one line and leaves <, > and & readable.
func plainJSON(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), nil
}
