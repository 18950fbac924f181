package watch

import (
	"encoding/binary"
	"encoding/json"
	"strconv"

	"benchproof.example/monitor/fact"
)

// clockStep is how far the wall clock may stray from bench time before that is
// an event and a new anchor.
const clockStep = 200 * fact.Millisecond

// Ledger enters inputs that are facts by themselves: the session, taps that come
// and go, marks, gaps of the recording, a wall clock that was set.
type Ledger struct{}

// See implements Watcher.
func (l *Ledger) See(o *fact.Observation, v *View, emit fact.Emit) {
	switch o.Kind {
	case fact.Begin:
		l.start(o, v, fact.SessionBegan, emit)
	case fact.Resume:
		l.start(o, v, fact.SessionResumed, emit)
	case fact.End:
		emit(fact.SessionEnded, o.At, "session", nil)
	case fact.Beat:
		l.beat(o, v, emit)
	case fact.Mark:
		emit(fact.MarkMade, o.At, "session", fact.MarkData{Text: string(o.Data)})
	case fact.Reopen:
		emit(fact.Reopened, o.At, "session", fact.ReopenData{What: string(o.Data)})
	case fact.RecordingGap:
		var g fact.Gap
		_ = json.Unmarshal(o.Data, &g) // what it can't say stays empty
		emit(fact.GapMade, o.At, "session", fact.GapData{Ended: g.Ended, Why: g.Why, Inputs: g.Inputs})
	case fact.TapUp, fact.TapDown, fact.Overrun:
		l.tap(o, &v.Taps[o.Tap], emit)
	}
}

func (l *Ledger) start(o *fact.Observation, v *View, kind string, emit fact.Emit) {
	var s fact.Start
	_ = json.Unmarshal(o.Data, &s)
	v.Wall = s.WallNS - int64(o.At)
	emit(kind, o.At, "session", fact.SessionData{Model: v.Sheet.Model, Build: s.Build, Taps: s.Taps})
}

func (l *Ledger) beat(o *fact.Observation, v *View, emit fact.Emit) {
	if len(o.Data) != 8 {
		return
	}
	wall := int64(binary.BigEndian.Uint64(o.Data)) - int64(o.At)
	if step := wall - v.Wall; abs(step) > int64(clockStep) {
		v.Wall = wall
		emit(fact.ClockStepped, o.At, "session", fact.ClockData{StepNS: step})
	}
}

func (l *Ledger) tap(o *fact.Observation, t *Tap, emit fact.Emit) {
	switch o.Kind {
	case fact.TapUp:
		var p fact.PortData
		_ = json.Unmarshal(o.Data, &p)
		emit(fact.TapCame, o.At, t.About(), p)
	case fact.TapDown:
		emit(fact.TapWent, o.At, t.About(), fact.ReasonData{Why: string(o.Data)})
	case fact.Overrun:
		n, _ := strconv.ParseInt(string(o.Data), 10, 64)
		emit(fact.TapOverrun, o.At, t.About(), fact.CountData{Count: n})
	}
}

// Due implements Watcher.
func (l *Ledger) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (l *Ledger) Expire(fact.Time, *View, fact.Emit) {}
