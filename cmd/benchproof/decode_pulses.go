package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strconv"

	"benchproof.example/decode/pulse"
)

// pulseLine is a line of decode.
type pulseLine struct {
	T     int64     `json:"t_ns"`
	Tap   string    `json:"tap,omitempty"` // of a recording with several taps
	Pulse pulseJSON `json:"pulse"`
}

type pulseJSON struct {
	Output string `json:"output"`    // the signal of a waveform, the number of a capture board's input
	Width  int64  `json:"width_ns"`  //
	Period *int64 `json:"period_ns"` // from rise to rise; null for the first, or after something was lost
}

func pulseOf(p *pulse.Pulse, output string) pulseJSON {
	j := pulseJSON{Output: output, Width: p.Width}
	if period := p.Period; period != 0 { // the pulse is lent
		j.Period = &period
	}
	return j
}

// boardLines prints the pulses of one capture board.
type boardLines struct {
	reader pulse.BoardDecoder
	lines  *json.Encoder
	tap    string
	date   func(*pulse.Pulse) int64
	err    error // of printing
}

func (b *boardLines) feed(p []byte, bad bool) { b.reader.Feed(p, bad, b.print) }

func (b *boardLines) print(p *pulse.Pulse) {
	line := pulseLine{T: b.date(p), Tap: b.tap, Pulse: pulseOf(p, strconv.Itoa(p.Output))}
	if err := b.lines.Encode(line); b.err == nil {
		b.err = err
	}
}

func (b *boardLines) end(tap string) account {
	b.reader.Reset()
	return &boardAccount{tap, b.reader.Account()}
}

// boardClock dates pulses by their falling edges on the board's own clock, from
// the first rising edge on. A restart of that clock takes no time: how long it
// took nobody knows.
type boardClock struct {
	begun        bool
	epoch        int
	offset, last int64
}

func (c *boardClock) date(p *pulse.Pulse) int64 {
	if !c.begun || c.epoch != p.Epoch {
		c.begun, c.epoch, c.offset = true, p.Epoch, c.last-p.Rise
	}
	t := p.Rise + p.Width + c.offset
	c.last = max(c.last, t)
	return t
}

// decodeLines decodes the lines of a capture board.
func decodeLines(in io.Reader, lines *json.Encoder) ([]account, error) {
	var clock boardClock
	out := boardLines{lines: lines, date: clock.date}
	err := pieces(in, func(p []byte) error {
		out.feed(p, false)
		return out.err
	})
	return []account{out.end("")}, err
}

// boardAccount is where the bytes of one capture board went.
type boardAccount struct {
	tap string // "" where there is one only
	pulse.Account
}

func (a *boardAccount) items() int64 { return a.Pulses }
func (a *boardAccount) what() string { return "pulse" }

func (a *boardAccount) sentence() string {
	s := fmt.Sprintf("%d bytes, %d pulses, %d bytes refused", a.In, a.Pulses, a.RefusedTotal())
	if why := refusals(a.Refused[:], func(r int) pulse.Reason { return pulse.Reason(r) }); why != "" {
		s += ": " + why
	}
	for _, c := range []struct {
		n    int64
		what string
	}{{a.Lost, "lines lost"}, {a.Dropped, "pulses that the board could not tell"}, {a.Restarts, "restarts of the board"}} {
		if c.n > 0 {
			s += fmt.Sprintf("; %d %s", c.n, c.what)
		}
	}
	if a.tap != "" {
		s = a.tap + ": " + s
	}
	return s
}
