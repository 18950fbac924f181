package session

import (
	"context"
	"errors"
	"io"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/trace"
	"benchproof.example/monitor/unit"
)

// pastColumns makes columns of what a recording has, up to a moment.
type pastColumns struct {
	trace.Sink // takes them

	sheet    *sheet.Sheet
	from     int64     // number of the first
	begins   unit.Time // it does
	to       int64     // number of the first that is not wanted
	end      unit.Time // which begins here
	decoding *engine.Decoding
	fold     *trace.Fold
	states   int64  // checkpoints that were looked at
	passed   []bool // by tap: something behind the end was heard
	over     bool
}

func newPastColumns(s *sheet.Sheet, from, to int64, into trace.Sink) *pastColumns {
	p := &pastColumns{
		sheet: s, from: from, to: to, begins: trace.Begins(from), end: trace.Begins(to), Sink: into,
	}
	p.fold = trace.NewFold(s, p)
	return p
}

// readAll reads a recording, from its beginning on, or from that of a later segment. It ends early
// once all is there, or where decoding could not begin before what is wanted.
func (p *pastColumns) readAll(ctx context.Context, r *recording.Reader, first bool) (began bool, err error) {
	if first {
		p.decoding = engine.NewDecoding(p.sheet.Protocol, p.fold.See)
	}
	var in event.Input
	for n := 0; !p.over; n++ {
		if n%traceCancelled == 0 && ctx.Err() != nil {
			return false, ctx.Err()
		}
		if err := r.Next(&in); errors.Is(err, io.EOF) {
			p.ended()
			break
		} else if err != nil {
			return false, err
		}
		if !p.begun() {
			p.begin(r)
		}
		if !p.begun() && !first && in.At >= p.begins {
			return false, nil
		}
		p.step(&in)
	}
	return first || p.begun(), nil
}

// Begin implements trace.Sink.
func (p *pastColumns) Begin(taps []event.TapName, from int64) {
	p.passed = make([]bool, len(taps))
	p.Sink.Begin(taps, from)
}

// Take implements trace.Sink.
func (p *pastColumns) Take(tap int, c *trace.Column, passed int64) {
	p.passed[tap] = p.passed[tap] || passed >= p.to
	if c != nil && c.Number >= p.to {
		c = nil
	}
	p.Sink.Take(tap, c, min(passed, p.to))
}

// begin begins with the checkpoint that a reader has just passed, if there is one, of this build,
// and before what is wanted.
func (p *pastColumns) begin(r *recording.Reader) {
	if r.Checkpoints() == p.states {
		return
	}
	p.states = r.Checkpoints()
	c, ok := r.Checkpoint()
	first := int64(c.At)/int64(trace.Step) + 1 // of the column before something may have been heard before
	if !ok || first > p.from {
		return
	}
	d, err := engine.RestoreDecoding(c.Engine, p.sheet.Protocol, p.fold.See)
	if err != nil {
		return // one before it may do
	}
	p.decoding = d
	p.fold.Begin(d.Taps(), first)
}

// begun reports whether it is known how decoding goes on.
func (p *pastColumns) begun() bool { return p.decoding != nil && len(p.decoding.Taps()) > 0 }

// step takes an input.
func (p *pastColumns) step(in *event.Input) {
	if p.decoding == nil {
		return
	}
	p.decoding.Step(in)
	if in.At < p.end {
		return
	}
	all := true
	for _, passed := range p.passed {
		all = all && passed
	}
	if all || in.At.Sub(p.end) > delivered {
		p.ended()
	}
}

// ended gives what is left.
func (p *pastColumns) ended() {
	p.over = true
	p.fold.Flush()
	for tap := range p.passed {
		p.Sink.Take(tap, nil, p.to)
	}
}
