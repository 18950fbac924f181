package trace

import (
	"encoding/json"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// Sink takes what a fold makes. A tap is known by its index in the list of a session's taps.
type Sink interface {
	// Begin says which taps there are, before anything of them, and from which number on all
	// columns are given.
	Begin(taps []event.TapName, from int64)
	// Take takes a column, or nil for none, and that none before a number changes any more. Numbers
	// of a tap rise, but that the latest may come once more with more in it. It is lent for the call.
	Take(tap int, c *Column, passed int64)
}

// surely is how long after the end of a column nothing of it comes any more, as a rule: a read
// that is later than that is seldom.
const surely = unit.Second

// Fold makes columns of observations. It is for one goroutine; make one with NewFold.
type Fold struct {
	sheet   *sheet.Sheet
	sink    Sink
	width   []int16    // by count
	digital [][2]int16 // of each digital channel: off and on
	taps    []open
}

// open is a tap, and the column that is under way.
type open struct {
	column Column
	heard  bool      // there was a column: column is the latest
	fresh  bool      // the sink lacks something of it
	end    unit.Time // of it
	latest []int16   // widths of the latest frame by channel
	plain  bool      // the latest frame was not damaged, and is in latest
}

// NewFold makes a fold that knows no tap until a Begin or Resume input names them.
func NewFold(s *sheet.Sheet, to Sink) *Fold {
	f := &Fold{sheet: s, sink: to, width: make([]int16, min(s.Protocol.Range[1]+1, 1<<12))}
	for count := range f.width {
		f.width[count] = micros(s.Width(uint32(count)))
	}
	for n := s.Protocol.Channels + 1; n <= s.Protocol.LastChannel(); n++ {
		f.digital = append(f.digital, digital(s, n))
	}
	return f
}

// digital is what a digital channel has while it is off, and on.
func digital(s *sheet.Sheet, number int) (ends [2]int16) {
	if _, ok := s.Channel(number); !ok && !s.Listens {
		return [2]int16{NotHeard, NotHeard}
	}
	on := bus.Frame{Flags: bus.Digital(number - s.Protocol.Channels - 1)}
	ends = [2]int16{micros(base.Width(s, &bus.Frame{}, number)), micros(base.Width(s, &on, number))}
	if ends == [2]int16{} {
		ends[1] = 1
	}
	return ends
}

// Begin has a fold begin with observations from a column on, in a session with these taps.
func (f *Fold) Begin(taps []event.TapName, from int64) {
	f.Flush()
	f.taps = make([]open, len(taps))
	f.sink.Begin(taps, from)
}

// See takes an observation.
func (f *Fold) See(o *event.Observation) {
	switch o.Kind {
	case event.FrameSeen:
		f.frame(o)
	case event.PulseSeen:
		f.pulse(o)
	case event.InputBeat, event.InputEnd:
		f.pass(o.At)
	case event.InputBegin:
		f.start(o, int64(o.At)/int64(Step))
	case event.InputResume: // of this column something may have been heard before
		f.start(o, int64(o.At)/int64(Step)+1)
	}
}

func (f *Fold) start(o *event.Observation, from int64) {
	var s event.Start
	if json.Unmarshal(o.Data, &s) == nil {
		f.Begin(s.Taps, from)
	}
}

// Flush gives what is under way.
func (f *Fold) Flush() {
	for i := range f.taps {
		if t := &f.taps[i]; t.fresh {
			f.give(i, t.column.Number)
		}
	}
}

// pass follows a beat: of a tap that has fallen silent the latest column is complete.
func (f *Fold) pass(now unit.Time) {
	sure := int64(now.Add(-surely)) / int64(Step)
	for i := range f.taps {
		if t := &f.taps[i]; !t.heard || t.column.Number < sure {
			f.give(i, sure)
		}
	}
}

// give gives the latest column, if the sink lacks something of it.
func (f *Fold) give(tap int, passed int64) {
	t := &f.taps[tap]
	if t.fresh {
		f.sink.Take(tap, &t.column, passed)
	} else {
		f.sink.Take(tap, nil, passed)
	}
	t.fresh = false
}

func (f *Fold) frame(o *event.Observation) {
	tap := int(o.Tap) - 1
	if tap < 0 || tap >= len(f.taps) {
		return
	}
	t := &f.taps[tap]
	if o.Frame.Bad {
		t.plain = false
		return
	}
	same := o.Repeats && t.plain
	if same && t.fresh && o.Wire < t.end {
		return
	}
	if !same {
		f.read(t, o.Frame)
	}
	if f.at(tap, o.Wire) {
		t.column.Ends = append(t.column.Ends, t.latest...)
	} else {
		t.column.add(t.latest)
	}
}

// read keeps the widths of a frame.
func (f *Fold) read(t *open, frame *bus.Frame) {
	t.plain, t.latest = true, t.latest[:0]
	for i := range f.sheet.Protocol.Channels {
		width := int16(0)
		if count := frame.Counts[i]; int(count) < len(f.width) {
			width = f.width[count]
		} else {
			width = micros(f.sheet.Width(count))
		}
		t.latest = append(t.latest, width, width)
	}
	for i := range f.digital {
		width := f.digital[i][0]
		if frame.Digital(i) {
			width = f.digital[i][1]
		}
		t.latest = append(t.latest, width, width)
	}
}

func (f *Fold) pulse(o *event.Observation) {
	tap, i := int(o.Tap)-1, 2*(o.Pulse.Output-1)
	if tap < 0 || tap >= len(f.taps) || i < 0 {
		return
	}
	f.at(tap, o.Wire)
	c, width := &f.taps[tap].column, micros(o.Pulse.Width)
	c.grow(o.Pulse.Output)
	if c.Ends[i] == NotHeard || width < c.Ends[i] {
		c.Ends[i] = width
	}
	c.Ends[i+1] = max(c.Ends[i+1], width)
}

// Begins is when a column of a number begins.
func Begins(number int64) unit.Time { return unit.Time(number * int64(Step)) }

// at goes on to the column of a moment, and reports whether that is another one: it is empty then.
// Wire times of a tap never decrease but where decoding began afresh: what came before stays where
// it is.
func (f *Fold) at(tap int, wire unit.Time) (next bool) {
	t := &f.taps[tap]
	if next = !t.heard || wire >= t.end; next {
		number := int64(wire) / int64(Step)
		f.give(tap, number)
		t.column.Number, t.end, t.heard = number, Begins(number+1), true
		t.column.Ends = t.column.Ends[:0]
	}
	t.fresh = true
	return next
}
