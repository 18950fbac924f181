package link

import (
	"cmp"
	"slices"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	lossFrozen   = 1500 * unit.Millisecond // in the drill, values that moved stand this long: the signal is gone
	lossStands   = unit.Second             // values stand this long: they have settled
	lossMost     = 8 * unit.Second         // after the last live frame, or this long past what the sheet allows: they never will
	flagLate     = 200 * unit.Millisecond  // values may stand this long before a flag that dates the loss
	lossFlagWait = unit.Second             // what still moves this long after the builder said "off" was not switched off then
	fellSilent   = unit.Second             // no frame for this long is what a receiver does, not a gap of the line
	silentAtEnd  = 5                       // beats: where nothing is heard behind it, what was sent may lie waiting in a port for less
)

// Loss measures what the receiver does when the signal is lost, from the last frame
// known live until the signal is back or nothing more is heard. Flags begin one
// anywhere, values only where something was known to move: in the failsafe drill,
// which asks for a stick to be stirred, or where Stillness found that they were held.
//
//	step      off               settle               on     back
//	stirred /\/\/\/\____________|------------------------------|/\/\/
//	              ^ last live   ^ settled                 ^ said ^ first live
type Loss struct {
	Tap  uint8
	Step drill.Act // of a drill that loses the signal, "" for none

	Link linkState
	Live bus.Counts // values of the latest frame without a flag

	// What the values were before and behind the border of a loss, to distinguish those of
	// the last live frame from wrong ones beside it.
	History    [2]bus.Counts // of live frames some time ago, the older one at 0
	LiveFrames int           // live frames since the latest of those
	Fourth     bus.Counts    // of the fourth flagged frame in a row

	Wait    []base.CleanFrame // flagged frames behind which too few have come to believe them
	Counted unit.Time         // wire time of the latest frame whose values counted
	Earlier unit.Duration     // what moved last may have done so by so much earlier
	Late    unit.Time         // date of the latest frame that was read late

	Moves bursts
	Open  *lossState // under way
	Ended unit.Time  // of the latest one: what was last watched of it
	Over  bool       // the one that this round of the drill is about
}

// lossState is one that is under way.
type lossState struct {
	Tap         uint8
	Drill       string
	At          unit.Time // the last live frame
	By          string    // how that is known
	Was         bus.Counts
	Doubt       unit.Duration // how much earlier it may have been
	Up          unit.Duration // for how long the link had been up
	Flags       flagRun
	BuilderSaid unit.Time     // date of the builder's word that began it, or of what the wire showed; 0 with flags
	Silent      unit.Time     // last frame before the bus fell silent, 0: it did not
	Quiet       int           // beats since, at which it was: a computer that stands still has none
	BySilence   bool          // nothing else showed it
	Restarted   unit.Time     // last frame before the receiver may have begun anew, 0: it did not. What it sends since is not looked at
	Unheard     unit.Duration // values that moved may have done so by so much earlier: no frame in that time counted
	Settled     bool
	Reports     int        // how often failsafe.settled was reported for it,
	Reported    bus.Counts // last with these values
	Stop        unit.Time  // end of what was watched, 0: it goes on
	Seen        bursts     // as they were then
	On          unit.Time  // the builder said that the transmitter is on, 0: not yet
}

// See implements Watcher.
func (l *Loss) See(o *event.Observation, v *base.View, emit event.Emit) {
	l.follow(v, emit)
	samples := v.Cleaned(l.Tap).Ready
	for i := range samples {
		l.sample(&samples[i], v, emit)
	}
	if base.ReadLate(o, l.Tap) {
		l.Late = o.At
	}
	switch {
	case base.TapClosed(o, l.Tap):
		if x := l.Open; x != nil && x.Quiet < silentAtEnd {
			l.notSilent()
		}
		l.ends(v, emit)
	case o.Kind == event.InputBeat:
		l.beat(o, v)
	case base.ReadLate(o, l.Tap) && l.Open != nil && o.Pace.Lacking < leastLacking:
		l.notSilent()
	}
	t := &v.Taps[l.Tap]
	t.Loss, t.LossAt = l.phase(), 0
	if l.Open != nil {
		t.LossAt = l.Open.At
	}
}

// ends is for a tap that is no longer heard.
func (l *Loss) ends(v *base.View, emit event.Emit) {
	if l.Open == nil {
		l.held(v, emit)
	}
	if l.Open != nil {
		l.end(-1, v, emit)
	}
	*l = Loss{Tap: l.Tap, Step: l.Step, Ended: l.Ended}
}

// phase is what a drill waits for.
func (l *Loss) phase() string {
	switch {
	case l.Over:
		return event.PhaseBack
	case l.Open == nil:
		return ""
	case l.Open.Settled:
		return event.PhaseSettled
	}
	return event.PhaseLost
}

// follow takes note of where the drill is.
func (l *Loss) follow(v *base.View, emit event.Emit) {
	var step drill.Act
	if v.Plan().Loses {
		step = v.Act()
	}
	if step != l.Step {
		l.Step = step
		l.drillStep(v, emit)
	}
}

// drillStep takes the next step of the drill.
func (l *Loss) drillStep(v *base.View, emit event.Emit) {
	switch l.Step {
	case drill.ActOff:
		if l.Open != nil { // of the round before: it never came back
			l.end(-1, v, emit)
		}
		l.Moves.List, l.Over = nil, false
	case drill.ActSettle:
		l.beginByPrompt(v)
	case drill.ActOn:
		if l.unflagged() {
			l.stop() // from here on what moves may be the builder's
		}
	case drill.ActBack:
		if l.Open != nil {
			l.Open.On = v.PromptAt
		}
	default: // the round is over; flags show when the signal is back, whatever the drill does
		if l.unflagged() && l.Open.Drill != "" {
			l.end(-1, v, emit)
		}
		l.Over = false
	}
}

// unflagged reports that a loss is under way that neither flags nor silence show.
func (l *Loss) unflagged() bool {
	x := l.Open
	return x != nil && !x.Flags.Believed && x.Silent == 0
}

// beginByPrompt begins a loss that the builder reported and the wire did not.
func (l *Loss) beginByPrompt(v *base.View) {
	if l.Open == nil && l.Link.Up && !l.Over {
		l.begin(l.Link.LiveAt, &l.Live, "builder", v)
	}
}

func (l *Loss) sample(s *base.CleanFrame, v *base.View, emit event.Emit) {
	l.link(s)
	l.move(s, v)
	switch {
	case l.Open != nil:
		l.goesOn(s, v, emit)
	case v.Plan().Unpowers: // nothing is lost there
	case l.Link.gone():
		l.found(v)
	case l.Step == drill.ActOff && l.Link.Up && l.frozen(s, v):
		l.found(v)
	default:
		l.held(v, emit)
	}
	l.remember(s)
}

// link follows the flags, and looks for a receiver that began anew.
func (l *Loss) link(s *base.CleanFrame) {
	last, before := l.Link.Last, l.Link.Flags
	if s.First {
		l.Link.unheard()
	}
	if s.Odd {
		l.Link.pass(s.Wire)
	} else {
		l.Link.see(s.Flags, s.Wire)
	}
	if x := l.Open; x != nil && s.First {
		if s.Wire.Sub(last) < base.MinRestartSilence { // a gap of the line, or read late: the loss goes on
			l.Link.Flags.join(&before)
		} else if x.Restarted == 0 {
			x.Restarted = last
		}
	}
}

// move follows the values. What comes in a flagged loss counts once its flags have
// stood for as long as it takes to believe them, and only with three more behind it:
// the frames of a signal that comes back, missed ones between them, are not the
// receiver's doing.
func (l *Loss) move(s *base.CleanFrame, v *base.View) {
	if s.First {
		l.Moves.Known = false
	}
	x := l.Open
	switch {
	case x == nil:
		l.Wait = l.Wait[:0]
		l.count(s, v)
		return
	case x.Restarted != 0:
		return
	case x.Flags.Believed && !l.believed(s, x):
		l.Wait = l.Wait[:0]
		return
	case !x.Flags.Believed:
		l.count(s, v)
		return
	}
	if l.Wait = append(l.Wait, *s); len(l.Wait) < base.MinFrames {
		return
	}
	l.Moves.Known = true // what changed in a gap of the line changed
	l.count(&l.Wait[0], v)
	l.Wait = l.Wait[:copy(l.Wait, l.Wait[1:])]
}

// count takes the values of a frame that counts.
func (l *Loss) count(s *base.CleanFrame, v *base.View) {
	known := l.Moves.Known
	l.Moves.step(&s.Counts, v, s.Wire)
	if known && l.Moves.Since == s.Wire {
		l.Earlier = earlierBy(l.Counted, s.Wire)
		if l.Open != nil {
			l.Open.Unheard = max(l.Open.Unheard, l.Earlier)
		}
	}
	l.Counted = s.Wire
}

func (l *Loss) believed(s *base.CleanFrame, x *lossState) bool {
	f := &l.Link.Flags
	if x.Flags.Failsafe != 0 {
		return f.Given >= base.MinFrames
	}
	return f.Row >= base.MinFrames && s.Wire.Sub(f.From) >= noLive
}

// goesOn takes a frame of a loss.
func (l *Loss) goesOn(s *base.CleanFrame, v *base.View, emit event.Emit) {
	if x := l.Open; x.By == "builder" && x.On == 0 && !x.Flags.Believed && l.Link.gone() {
		l.found(v) // flags date it better than the word does
	}
	x := l.Open
	if x.On == 0 && x.Restarted == 0 {
		x.Flags.latest(&l.Link.Flags)
	}
	if x.Stop == 0 {
		last := max(x.At, l.Moves.Since)
		x.settle(s.Wire, last, v)
		if l.believed(s, x) {
			x.reportSettled(s.Wire, &l.Moves, v, emit)
		}
	}
	if back := l.back(); back >= 0 {
		l.end(back, v, emit)
		l.Over = l.Step != ""
	}
}

// settle decides whether enough was seen of what the receiver does. A flag that the
// sheet speaks of is waited for a while longer.
func (x *lossState) settle(now, last unit.Time, v *base.View) {
	due := x.At.Add(max(within(v), event.MaxPresetDelay))
	f := v.Sheet.Failsafe
	told := x.Flags.Failsafe != 0 || x.Silent != 0 || f != nil && f.Flag == "absent"
	x.Settled = x.Settled || told && now >= due && now.Sub(last) >= lossStands || now >= x.At.Add(max(lossMost, within(v)+lossMost))
}

// stop ends what is watched of it.
func (l *Loss) stop() {
	x := l.Open
	x.Stop, x.Seen = l.Link.Last, l.Moves
	x.Seen.List = slices.Clone(l.Moves.List)
}

// back is the wire time of the first frame known live again, -1: not yet. Where no
// flag shows, nothing counts before the builder was asked to switch on.
func (l *Loss) back() unit.Time {
	x := l.Open
	switch {
	case x.Flags.Believed || x.Silent != 0:
		if l.Link.Up && l.Link.Since > x.At {
			return l.Link.Since
		}
	case x.Stop == 0:
	default:
		if first := l.Moves.firstAfter(x.Stop); first != 0 {
			return first
		}
	}
	return -1
}

// beat looks for a bus that has fallen silent.
func (l *Loss) beat(o *event.Observation, v *base.View) {
	if v.Taps[l.Tap].Locked || l.Link.Last == 0 || o.At.Sub(l.Link.Last) < fellSilent {
		return
	}
	if l.Open == nil && l.Link.Up && l.Step == drill.ActOff {
		l.ceased(v)
	}
	l.Link.interrupted()
	x := l.Open
	if x == nil || x.Stop != 0 {
		return
	}
	if x.Silent == 0 {
		x.Silent = l.Link.Last
	}
	x.Quiet++
	x.settle(o.At, x.Silent, v)
}

// notSilent takes back that the bus fell silent: what it sent lay waiting. A loss that this alone
// showed is none.
func (l *Loss) notSilent() {
	x := l.Open
	if x.Silent == 0 {
		return
	}
	if x.Restarted = cmp.Or(x.Restarted, x.Silent); x.BySilence {
		l.Open = nil
	}
	x.Silent, x.Quiet = 0, 0
}

// ceased begins a loss in which frames stopped: the last one need not have been live.
func (l *Loss) ceased(v *base.View) {
	if moved := l.Moves.last(heartbeatMask(v), v); moved.Sure {
		l.begin(moved.At, &moved.Counts, moving(v), v)
	} else {
		l.begin(l.Link.Last, &l.Live, "unknown", v)
	}
	l.Open.BySilence = true
}

// Rests implements base.Sleeper: nothing moves, and no loss and no drill is under way.
func (l *Loss) Rests(c base.Calm, _ *base.View) (base.ChannelSet, unit.Time) {
	if c.Moved != 0 || l.Open != nil || l.Over || l.Step != "" || len(l.Wait) > 0 || !l.Moves.Known || !l.Link.rests() {
		return 0, 0
	}
	return base.AllChannels, unit.Never
}

// Pass implements base.Sleeper.
func (l *Loss) Pass(n int, c base.Calm, _ *base.View) {
	l.Link.goOn(n, c.Cleaned())
	l.Counted = c.Cleaned()
	for l.LiveFrames += n; l.LiveFrames >= pastFrames; l.LiveFrames -= pastFrames {
		l.History = [2]bus.Counts{l.History[1], l.Live}
	}
}

// within is how long a loss may take by the sheet, ns.
func within(v *base.View) unit.Duration {
	if v.Sheet.Failsafe == nil {
		return 0
	}
	return v.Sheet.Failsafe.Within
}
