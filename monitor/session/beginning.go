package session

import (
	"encoding/json"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

// beginning is where what is heard now begins: in a new recording, or behind what an
// older one has.
type beginning struct {
	section recording.Section
	now     unit.Time       // no input is dated before
	kind    event.InputKind // of the first input: Begin or Resume
	data    []byte          // of the first input, an event.Start
	session string          // its identity, which all parts of the recording carry
}

// resumes reports whether something was recorded before.
func (b *beginning) resumes() bool { return b.kind == event.InputResume }

// newBeginning begins a recording at the wall clock (Unix ns).
func newBeginning(opt *Options, wall int64) (*beginning, error) {
	b := &beginning{kind: event.InputBegin, session: opt.NewIdentity()}
	b.section = recording.Section{Base: wall, Taps: opt.Taps, Build: opt.Build, Session: b.session, Segment: 1}
	var err error
	b.data, err = json.Marshal(event.Start{Build: opt.Build, WallNS: wall, Taps: opt.Taps, Until: opt.Until})
	return b, err
}

// beginningBehind goes on with a recording that has inputs, in a new section, at the
// wall clock (Unix ns) and behind the last input; events go on with the number seq.
func beginningBehind(r *recording.Repaired, opt *Options, wall, seq int64) (*beginning, error) {
	b := &beginning{
		section: recording.Section{Base: r.Base, First: r.Inputs, Taps: opt.Taps, Build: opt.Build, Session: r.Session, Segment: r.Segment},
		now:     max(r.Last.Add(unit.Microsecond), unit.Time(wall-r.Base).Truncate(unit.Microsecond)),
		kind:    event.InputResume,
		session: r.Session,
	}
	b.section.Last = b.now
	var err error
	b.data, err = json.Marshal(event.Start{Build: opt.Build, WallNS: wall, Taps: opt.Taps, Seq: seq})
	return b, err
}
