// Package leads holds the watchers of the servo leads and of the capture board on them.
package leads

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	// boardSilent is how long no line of any kind comes until that is said: a board
	// speaks of itself each second, whatever the leads do.
	boardSilent = 3 * unit.Second
	boardQuiet  = unit.Second      // without trouble: the run of it is over
	boardLong   = 10 * unit.Second // a run that goes on is reported in pieces of this length
)

// Board says when the lines of a capture board come, when they stop, and what was
// lost between board and computer. It runs on dates.
//
//	lines    | | | | | | x | x | |                     | | |
//	           ^ heard     ^---^ lost     ^ silent     ^ heard
//	                                   (onset: the last line)
//
// What is refused before the board first spoke of itself is no trouble: a tap that
// opens in the middle hears half a line, and pulses whose tick is not known yet.
type Board struct {
	Tap      uint8
	Up       bool // the tap is up and nothing has been said about its silence
	Heard    bool // lines come
	Before   bool // lines came in this session,
	Begun    bool // and since the tap came up, or that they don't was reported
	Since    unit.Time
	Last     unit.Time     // date of the last line
	Tick     unit.Duration // as the board reported
	Restarts int           // since the tap came up

	Open  bool // trouble is under way
	Lost  event.BoardLostData
	First unit.Time // of it
	Late  unit.Time
}

// See implements Watcher.
func (b *Board) See(o *event.Observation, v *base.View, emit event.Emit) {
	switch {
	case base.TapClosed(o, b.Tap):
		b.close(v, emit)
		b.Up, b.Heard, b.Begun, b.Restarts = false, false, false, 0
	case o.Tap != b.Tap:
	case o.Kind == event.InputTapUp:
		b.Up, b.Since = true, o.At
	case o.Kind == event.LinesLost:
		b.trouble(o)
	case o.Kind == event.BoardStatus:
		b.Tick = o.Board.Tick
		b.line(o, v, emit)
	case o.Kind == event.PulseSeen:
		b.line(o, v, emit)
	}
}

func (b *Board) line(o *event.Observation, v *base.View, emit event.Emit) {
	if !b.Heard {
		d := event.BoardHeardData{TickNS: b.Tick, Restarts: b.Restarts}
		if b.Before {
			d.SilentNS = o.Wire.Sub(b.Last)
		}
		b.Open = b.Open && b.Begun
		b.Heard, b.Before, b.Begun = true, true, true
		emit(event.BoardHeard, o.Wire, v.Taps[b.Tap].About(), d)
	}
	b.Up, b.Since, b.Last = true, o.At, o.Wire
}

func (b *Board) trouble(o *event.Observation) {
	if !b.Open {
		b.Open, b.First, b.Lost = true, o.At, event.BoardLostData{Refused: map[string]int64{}}
	}
	b.Late = o.At
	b.Restarts += int(o.Lost.Restarts)
	b.Lost.Lines += o.Lost.Lines
	b.Lost.Dropped += o.Lost.Dropped
	b.Lost.Restarts += o.Lost.Restarts
	for reason, n := range o.Lost.Refused {
		b.Lost.Refused[reason] += n
	}
}

func (b *Board) close(v *base.View, emit event.Emit) {
	if !b.Open {
		return
	}
	b.Open = false
	b.Lost.SpanNS = b.Late.Sub(b.First)
	emit(event.BoardLost, b.First, v.Taps[b.Tap].About(), b.Lost)
	b.Lost = event.BoardLostData{}
}

// Due implements base.Timed.
func (b *Board) Due() unit.Time {
	due := unit.Never
	if b.Up {
		due = b.Since.Add(boardSilent)
	}
	if b.Open {
		due = min(due, b.ends())
	}
	return due
}

// ends is when what is under way is reported.
func (b *Board) ends() unit.Time {
	if !b.Begun {
		return unit.Never
	}
	return min(b.Late.Add(boardQuiet), b.First.Add(boardLong))
}

// Expire implements base.Timed.
func (b *Board) Expire(at unit.Time, v *base.View, emit event.Emit) {
	if b.Open && at >= b.ends() {
		b.close(v, emit)
	}
	if !b.Up || at < b.Since.Add(boardSilent) {
		return
	}
	from := b.Last
	if !b.Before {
		from = b.Since
	}
	d := event.SilentData{LimitNS: boardSilent, Never: !b.Before}
	if !b.Begun { // nothing but what is refused: another rate, or no board
		for _, n := range b.Lost.Refused {
			d.Refused += n
		}
	}
	emit(event.BoardSilent, from, v.Taps[b.Tap].About(), d)
	if !b.Begun {
		b.close(v, emit)
	}
	b.Up, b.Heard, b.Begun = false, false, true
}
