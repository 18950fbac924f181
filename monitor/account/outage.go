package account

import (
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// cause is what shows an outage, in the order of state.OutageCauses.
type cause int

// The causes.
const (
	flagged   cause = iota // frames said so
	unflagged              // values stood that are known to move, or leapt
	silent                 // no frame came for a second or more
	restart                // no frame came, and what followed looks like a receiver that began anew
)

const (
	// fellSilent is how long no frame comes until that is an outage: something that a receiver
	// does, and no gap of the line.
	fellSilent = unit.Second
	// pulledOut is how soon behind the last frame a port may go for the silence to be the
	// cable's. An adapter that is pulled out hands over nothing any more, and its port goes
	// within a second or two.
	pulledOut = 5 * unit.Second
	// inStep is how far apart bus and leads may fall silent where one thing silenced both: a
	// lead's silence begins with its last pulse, and these come every 20 ms (common practice).
	inStep = 300 * unit.Millisecond
)

// gone is an outage that is not over. One whose end nobody watched may have been the
// transmitter's end or the receiver's: it counts once the signal was seen again.
//
//	link   ======|          |=====        ======|       |(stop)   |(resume)=====
//	             ^ From     ^ over, counted     ^ From  ^ Left             ^ counted
type gone struct {
	Open  bool
	From  unit.Time
	Cause cause
	Aside bool      // begun with a phone at the model, or in a drill: it is not counted
	Left  unit.Time // nobody watched any more from then on, 0: it is watched
}

// leave is for a tap that is no longer heard.
func (g *gone) leave(at unit.Time) {
	if g.Open && g.Left == 0 {
		g.Left = at
	}
}

// quiet is a silence behind which no live frame came yet.
type quiet struct {
	Open    bool
	From    unit.Time // the last frame
	Counted bool      // among the silences
	InStep  bool      // the leads fell silent with the bus
	Flagged bool      // frames came again, and said that there is no signal
	Sure    bool      // frames came again on time: what is read late from then on lay waiting in another hole
}

// frame looks at the border of an outage. On a link that lives it does nothing.
func (a *Account) frame(o *event.Observation, v *base.View, emit event.Emit) {
	t, w := &a.Taps[o.Tap], &v.Taps[o.Tap]
	t.Heard, t.Up = true, true // a plug that was put in in a gap of the recording is not in it
	if w.Tally.LinkMissedRuns != t.Missed.Seen {
		t.Missed.run(&w.Tally, a.aside())
		a.shown = nil
	}
	t.Told.frame(o)
	switch {
	case !t.mayTurn(w):
	case o.Pace.Late:
		t.readLate(&o.Pace, a)
	case !o.Pace.Unsure: // else it was perhaps read late
		t.Quiet.Sure = t.Quiet.Open
		a.border(o, v, emit)
	}
}

// mayTurn reports that a frame may be a border of an outage.
func (t *Tap) mayTurn(w *base.Tap) bool {
	return t.Gone.Open || t.Quiet.Open || w.Loss != "" || t.Told.Row >= toldFrames
}

// Counts reports that an observation may have what the watchers of all taps know counted.
func (a *Account) Counts(o *event.Observation, v *base.View) bool {
	return o.Kind != event.PulseSeen && (int(o.Tap) >= len(a.Taps) || a.Taps[o.Tap].mayTurn(&v.Taps[o.Tap]))
}

// border takes a frame in an outage or behind a silence, or the first of a loss.
func (a *Account) border(o *event.Observation, v *base.View, emit event.Emit) {
	t, w := &a.Taps[o.Tap], &v.Taps[o.Tap]
	t.flaggedBehindSilence(w)
	switch {
	case lost(w) && !t.Gone.Open:
		t.begin(w.LossAt, flagged, a)
	case t.Told.gone(o.Wire) && !t.Gone.Open && !t.Quiet.Open:
		t.begin(t.Told.At, flagged, a)
	case t.Quiet.Open && (t.Quiet.Flagged || t.Quiet.InStep) && t.Gone.Cause != restart:
		t.beganAnew(a)
	case back(w) && t.Told.Row == 0:
		a.goesOn(o, v, emit)
	}
}

// goesOn takes the first frame behind an outage or a silence that is the transmitter's again.
func (a *Account) goesOn(o *event.Observation, v *base.View, emit event.Emit) {
	t := &a.Taps[o.Tap]
	t.Quiet = quiet{}
	if t.Gone.Open {
		a.pass(o.At, v)
		a.over(o.Tap, o.Wire, v, emit)
		t.Was = t.condition(a, &v.Taps[o.Tap])
	}
}

func lost(w *base.Tap) bool { return w.Loss == event.PhaseLost || w.Loss == event.PhaseSettled }

// back reports that frames are the transmitter's again, as far as can be seen.
func back(w *base.Tap) bool {
	return !lost(w) && w.Linked && w.Signal == event.SignalLive && !w.Stopped
}

// readLate is for frames that were there all the while: the bus was never silent, adapter or
// computer stood still. Where they are far too few for that it was silent, and they were
// read late besides.
func (t *Tap) readLate(p *event.Pace, a *Account) {
	if p.Lacking >= fellSilent || t.Quiet.Sure {
		return
	}
	if t.Gone.Open && t.Gone.Cause == silent {
		d := min(a.Until.Sub(t.Gone.From), t.Times[outage])
		t.Times[outage] -= d
		t.Times[waiting] += d
		t.Gone = gone{}
	}
	if t.Quiet.Counted {
		t.Silences--
		t.Strip.latest().Silences = max(0, t.Strip.latest().Silences-1)
	}
	t.Quiet = quiet{}
}

// flaggedBehindSilence takes note of a receiver that sends, and has no signal, behind a
// silence. A line that was only cut goes on as it was.
func (t *Tap) flaggedBehindSilence(w *base.Tap) {
	if !t.Quiet.Open || !w.Locked || w.Linked {
		return
	}
	if w.Signal == event.SignalMissed || w.Signal == event.SignalLost || w.Signal == event.SignalFailsafe {
		t.Quiet.Flagged = true
	}
}

// beganAnew makes a silence the outage of a receiver that began anew.
func (t *Tap) beganAnew(a *Account) {
	if !t.Gone.Open {
		t.begin(t.Quiet.From, restart, a)
	}
	t.Gone.Cause = restart
}

// begin begins an outage.
func (t *Tap) begin(from unit.Time, by cause, a *Account) {
	t.Gone = gone{Open: true, From: from, Cause: by, Aside: a.aside()}
	if !t.Gone.Aside {
		t.takeBack(a.Until.Sub(max(from, a.Awake)))
	}
	a.shown = nil
}

// silentFor makes an outage of a silence that lasts.
func (t *Tap) silentFor(at unit.Time, v *base.View, tap uint8, aside bool) {
	if q := &t.Quiet; q.Open && !t.Gone.Open && !v.Taps[tap].Locked && at.Sub(q.From) >= fellSilent {
		t.Gone = gone{Open: true, From: q.From, Cause: silent, Aside: aside}
		if q.InStep {
			t.Gone.Cause = restart
		}
		if !aside {
			t.takeBack(at.Sub(q.From))
		}
	}
}

// plug is for a port that is open.
func (t *Tap) plug(at unit.Time, a *Account, w *base.Tap) {
	t.cameBack(at)
	t.Up, t.Heard, t.Told = true, false, told{}
	t.Was = t.condition(a, w)
}

// unplug is for a port that went away. A silence just before was the cable's.
func (t *Tap) unplug(at unit.Time) {
	t.Up = false
	t.went(at)
	g := &t.Gone
	if t.Bus && g.Open && g.Cause == silent && at.Sub(g.From) <= pulledOut {
		*g = gone{}
	}
	g.leave(at)
	t.Quiet = quiet{}
	t.Outputs.unheard()
}

// over ends an outage: the signal was seen again.
func (a *Account) over(tap uint8, at unit.Time, v *base.View, emit event.Emit) {
	t := &a.Taps[tap]
	g := t.Gone
	t.Gone, a.shown = gone{}, nil
	if g.Aside {
		return
	}
	one := state.SoakOutage{FromNS: g.From, ToNS: at, Cause: state.OutageCauses[g.Cause], Unseen: g.Left != 0}
	if one.Unseen {
		one.ToNS = g.Left
	}
	if !t.Bus {
		one.Outputs = slices.Clone(t.Outputs.Fell)
	}
	a.enter(tap, one, g.Cause, v, emit)
}

// enter counts an outage.
func (a *Account) enter(tap uint8, one state.SoakOutage, by cause, v *base.View, emit event.Emit) {
	t := &a.Taps[tap]
	t.Over.Add(one.FromNS, one.ToNS, t.Times[live])
	t.Ended = one.ToNS
	t.Causes[by]++
	t.Most = max(t.Most, one.ToNS.Sub(one.FromNS))
	t.Latest = keepLatest(t.Latest, one)
	h := t.Strip.at(a.Until.Sub(a.Since))
	h.Outages++
	if by == restart {
		h.Restarts++
	}
	if t.Bus {
		a.fail(tap, v, emit)
		a.counted(tap, false, v, emit)
	}
}
