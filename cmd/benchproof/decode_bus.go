package main

import (
	"encoding/json"
	"fmt"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/uart"
	"benchproof.example/decode/waveform"
)

// busLine prints the frames of a bus, out of the edges of its line.
type busLine struct {
	frames *frames
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

// newBus decodes a line. Where w does not say how its line idles, it finds out.
func newBus(r *waveform.Reader, lines *json.Encoder, w *wants) (*busLine, error) {
	b := &busLine{rate: r.Rate(), frames: newFrames(w.protocol, lines, "", byDate), at: func() int64 { return r.Account().Last }}
	b.see = b.char
	format := w.protocol.Line
	format.Inverted = w.invert == "yes"
	var err error
	if w.invert == "auto" {
		b.line, err = uart.NewAuto(b.rate, format)
	} else {
		b.line, err = uart.NewDecoder(b.rate, format)
	}
	if err != nil {
		return nil, &choiceError{"the file's times are too coarse for a bus: " + err.Error()}
	}
	return b, nil
}

func (b *busLine) take(e *waveform.Event) error {
	b.line.Edge(e.Edge, b.see)
	return b.frames.err
}

func (b *busLine) char(c *uart.Char) {
	if c.Bad() {
		b.bad++
	}
	b.one[0] = c.Byte
	b.frames.feed(b.one[:], b.rate.Nanos(c.At), c.Bad())
}

func (b *busLine) end(more string) (account, error) {
	if found, ok := b.line.(*uart.Auto); ok {
		found.End(b.see)
		if inverted, _ := found.Inverted(); inverted {
			more = "; the line idles low, " + b.idles(true) + more
		} else {
			more = "; the line idles high, " + b.idles(false) + more
		}
	}
	b.line.Until(b.at(), b.see)
	a := b.frames.end("")
	a.more = fmt.Sprintf("; %d characters with bad parity, framing or level%s", b.bad, more)
	if p := b.frames.protocol; a.Frames == 0 && a.In > int64(p.FrameLen) {
		line := p.Line
		line.Inverted = false
		a.more += fmt.Sprintf("; is it a %s (%v)?", p.Title, line)
	}
	return a, b.frames.err
}

// idles says whether a line idles as its protocol has it.
func (b *busLine) idles(low bool) string {
	if p := b.frames.protocol; p.Line.Inverted == low {
		return "as a " + p.Title + " does"
	}
	return "as behind an inverter"
}
