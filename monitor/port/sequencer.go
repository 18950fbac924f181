// Package port is where inputs come from: ports that come and go, files, and the
// sequencer, which gives all inputs of a sitting one order and one clock.
package port

import (
	"strconv"
	"sync"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// Limits of what may wait for a consumer. At the full speed of a bus, waiting
// bytes are many minutes.
const (
	maxWaiting = 32 << 20 // bytes of data, and inputHead for each input
	inputHead  = 32
)

// gatherTime is how long inputs are collected before the readers are woken: a wake-up
// costs more than judging and recording what came (see BenchmarkReading). What is
// shown is late by so much; no date is.
const gatherTime = 50 * unit.Millisecond

// hurriedTime is the same while somebody looks closely: about a frame.
const hurriedTime = 10 * unit.Millisecond

// Consumer names one of the two that read every input: each takes all of them, in
// the same order, at its own pace.
type Consumer int

// The readers.
const (
	Recorder Consumer = iota
	Judge
	readers
)

// Sequencer dates inputs and queues them under one lock, so that the order of
// the dates, of the recording and of judgement is the same. A reader of a port
// never waits for a disk here: Put only appends.
type Sequencer struct {
	clock func() int64 // ns; goes on while the machine sleeps

	mu              sync.Mutex
	changed         sync.Cond
	gather          unit.Duration
	silence         *time.Timer // wakes the readers where no further input does
	zero            int64       // clock at bench time 0
	last            unit.Time
	next            int64 // number of the next input
	open            *Batch
	opened          unit.Time // date of the open batch's first input; Never once the readers were woken
	inputs          int       // in the batch before, and bytes in it: the next is likely alike
	bytes           int
	waiting         [readers][]*Batch
	size            [readers]int // of what waits
	recorderOff     bool         // the recorder is not given anything
	recorderOffFrom int64        // number of the first input that it was not given
	lost            [256]int64   // bytes that found no room, by tap
	closed          bool
}

// Batch is a run of inputs. It is read-only once it was taken.
type Batch struct {
	First int64 // number of the first input
	list  []entry
	arena []byte
}

type entry struct {
	at       unit.Time
	tap      uint8
	kind     event.InputKind
	from, to int
}

// Len is the number of inputs.
func (b *Batch) Len() int { return len(b.list) }

// Input is the i-th input; its Data belongs to the batch.
func (b *Batch) Input(i int) event.Input {
	e := &b.list[i]
	return event.Input{At: e.at, Tap: e.tap, Kind: e.kind, Data: b.arena[e.from:e.to:e.to]}
}

// NewSequencer makes a sequencer whose next input is dated at the earliest now
// and numbered next. clock is in ns and must not run backwards.
func NewSequencer(clock func() int64, now unit.Time, next int64) *Sequencer {
	s := &Sequencer{clock: clock, zero: clock() - int64(now), last: now, next: next, gather: gatherTime}
	s.changed.L = &s.mu
	s.silence = time.AfterFunc(time.Duration(2*gatherTime), s.changed.Broadcast)
	return s
}

// Put dates an input and queues it. It copies data and never waits. number is the
// input's; taken is false after Close, and where too much waits already.
func (s *Sequencer) Put(tap uint8, kind event.InputKind, data []byte) (number int64, taken bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return 0, false
	}
	if s.size[Judge]+len(data)+inputHead > maxWaiting {
		s.lost[tap] += int64(max(1, len(data)))
		return 0, false
	}
	if n := s.lost[tap]; n > 0 {
		s.lost[tap] = 0
		s.append(tap, event.InputOverrun, strconv.AppendInt(nil, n, 10))
	}
	s.append(tap, kind, data)
	return s.next - 1, true
}

func (s *Sequencer) append(tap uint8, kind event.InputKind, data []byte) {
	// Whole microseconds: what the recording's headers carry.
	s.last = max(s.last, unit.Time(s.clock()-s.zero).Truncate(unit.Microsecond))
	if s.open == nil {
		s.open = &Batch{First: s.next, list: make([]entry, 0, s.inputs), arena: make([]byte, 0, s.bytes)}
		s.opened = s.last
		s.silence.Reset(time.Duration(2 * s.gather))
	}
	from := len(s.open.arena)
	s.open.arena = append(s.open.arena, data...)
	s.open.list = append(s.open.list, entry{s.last, tap, kind, from, len(s.open.arena)})
	s.next++
	for r := range s.size {
		if s.opensFor(Consumer(r)) {
			s.size[r] += len(data) + inputHead
		}
	}
	// By the input that comes anyway, not by a timer, which would be a wake-up of
	// its own.
	if s.last.Sub(s.opened) >= s.gather {
		s.opened = unit.Never
		s.changed.Broadcast()
	}
}

// Hurry has the readers woken sooner, or again at ease.
func (s *Sequencer) Hurry(yes bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.gather = gatherTime
	if yes {
		s.gather = hurriedTime
	}
}

// Take is the next batch for a reader; nil where there is none yet, and for good once
// ended says so: after Close, when all is taken.
func (s *Sequencer) Take(r Consumer) (b *Batch, ended bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.seal()
	q := s.waiting[r]
	if len(q) == 0 {
		return nil, s.closed
	}
	b, s.waiting[r] = q[0], q[1:]
	s.size[r] -= len(b.arena) + inputHead*len(b.list)
	return b, false
}

// Wait returns when Take has something to say to a reader: a batch, or that it is the
// end.
func (s *Sequencer) Wait(r Consumer) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for len(s.waiting[r]) == 0 && !s.opensFor(r) && !s.closed {
		s.changed.Wait()
	}
}

// opensFor reports whether the open batch is given to a reader once it is sealed.
func (s *Sequencer) opensFor(r Consumer) bool {
	return s.open != nil && (r != Recorder || !s.recorderOff)
}

// seal hands the open batch to the readers.
func (s *Sequencer) seal() {
	if s.open == nil {
		return
	}
	for r := range s.waiting {
		if s.opensFor(Consumer(r)) {
			s.waiting[r] = append(s.waiting[r], s.open)
		}
	}
	s.inputs, s.bytes = len(s.open.list), len(s.open.arena)
	s.open = nil
}

// StopRecorder queues a last input and then gives the recorder nothing more. It does
// nothing if the recorder is deaf already.
func (s *Sequencer) StopRecorder(kind event.InputKind, data []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.recorderOff || s.closed {
		return
	}
	s.append(event.BenchTap, kind, data)
	s.seal()
	s.recorderOff, s.recorderOffFrom = true, s.next
}

// ResumeRecorder queues an input with which the recorder hears again, but only if the
// recorder has written all it was given (written is the number of the input
// after that) and the judge has taken all there is, so that what the input says
// of the judge is true. data gets the number of inputs that went unrecorded.
func (s *Sequencer) ResumeRecorder(kind event.InputKind, written int64, data func(unheard int64) []byte) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	caughtUp := s.open == nil && len(s.waiting[Judge]) == 0 && written >= s.recorderOffFrom
	if !s.recorderOff || s.closed || !caughtUp {
		return false
	}
	s.recorderOff = false
	unheard := s.next - s.recorderOffFrom
	s.next = s.recorderOffFrom // the recording numbers what it holds
	s.append(event.BenchTap, kind, data(unheard))
	return true
}

// RecorderBehind reports that more waits for the recorder than may: its disk answers, but
// takes less than comes in, so it is to be given no more for a while.
func (s *Sequencer) RecorderBehind() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return !s.recorderOff && s.size[Recorder] > maxWaiting
}

// RecorderOff reports that the recorder is given nothing.
func (s *Sequencer) RecorderOff() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.recorderOff
}

// Now is the bench time.
func (s *Sequencer) Now() unit.Time {
	s.mu.Lock()
	defer s.mu.Unlock()
	return max(s.last, unit.Time(s.clock()-s.zero))
}

// Close queues a last input, unless its kind is 0, and lets the readers take
// what is left.
func (s *Sequencer) Close(kind event.InputKind) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return
	}
	if kind != 0 {
		s.append(event.BenchTap, kind, nil)
	}
	s.seal()
	s.closed = true
	s.silence.Stop()
	s.changed.Broadcast()
}
