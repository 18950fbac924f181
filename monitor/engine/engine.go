// Package engine takes dated inputs one after the other, lets
// the decoder of each tap make observations of them and the watchers make
// events of those. It is deterministic: the same inputs give the same events,
// byte for byte, whether they come from the bench or from a recording. It knows
// neither.
package engine

import (
	"encoding/json"
	"maps"
	"slices"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch"
	"benchproof.example/monitor/watch/base"
)

// EventFunc gets each event with the wall clock (Unix ns) of its At. The event is
// lent for the call.
type EventFunc func(e *event.Event, wall int64)

// Engine judges the inputs of one session against one sheet. It is for one
// goroutine.
type Engine struct {
	OnFault func(*Fault) // nil, or gets each fault of ours, once its event is reported

	sheet     *sheet.Sheet
	onEvent   EventFunc
	taps      []event.TapName
	view      base.View
	decoders  []decoder // by tap
	watchers  []base.Watcher
	book      *claim.Book
	saved     json.RawMessage // the book as it was when the recording stopped
	now       unit.Time
	lastInput unit.Time // date of the latest input
	sure      unit.Time // until when what lay waiting in the latest hole may still come
	seq       int64
	runs      int64 // how often the session was begun or resumed
	faults    int64 // of judgement
	event     event.Event

	emit  event.Emit // made once, so that no frame costs an allocation
	sight func(*event.Observation)
}

// New makes a bench for a sheet. It knows no tap until a Begin or Resume input
// names them.
func New(s *sheet.Sheet, hear EventFunc) *Engine {
	b := &Engine{sheet: s, onEvent: hear, book: claim.New(s)}
	b.emit = b.publish
	b.sight = func(o *event.Observation) {
		for _, w := range b.watchers {
			w.See(o, &b.view, b.emit)
		}
	}
	b.restart()
	return b
}

// Seq is the number of the latest event.
func (b *Engine) Seq() int64 { return b.seq }

// Now is the date of the latest input or deadline.
func (b *Engine) Now() unit.Time { return b.now }

// Claims are the claims of the sheet, in its order, as judged so far. They are
// the bench's own: read them between steps, on the same goroutine.
func (b *Engine) Claims() []*claim.Claim { return b.book.Claims() }

// View is what the watchers know. It is the bench's own: read it between steps,
// on the same goroutine, and keep nothing of it.
func (b *Engine) View() *base.View { return &b.view }

// Step judges one input: first the deadlines that passed before it, earliest
// first and of equal ones in the order of the list, then the input itself. A
// fault of ours in there becomes an event, and judgement starts afresh.
func (b *Engine) Step(in *event.Input) {
	defer b.recoverFault(in)
	b.prepare(in)
	if in.Kind != event.Resume { // nobody listened when those passed
		b.expire(in)
	}
	b.now, b.lastInput = max(b.now, in.At), in.At
	if int(in.Tap) < len(b.decoders) {
		b.decoders[in.Tap].Step(in, b.sight)
	}
	if in.Kind == event.Resume { // what was under way has been reported
		b.restart()
	}
}

const (
	// noInputs is how long no input at all may come until nobody may have been listening:
	// a computer that stands still reads nothing.
	noInputs = 50 * unit.Millisecond
	// catchUp is how long it may take until what lay waiting meanwhile is read, behind
	// the first input, on a computer that has all else to catch up with too.
	catchUp = 200 * unit.Millisecond
)

// expire lets the deadlines expire that passed before an input. One that passed in a
// hole in all inputs waits until what lay waiting has been read, which may lift it:
//
//	inputs    | | | |                     ||||| | | | |
//	deadline             x                <-reading->^ believed
//
// At the end of a sitting nothing more can come, and all that passed have.
func (b *Engine) expire(in *event.Input) {
	before := in.At
	if in.At.Sub(b.lastInput) > noInputs && in.Kind != event.End {
		before = b.lastInput
	}
	for w := b.next(before); w != nil && (b.sure < in.At || in.Kind == event.End); w = b.next(before) {
		b.now = max(b.now, w.Due(), min(b.sure, in.At))
		w.Expire(b.now, &b.view, b.emit)
	}
	if before < in.At {
		b.sure = in.At.Add(catchUp)
	}
}

// next is the watcher whose deadline passed first before t, or nil.
func (b *Engine) next(t unit.Time) (first base.Watcher) {
	for _, w := range b.watchers {
		if due := w.Due(); due < t {
			first, t = w, due
		}
	}
	return first
}

// prepare prepares for inputs that change more than they say.
func (b *Engine) prepare(in *event.Input) {
	switch in.Kind {
	case event.Begin, event.Resume:
		var s event.Start
		_ = json.Unmarshal(in.Data, &s) // recordings are checked where they are read
		b.taps = s.Taps
		b.runs++
		b.seq = max(b.seq, s.Seq-1)
		if in.Kind == event.Begin {
			b.restart()
		}
	case event.RecordingGap:
		var g event.Gap
		_ = json.Unmarshal(in.Data, &g)
		if g.Ended {
			// A replay knows nothing of the gap, not even whose deadlines
			// passed in it. What only the gap showed proves nothing.
			b.seq = max(b.seq, g.Seq-1)
			b.lastInput, b.sure = in.At, in.At
			b.restart()
			b.reload()
		} else {
			b.saved, _ = json.Marshal(b.book) // of plain fields: it can't fail
		}
	}
}

// reload puts the claims back to where they were when the recording stopped.
func (b *Engine) reload() {
	if b.saved == nil {
		return
	}
	b.book = claim.New(b.sheet)
	_ = json.Unmarshal(b.saved, b.book) // our own of a moment ago
	b.saved = nil
}

func (b *Engine) restart() {
	wall := b.view.Wall
	b.view = base.NewView(b.sheet, b.taps)
	b.view.Wall = wall
	b.watchers = append(watch.For(&b.view), newDrills(&b.view))
	before := b.decoders
	b.decoders = []decoder{passOn{}}
	for i, t := range b.taps {
		var was decoder
		if i+1 < len(before) {
			was = before[i+1]
		}
		b.decoders = append(b.decoders, decoderFor(t, was))
	}
}

// publish numbers and dates an event, hands it on and lets the claims see it.
func (b *Engine) publish(kind string, from unit.Time, about string, data any) {
	b.seq++
	b.event = event.Event{Seq: b.seq, At: b.now, From: min(from, b.now), Kind: kind, About: about, Data: data}
	b.onEvent(&b.event, b.view.Wall+int64(b.now))
	if kind == event.VerdictChanged {
		return
	}
	e := b.event
	b.book.See(&e, func(c *claim.Claim, was claim.Verdict) {
		b.publish(event.VerdictChanged, e.From, "claim:"+c.ID, event.VerdictData{
			Verdict: string(c.Verdict), Was: string(was), Sentence: c.Sentence,
			Evidence: slices.Clone(c.Evidence), Figures: maps.Clone(c.Figures),
		})
	})
}
