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

	"benchproof.example/monitor/account"
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
	OnFault func(*InternalFault) // nil, or gets each fault of ours, once its event is reported
	// OnSight is nil, or gets each observation behind its judgement. It must not panic, and
	// changes nothing.
	OnSight func(*event.Observation)

	sheet       *sheet.Sheet
	onEvent     EventFunc
	taps        []event.TapName
	view        base.View
	decoders    []decoder // by tap
	audience    audience
	drills      *drills // the last of the audience
	book        *claim.Book
	account     *account.Account
	saved       json.RawMessage // the book as it was when the recording stopped,
	savedToo    json.RawMessage // and the account,
	savedWall   int64           // and the wall clock, as in base.View,
	savedPapers []event.Paper   // and the papers
	now         unit.Time
	lastInput   unit.Time // date of the latest input
	sure        unit.Time // until when what lay waiting in the latest hole may still come
	seq         int64
	runs        int64 // how often the session was begun or resumed
	faults      int64 // of judgement
	wakeful     bool
	event       event.Event

	emit  event.Emit // made once, so that no frame costs an allocation
	sight func(*event.Observation)
}

// New makes an engine for a sheet. It knows no tap until a Begin or Resume input
// names them.
func New(s *sheet.Sheet, hear EventFunc) *Engine {
	e := &Engine{sheet: s, onEvent: hear, book: claim.New(s), account: account.New(s)}
	e.emit = e.publish
	e.sight = func(o *event.Observation) {
		if !e.account.Listened(o) {
			e.audience.wake(&e.view)
			e.account.Stood(o.At, &e.view)
		}
		e.audience.see(o, &e.view, e.emit)
		if e.account.Counts(o, &e.view) {
			e.audience.wake(&e.view)
		}
		e.account.See(o, &e.view, e.emit)
		if e.OnSight != nil {
			e.OnSight(o)
		}
	}
	e.restart()
	return e
}

// Seq is the number of the latest event.
func (e *Engine) Seq() int64 { return e.seq }

// Now is the date of the latest input or deadline.
func (e *Engine) Now() unit.Time { return e.now }

// Claims are the claims of the sheet, in its order, as judged so far. They are
// the engine's own: read them between steps, on the same goroutine.
func (e *Engine) Claims() []*claim.Claim { return e.book.Claims() }

// View is what the watchers know. It is the engine's own: read it between steps,
// on the same goroutine, and keep nothing of it.
func (e *Engine) View() *base.View {
	e.audience.wake(&e.view)
	return &e.view
}

// KeepAwake has each frame shown to each watcher from here on (see base.Sleeper), which
// changes nothing but the time that it takes: a test compares with that.
func (e *Engine) KeepAwake() {
	e.wakeful = true
	e.audience.keepAwake(&e.view)
}

// Step judges one input: first the deadlines that passed before it, earliest
// first and of equal ones in the order of the list, then the input itself. A
// fault of ours in there becomes an event, and judgement starts afresh.
func (e *Engine) Step(in *event.Input) {
	defer e.recoverFault(in)
	e.prepare(in)
	if in.Kind != event.InputResume { // nobody listened when those passed
		e.expire(in)
	}
	e.now, e.lastInput = max(e.now, in.At), in.At
	if int(in.Tap) < len(e.decoders) {
		e.decoders[in.Tap].Step(in, e.sight)
	}
	switch in.Kind {
	case event.InputResume: // what was under way has been reported
		e.restart()
	case event.InputRecordingGap:
		e.save(in)
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
func (e *Engine) expire(in *event.Input) {
	before := in.At
	if in.At.Sub(e.lastInput) > noInputs && in.Kind != event.InputEnd {
		before = e.lastInput
	}
	for w := e.audience.next(before, &e.view); w != nil && (e.sure < in.At || in.Kind == event.InputEnd); w = e.audience.next(before, &e.view) {
		e.now = max(e.now, w.Due(), min(e.sure, in.At))
		w.Expire(e.now, &e.view, e.emit)
	}
	if before < in.At {
		e.sure = in.At.Add(catchUp)
	}
}

// prepare prepares for inputs that change more than they say.
func (e *Engine) prepare(in *event.Input) {
	switch in.Kind {
	case event.InputBegin, event.InputResume:
		var s event.Start
		_ = json.Unmarshal(in.Data, &s) // recordings are checked where they are read
		e.taps = s.Taps
		e.runs++
		e.seq = max(e.seq, s.Seq-1)
		if in.Kind == event.InputBegin {
			e.restart()
		}
	case event.InputRecordingGap:
		var g event.RecordingGapInput
		_ = json.Unmarshal(in.Data, &g)
		if g.Ended {
			// A replay knows nothing of the gap, not even whose deadlines
			// passed in it. What only the gap showed proves nothing.
			e.seq = max(e.seq, g.Seq-1)
			e.lastInput, e.sure = in.At, in.At
			e.restart()
			e.reload()
		}
	}
}

// save keeps claims, account, wall clock and papers as they are when the recording stops, with what was under way
// and has been reported.
func (e *Engine) save(in *event.Input) {
	var g event.RecordingGapInput
	if _ = json.Unmarshal(in.Data, &g); !g.Ended {
		e.saved, _ = json.Marshal(e.book) // of plain fields: it can't fail
		e.savedToo, _ = json.Marshal(e.account)
		e.savedWall, e.savedPapers = e.view.Wall, e.view.Papers
	}
}

// reload puts claims, account, wall clock and papers back to where they were when the recording stopped:
// one that was set in the gap is told of anew behind it.
func (e *Engine) reload() {
	if e.saved == nil {
		return
	}
	e.book = claim.New(e.sheet)
	_ = json.Unmarshal(e.saved, e.book) // our own of a moment ago
	e.account = account.New(e.sheet)
	_ = json.Unmarshal(e.savedToo, e.account)
	e.view.Wall, e.view.Papers = e.savedWall, e.savedPapers
	e.saved, e.savedToo = nil, nil
}

func (e *Engine) restart() {
	e.audience.wake(&e.view)
	was := e.view
	e.view = base.NewView(e.sheet, e.taps)
	e.view.GoOnCounting(&was)
	e.drills = newDrills(&e.view)
	e.audience = newAudience(append(watch.For(&e.view), base.Listed{Watcher: e.drills, Alone: base.NoTap}), len(e.view.Taps))
	if e.wakeful {
		e.audience.keepAwake(&e.view)
	}
	e.decoders = decodersFor(e.taps, e.sheet.Protocol, e.decoders)
}

// publish numbers and dates an event, hands it on and lets the claims see it.
func (e *Engine) publish(kind string, from unit.Time, about string, data any) {
	e.seq++
	e.event = event.Event{Seq: e.seq, At: e.now, From: min(from, e.now), Kind: kind, About: about, Data: data}
	e.onEvent(&e.event, e.view.Wall+int64(e.now))
	if kind == event.VerdictChanged {
		return
	}
	cause := e.event
	e.book.See(&cause, func(c *claim.Claim, was claim.Verdict) {
		e.publish(event.VerdictChanged, cause.From, event.AboutClaim.Called(c.ID), event.VerdictData{
			Verdict: string(c.Verdict), Was: string(was), Sentence: c.Sentence,
			Evidence: slices.Clone(c.Evidence), Figures: maps.Clone(c.Figures),
		})
	})
	e.account.Hear(&cause, &e.view, e.emit)
}
