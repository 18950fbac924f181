package main

import (
	"encoding/json"
	"fmt"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/servobus"
	"benchproof.example/decode/uart"
	"benchproof.example/decode/waveform"
)

// bus prints the frames of a servo bus, out of the edges of its line.
type bus struct {
	frames frames
	rate   edge.Rate
	line   characters
	at     func() int64 // the tick up to which the file reports
	see    func(*uart.Char)
	bad    int64
	one    [1]byte
}

// characters are a decoder whose polarity is known, or one that finds it.
type characters interface {
	Edge(e edge.Edge, take func(*uart.Char))
	Until(tick int64, take func(*uart.Char))
}

// newBus decodes a line. inverted: as the bus leaves the receiver, idle low, "yes";
// behind an inverter, idle high, "no"; "auto" finds out.
func newBus(r *waveform.Reader, lines *json.Encoder, inverted string) (*bus, error) {
	b := &bus{rate: r.Rate(), frames: frames{lines: lines, date: byDate}, at: func() int64 { return r.Account().Last }}
	b.see = b.char
	format := uart.ServoBus
	format.Inverted = inverted == "yes"
	var err error
	if inverted == "auto" {
		b.line, err = uart.NewAuto(b.rate, format)
	} else {
		b.line, err = uart.NewDecoder(b.rate, format)
	}
	if err != nil {
		return nil, &choiceError{"the file's times are too coarse for a bus: " + err.Error()}
	}
	return b, nil
}

func (b *bus) take(e *waveform.Event) error {
	b.line.Edge(e.Edge, b.see)
	return b.frames.err
}

func (b *bus) char(c *uart.Char) {
	if c.Bad() {
		b.bad++
	}
	b.one[0] = c.Byte
	b.frames.feed(b.one[:], b.rate.Nanos(c.At), c.Bad())
}

func (b *bus) end(more string) (account, error) {
	if found, ok := b.line.(*uart.Auto); ok {
		found.End(b.see)
		if inverted, _ := found.Inverted(); inverted {
			more = "; the line idles low, as a servo bus does" + more
		} else {
			more = "; the line idles high, as behind an inverter" + more
		}
	}
	b.line.Until(b.at(), b.see)
	a := b.frames.end("")
	a.more = fmt.Sprintf("; %d characters with bad parity, framing or level%s", b.bad, more)
	if a.Frames == 0 && a.In > servobus.FrameLen {
		a.more += "; is it a servo bus (100000 8E2)?"
	}
	return a, b.frames.err
}
