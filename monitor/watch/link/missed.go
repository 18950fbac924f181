package link

import (
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	missedQuiet = unit.Second      // ends a run when the bus falls silent in the middle of it
	missedLines = 3                // runs that are reported one by one; those that follow are reported together,
	missedEach  = 10 * unit.Second // once in this long
)

// Missed gathers the frames that the receiver flags as not heard into runs. A
// run ends with the first frame without a flag. One lost packet may show in
// several frames, so runs are what is reported, not frames. Runs that follow one
// another are reported together after the first few.
//
// It also counts what a live link misses while no phone on the model sends. A run with the failsafe flag in it, one
// as long as a failsafe takes, or one that no live frame ends, is a loss: its
// frames are no figure of a link, and it takes four plain frames to make one anew.
//
//	flags   L L . . . . . L . . L L . . L L L L L F F F . . . . .
//	        ^   |link     run   run     ^ loss              |link
//	        before the first link
type Missed struct {
	Tap    uint8
	Linked bool      // four plain frames were seen: flags before that mean nothing
	Plain  int       // in a row
	Wire   unit.Time // of the latest frame

	Frames int64 // of the run under way
	Failed int   // of these, with the failsafe flag
	First  unit.Time
	Last   unit.Time
	Date   unit.Time     // of its latest frame
	Took   unit.Duration // since the live frame before it

	Lines int                     // runs that were reported one by one since it was quiet
	Ended unit.Time               // date of the latest run's end
	Wait  event.FramesMissingData // runs that are still to be reported together
	From  unit.Time               // wire time of their first flagged frame
	Until unit.Time               // and when they are reported; only with Wait
}

// See implements Watcher.
func (m *Missed) See(o *event.Observation, v *base.View, emit event.Emit) {
	t := &v.Taps[m.Tap]
	switch {
	case base.TapClosed(o, m.Tap):
		m.endAsLoss(t, emit)
		m.flush(t, emit)
		m.Linked, m.Plain = false, 0
	case changed(o, v):
		m.flush(t, emit)
	case base.Judgeable(o, m.Tap):
		m.frame(o, v, emit)
	}
	t.Linked = m.Linked
}

// changed reports that what was seen so far, or some of it, is to be seen anew.
func changed(o *event.Observation, v *base.View) bool {
	return v.Anew(o) != "" || o.Kind == event.InputMark && string(o.Data) == event.ChangedMark
}

func (m *Missed) frame(o *event.Observation, v *base.View, emit event.Emit) {
	t := &v.Taps[m.Tap]
	passed := o.Wire.Sub(m.Wire)
	m.Wire = o.Wire
	if passed > base.MaxFrameStep {
		m.endAsLoss(t, emit)
		m.Linked = m.Linked && passed <= base.MinRestartSilence
		m.Plain, passed = 0, 0
	}
	live := base.SignalOf(o.Frame) == event.SignalLive
	switch {
	case m.Linked && live:
		m.heard(o, passed, v, emit)
	case m.Linked:
		m.miss(o, passed)
	}
	if m.Plain++; !live {
		m.Plain = 0
	}
	m.Linked = m.Linked || m.Plain >= base.MinFrames
}

// heard takes a live frame of a link, and the run that it ends.
func (m *Missed) heard(o *event.Observation, passed unit.Duration, v *base.View, emit event.Emit) {
	t := &v.Taps[m.Tap]
	doubt := t.Suspect || t.Loss != ""
	switch {
	case m.Frames > 0 && (doubt || m.Failed >= base.MinFrames || m.Last.Sub(m.First) >= lossTakes(v)):
		m.endAsLoss(t, emit)
	case walks(v) || v.PhoneThere():
		if m.Frames > 0 {
			m.run(o, t, emit)
		}
	case !doubt:
		t.Exposure.LinkFrames += m.Frames + 1
		t.Exposure.LinkMissed += m.Frames
		t.Exposure.LinkNS += passed
		t.Tally.LinkFrames += m.Frames + 1
		if m.Frames > 0 {
			t.Tally.LinkMissed += m.Frames
			t.Tally.LinkMissedRuns++
			t.Exposure.LinkNS += m.Took
			m.run(o, t, emit)
		}
	}
}

// walks reports that somebody walks away with the transmitter, to see at which distance frames
// are missed: those are no figure of the link on the bench.
func walks(v *base.View) bool { return v.Prompt != "" && v.Act() == drill.ActWalk }

// lossTakes is how long a run may be before it is a loss.
func lossTakes(v *base.View) unit.Duration {
	if v.Sheet.Failsafe == nil {
		return unit.Second
	}
	return v.Sheet.Failsafe.Within
}

// miss takes a flagged frame of a link.
func (m *Missed) miss(o *event.Observation, passed unit.Duration) {
	if m.Frames == 0 {
		m.First, m.Failed, m.Took = o.Wire, 0, 0
	}
	m.Frames++
	if o.Frame.Failsafe() {
		m.Failed++
	}
	m.Last, m.Date = o.Wire, o.At
	m.Took += passed
}

// run ends a run of a live link: it is reported at once, or waits if many came before it.
func (m *Missed) run(o *event.Observation, t *base.Tap, emit event.Emit) {
	d := event.FramesMissingData{Frames: m.Frames, SpanNS: m.Last.Sub(m.First)}
	m.Frames = 0
	if o.At.Sub(m.Ended) >= missedEach {
		m.Lines = 0
	}
	m.Ended = o.At
	if m.Lines++; m.Lines <= missedLines {
		d.LinkFigures = t.Exposure
		emit(event.AirMissed, m.First, t.About(), d)
		return
	}
	if m.Wait.Runs == 0 {
		m.From, m.Until = m.First, o.At.Add(missedEach)
	}
	m.Wait.Runs++
	m.Wait.Frames += d.Frames
	m.Wait.SpanNS = m.Last.Sub(m.From)
	m.Wait.LongestNS = max(m.Wait.LongestNS, d.SpanNS)
}

// flush reports the runs that wait.
func (m *Missed) flush(t *base.Tap, emit event.Emit) {
	if m.Wait.Runs == 0 {
		return
	}
	d := m.Wait
	m.Wait = event.FramesMissingData{}
	d.LinkFigures = t.Exposure
	emit(event.AirMissed, m.From, t.About(), d)
}

// endAsLoss ends a run that was a loss, or may have been.
func (m *Missed) endAsLoss(t *base.Tap, emit event.Emit) {
	if m.Frames == 0 {
		return
	}
	m.flush(t, emit)
	d := event.FramesMissingData{Frames: m.Frames, SpanNS: m.Last.Sub(m.First), Loss: true}
	m.Frames, m.Linked, m.Plain = 0, false, 0
	emit(event.AirMissed, m.First, t.About(), d)
}

// Due implements base.Timed.
func (m *Missed) Due() unit.Time {
	due := unit.Never
	if m.Frames > 0 {
		due = m.Date.Add(missedQuiet)
	}
	if m.Wait.Runs > 0 {
		due = min(due, m.Until)
	}
	return due
}

// Expire implements base.Timed.
func (m *Missed) Expire(at unit.Time, v *base.View, emit event.Emit) {
	t := &v.Taps[m.Tap]
	if m.Wait.Runs > 0 && at >= m.Until {
		m.flush(t, emit)
		return
	}
	m.endAsLoss(t, emit)
	t.Linked = m.Linked
}

// Rests implements base.Sleeper: no run is under way. Beside a phone, which is a radio of its own
// and whose coming wakes nobody, it never sleeps.
func (m *Missed) Rests(_ base.Calm, v *base.View) (base.ChannelSet, unit.Time) {
	if !m.Linked || m.Frames > 0 || v.HasPhone() {
		return 0, 0
	}
	return 0, unit.Never
}

// Pass implements base.Sleeper. It writes what it counts into the view, as heard does.
func (m *Missed) Pass(n int, c base.Calm, v *base.View) {
	t := &v.Taps[m.Tap]
	t.Exposure.LinkFrames += int64(n)
	t.Exposure.LinkNS += c.Wire(0).Sub(m.Wire)
	t.Tally.LinkFrames += int64(n)
	m.Plain += n
	m.Wire = c.Wire(0)
}
