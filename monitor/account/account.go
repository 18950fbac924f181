// Package account is the account of a long run: what was listened to, what happened, and
// what that proves. It sees observations and events behind the watchers and the claims,
// for the whole session, over everything that lets judgement begin afresh.
//
// Time is counted from beat to beat, once a second; frames cost next to nothing. Whatever
// the account keeps is bounded, however long the run: lists of equal pieces are merged two by two
// when they are full.
package account

import (
	"encoding/json"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/reliability"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// mostBeat is how far two beats, which come each second, may be apart: nobody listened for
// sure in what is longer.
const mostBeat = 2500 * unit.Millisecond

// Account is the account of a session. Its exported fields are what a checkpoint keeps.
type Account struct {
	Taps  []Tap // by event.Input.Tap; 0 is the bench itself
	Rests []Rest
	Since unit.Time // of the session's first input
	Until unit.Time // of the latest beat, or of what came since that time is counted from
	Awake unit.Time // when the computer had last stood still; 0: it never did

	Stopped    unit.Duration // nothing was listened to: the program did not run,
	Stalled    unit.Duration // the computer stood still,
	Unrecorded unit.Duration // or it was, and the recording lacks it
	Breaks     []state.SoakBreak

	ClockSteps int64
	Clock      []state.ClockStep

	Phone   bool // a phone is at the model, as somebody said
	Felt    bool // and as it says itself: it tells how it lies
	Drill   bool // a drill is under way
	Resumed bool // and nothing came since: the taps may be others
	Running bool // between the beginning of a sitting and its end
	Dips    dips

	Goal    Goal
	Slot    slots
	Counted unit.Duration // live time of the first bus when soak.counted was last reported

	sheet *sheet.Sheet
	shown *state.Account // made at Until, nil: not yet
}

// New makes the account of a session under a sheet.
func New(s *sheet.Sheet) *Account { return &Account{sheet: s} }

// Under gives the sheet to an account that comes from a checkpoint.
func (a *Account) Under(s *sheet.Sheet) { a.sheet = s }

// Tap is what is counted of one tap.
type Tap struct {
	Name  string
	Bus   bool
	Up    bool // the port is open
	Heard bool // frames came since the port is open
	Was   condition
	Times [conditions]unit.Duration

	Read   state.LinkTally // of the view, as last read: what grew since is counted
	Missed missed
	Gone   gone // the outage under way
	Quiet  quiet
	Told   told // by the flags of all frames
	Over   reliability.Outages
	Ended  unit.Time // end of the latest outage
	Causes [len(state.OutageCauses)]int64
	Latest []state.SoakOutage
	Most   unit.Duration // the longest outage

	Spikes, Silences, Late, Unplugs, Failsafes int64
	Away                                       []state.PortAway

	Strip   strip
	Outputs outputs // of servo leads
}

// See takes an observation, behind all watchers.
func (a *Account) See(o *event.Observation, v *base.View, emit event.Emit) {
	if a.Resumed || len(a.Taps) != len(v.Taps) {
		a.fit(o.At, v)
	}
	switch o.Kind {
	case event.FrameSeen:
		a.frame(o, v, emit)
	case event.PulseSeen:
		a.pulse(o)
	case event.InputBeat:
		a.beat(o.At, v, emit)
	case event.InputBegin:
		a.begin(o, v)
	case event.InputResume:
		a.resume(o.At, v)
	case event.InputRecordingGap:
		a.gap(o, v)
	case event.InputEnd:
		a.pass(o.At, v)
		a.close(v)
		a.Running = false
		a.count(true, v, emit)
	case event.InputTapUp, event.InputTapDown:
		a.pass(o.At, v) // frames came up to here
		a.port(o, v)
	case event.InputMark, event.InputReopen, event.InputPapers:
		a.said(o, v)
	}
}

// port takes that the port of a tap was opened, or is gone.
func (a *Account) port(o *event.Observation, v *base.View) {
	if o.Kind == event.InputTapUp {
		a.Taps[o.Tap].plug(o.At, a, &v.Taps[o.Tap])
	} else {
		a.Taps[o.Tap].unplug(o.At)
	}
}

// everything is what is reopened where the whole set-up is another.
const everything = "everything"

func (a *Account) begin(o *event.Observation, v *base.View) {
	var s event.Start
	_ = json.Unmarshal(o.Data, &s) // recordings are checked where they are read
	a.Goal.Bus = v.FirstBus()
	a.Goal.Quiet, _ = event.ParseQuiet(s.Until) // none where nothing is declared
	a.anew(o.At, v)
}

// anew begins the account, also where the builder says that something was changed: what
// came before says nothing of what comes now.
func (a *Account) anew(at unit.Time, v *base.View) {
	was := *a
	*a = Account{
		sheet: was.sheet, Since: at, Until: at, Phone: was.Phone, Running: true, Slot: slots{Width: unit.Minute},
		Goal: Goal{Bus: was.Goal.Bus, Quiet: was.Goal.Quiet}, Rests: restsOf(was.sheet, v.FirstBus() != event.BenchTap),
	}
	for i := range v.Taps {
		t := newTap(&v.Taps[i])
		if i < len(was.Taps) {
			t.Up, t.Heard, t.Was, t.Outputs = was.Taps[i].Up, was.Taps[i].Heard, was.Taps[i].Was, was.Taps[i].Outputs.anew()
		}
		a.Taps = append(a.Taps, t)
	}
}

func newTap(w *base.Tap) Tap {
	t := Tap{
		Name: w.Name, Bus: w.Kind == "bus", Over: reliability.Outages{Gap: reliability.Gap}, Strip: newStrip(),
		Missed: missed{Width: unit.Minute}, Read: w.Tally,
	}
	t.Missed.resume(&t.Read)
	return t
}

// fit has the taps of the view: a session may go on with others, or in another order. What
// was counted of one that is there no more is gone with it.
func (a *Account) fit(at unit.Time, v *base.View) {
	a.Resumed = false
	if a.Slot.Width == 0 { // it did not begin
		a.anew(at, v)
		return
	}
	was := a.Taps
	a.Taps = nil
	for i := range v.Taps {
		t := newTap(&v.Taps[i])
		for k := range was {
			if was[k].Name == t.Name && was[k].Bus == t.Bus {
				read, seen, missed := t.Read, t.Missed.Seen, t.Missed.SeenMissed
				t = was[k]
				t.Read, t.Missed.Seen, t.Missed.SeenMissed = read, seen, missed
			}
		}
		a.Taps = append(a.Taps, t)
	}
	a.Goal.Bus = v.FirstBus()
	a.shown = nil
}

// resume goes on behind a time in which the program did not run.
func (a *Account) resume(at unit.Time, v *base.View) {
	a.broke(at, stopped)
	a.leaveOff(at, v)
	a.Resumed, a.Running = true, true
	for i := range a.Taps {
		a.Taps[i].Up = false
		a.Taps[i].Outputs.unheard()
	}
}

// leaveOff goes on at an instant, behind a time in which nobody listened. What was heard before
// it was heard.
func (a *Account) leaveOff(at unit.Time, v *base.View) {
	for i := 1; i < min(len(a.Taps), len(v.Taps)); i++ {
		a.Taps[i].pass(a.Taps[i].Was, 0, a.Since, a.Until, &v.Taps[i])
	}
	a.close(v)
	a.Until, a.shown = at, nil
}

// gap takes the beginning or the end of what the recording lacks. What a live session counted
// in between is not counted here, as in a replay.
func (a *Account) gap(o *event.Observation, v *base.View) {
	var g event.RecordingGapInput
	_ = json.Unmarshal(o.Data, &g) // recordings are checked where they are read
	if g.Ended {
		a.broke(o.At, unrecorded)
		for i := range a.Taps {
			a.Taps[i].Outputs.unheard()
		}
	} else {
		a.pass(o.At, v)
	}
	a.close(v)
	a.Until, a.Running, a.shown = o.At, true, nil
}

// Listened reports that somebody listened since the latest beat, up to an observation.
func (a *Account) Listened(o *event.Observation) bool {
	return o.At.Sub(a.Until) <= mostBeat || o.Kind == event.InputBegin || o.Kind == event.InputResume || o.Kind == event.InputRecordingGap ||
		a.Slot.Width == 0
}

// Stood takes note of a computer that stood still until now, or of a program that was stopped.
// It goes before the watchers see what came: what they find says nothing of that time.
//
//	beats    | | | |(asleep)                 | | |
//	counted  ======|---------- Stalled ------|====
//	                                         ^ Awake
func (a *Account) Stood(at unit.Time, v *base.View) {
	a.broke(at, stalled)
	a.leaveOff(at, v)
	a.Awake = at
}

// close ends what is under way where nobody listens on.
func (a *Account) close(v *base.View) {
	for i := range a.Taps {
		t := &a.Taps[i]
		t.Gone.leave(a.Until)
		t.Quiet, t.Told = quiet{}, told{}
		t.Was = waiting
		if i < len(v.Taps) {
			t.Missed.resume(&v.Taps[i].Tally)
			t.Read = v.Taps[i].Tally
		}
	}
	for i := range a.Rests {
		a.Rests[i].drop()
	}
}

// said takes what the builder says. A phone is a radio of its own.
func (a *Account) said(o *event.Observation, v *base.View) {
	text := string(o.Data)
	if o.Kind != event.InputMark {
		if v.Anew(o) == everything {
			a.anew(o.At, v)
		}
		return
	}
	if text == event.ChangedMark {
		a.anew(o.At, v)
	}
	if text != event.PhoneMark && text != event.PhoneAwayMark {
		return
	}
	a.pass(o.At, v)
	a.Phone = text == event.PhoneMark
	for i := 1; i < len(a.Taps); i++ {
		a.Taps[i].Was = a.Taps[i].condition(a, &v.Taps[i])
	}
}

// beat counts the time since the beat before.
func (a *Account) beat(at unit.Time, v *base.View, emit event.Emit) {
	a.pass(at, v)
	for i := range a.Taps {
		a.Taps[i].silentFor(at, v, uint8(i), a.aside())
	}
	a.look(v)
	a.reach(at, v, emit)
	a.counts(v, emit)
}

// aside reports that what happens now says nothing of the link: a phone is at the model,
// or a drill is under way.
func (a *Account) aside() bool { return a.Phone || a.Felt || a.Drill }

// pass counts the time up to an instant.
func (a *Account) pass(at unit.Time, v *base.View) {
	passed := at.Sub(a.Until)
	a.Drill, a.Felt = v.Drill != "", v.PhoneThere()
	for i := 1; i < len(a.Taps); i++ {
		t, w := &a.Taps[i], &v.Taps[i]
		now := t.condition(a, w)
		t.pass(between(t.Was, now), passed, a.Since, at, w)
		t.Was = now
	}
	a.Until, a.shown = at, nil
	if passed > 0 {
		a.minute(at, v)
	}
}
