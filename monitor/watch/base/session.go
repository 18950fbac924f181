package base

import (
	"encoding/binary"
	"encoding/json"
	"strconv"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// A beat's wall clock is read before the beat is dated. A computer that stalls
// between the two makes it look set back, so one reading settles nothing.
const (
	clockStep  = 200 * unit.Millisecond // how far the wall clock may stray from bench time
	clockAgree = 50 * unit.Millisecond  // how far two beats that say the same may be apart
)

// SessionEvents enters inputs that are facts by themselves: the session, taps that come
// and go, marks, gaps of the recording, a wall clock that was set.
type SessionEvents struct {
	Strayed bool      // the last beat did
	Wall    int64     // what it gave for Unix ns at bench time 0
	Since   unit.Time // when
}

// See implements Watcher.
func (l *SessionEvents) See(o *event.Observation, v *View, emit event.Emit) {
	switch o.Kind {
	case event.InputBegin:
		l.start(o, v, event.SessionBegan, emit)
	case event.InputResume:
		l.start(o, v, event.SessionResumed, emit)
	case event.InputEnd:
		emit(event.SessionEnded, o.At, event.AboutSession, nil)
	case event.InputBeat:
		l.beat(o, v, emit)
	case event.InputMark:
		emit(event.Mark, o.At, event.AboutSession, event.MarkData{Text: string(o.Data)})
	case event.InputStrike:
		var d event.StrikeData
		_ = json.Unmarshal(o.Data, &d) // recordings are checked where they are read
		emit(event.MarkStruck, o.At, event.AboutSession, d)
	case event.InputPapers:
		papers(o, v, emit)
	case event.InputReopen:
		emit(event.Reopened, o.At, event.AboutSession, event.ReopenData{What: string(o.Data)})
	case event.InputRecordingGap:
		var g event.RecordingGapInput
		_ = json.Unmarshal(o.Data, &g) // what it can't say stays empty
		emit(event.RecordingGap, o.At, event.AboutSession, event.RecordingGapData{Ended: g.Ended, Why: g.Why, Inputs: g.Inputs})
	case event.InputRecordingHurt:
		var d event.RecordingHurtData
		_ = json.Unmarshal(o.Data, &d)
		emit(event.RecordingHurt, o.At, event.AboutSession, d)
	case event.InputTapUp, event.InputTapDown, event.InputOverrun:
		l.tap(o, &v.Taps[o.Tap], emit)
	}
}

// papers takes an entry of the model's papers; one that says what was said before is no change.
func papers(o *event.Observation, v *View, emit event.Emit) {
	var p event.Paper
	v.Reopens = ""
	if json.Unmarshal(o.Data, &p) != nil || p.Check() != nil {
		return
	}
	with, was, changed := event.WithPaper(v.Papers, p)
	if !changed {
		return
	}
	row, _ := event.PaperRowOf(p.Entry)
	v.Papers, v.Reopens = with, row.Reopens
	emit(event.PapersChanged, o.At, event.AboutSession, event.PapersData{Paper: p, Was: was, Reopens: row.Reopens})
}

func (l *SessionEvents) start(o *event.Observation, v *View, kind string, emit event.Emit) {
	var s event.Start
	_ = json.Unmarshal(o.Data, &s)
	v.Wall = s.WallNS - int64(o.At)
	emit(kind, o.At, event.AboutSession, event.SessionData{Model: v.Sheet.Model, Build: s.Build, Taps: s.Taps})
}

func (l *SessionEvents) beat(o *event.Observation, v *View, emit event.Emit) {
	if len(o.Data) != 8 {
		return
	}
	wall := int64(binary.BigEndian.Uint64(o.Data)) - int64(o.At)
	step := unit.Duration(wall - v.Wall)
	if unit.Abs(step) <= clockStep {
		*l = SessionEvents{}
		return
	}
	if !l.Strayed || unit.Abs(unit.Duration(wall-l.Wall)) > clockAgree {
		*l = SessionEvents{Strayed: true, Wall: wall, Since: o.At}
		return
	}
	since := l.Since
	*l = SessionEvents{}
	v.Wall = wall
	emit(event.ClockStepped, since, event.AboutSession, event.ClockData{StepNS: step})
}

func (l *SessionEvents) tap(o *event.Observation, t *Tap, emit event.Emit) {
	switch o.Kind {
	case event.InputTapUp:
		var p event.PortData
		_ = json.Unmarshal(o.Data, &p)
		emit(event.TapUp, o.At, t.About(), p)
	case event.InputTapDown:
		emit(event.TapDown, o.At, t.About(), event.ReasonData{Why: string(o.Data)})
	case event.InputOverrun:
		n, _ := strconv.ParseInt(string(o.Data), 10, 64)
		emit(event.TapOverrun, o.At, t.About(), event.CountData{Count: n})
	}
}
