package watch

import (
	"encoding/binary"
	"encoding/json"
	"strconv"

	"benchproof.example/monitor/fact"
)

// A beat's wall clock is read before the beat is dated. A computer that stalls
// between the two makes it look set back, so one reading settles nothing.
const (
	clockStep  = 200 * fact.Millisecond // how far the wall clock may stray from bench time
	clockAgree = 50 * fact.Millisecond  // how far two beats that say the same may be apart
)

// SessionEvents enters inputs that are facts by themselves: the session, taps that come
// and go, marks, gaps of the recording, a wall clock that was set.
type SessionEvents struct {
	Strayed bool      // the last beat did
	Wall    int64     // what it gave for Unix ns at bench time 0
	Since   fact.Time // when
}

// See implements Watcher.
func (l *SessionEvents) See(o *fact.Observation, v *View, emit fact.Emit) {
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

func (l *SessionEvents) start(o *fact.Observation, v *View, kind string, emit fact.Emit) {
	var s fact.Start
	_ = json.Unmarshal(o.Data, &s)
	v.Wall = s.WallNS - int64(o.At)
	emit(kind, o.At, "session", fact.SessionData{Model: v.Sheet.Model, Build: s.Build, Taps: s.Taps})
}

func (l *SessionEvents) beat(o *fact.Observation, v *View, emit fact.Emit) {
	if len(o.Data) != 8 {
		return
	}
	wall := int64(binary.BigEndian.Uint64(o.Data)) - int64(o.At)
	step := wall - v.Wall
	if Abs(step) <= int64(clockStep) {
		*l = SessionEvents{}
		return
	}
	if !l.Strayed || Abs(wall-l.Wall) > int64(clockAgree) {
		*l = SessionEvents{Strayed: true, Wall: wall, Since: o.At}
		return
	}
	since := l.Since
	*l = SessionEvents{}
	v.Wall = wall
	emit(fact.ClockStepped, since, "session", fact.ClockData{StepNS: step})
}

func (l *SessionEvents) tap(o *fact.Observation, t *Tap, emit fact.Emit) {
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
func (l *SessionEvents) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (l *SessionEvents) Expire(fact.Time, *View, fact.Emit) {}
