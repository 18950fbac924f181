package controls

import (
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// Mode says what the mode channels ask the stabiliser for. What it does with
// that is not on this wire. It is reported when the channels stand, anew whenever
// they stand elsewhere, even where they ask for the same; where the receiver misses
// frames just then, with the next live one. A cell that is left again before its
// channels stood was passed through: flipping one switch at a time can touch a third,
// unintended mode. It is dated all the same, if at least four live frames saw it, once
// between two settled modes. Where the channels then stand as they stood, that is reported
// too: no later change led through it.
//
//	asked   damping|no mode|  upright
//	               ^.......^ passing, dated when left
//	                       ^.......^ settled
type Mode struct {
	Tap      uint8
	Known    bool
	Settled  string       // "": no mode
	Reported []unit.Width // widths of the mode channels as last reported
	Passed   []string

	Next   string // the mode asked for now
	From   unit.Time
	Last   unit.Time
	Frames int
	Live   int // of those; the others repeat what was heard before

	Widths []unit.Width // of the mode channels, now
	Still  int          // frames since they moved
	Since  unit.Time    // wire time of the first of those
}

// See implements Watcher.
func (m *Mode) See(o *event.Observation, v *base.View, emit event.Emit) {
	if base.TapClosed(o, m.Tap) {
		m.Frames, m.Still = 0, 0
		return
	}
	if !base.Judgeable(o, m.Tap) {
		return
	}
	mode, _ := v.Sheet.ModeAt(func(ch int) unit.Width { return base.Width(v.Sheet, o.Frame, ch) })
	if m.Frames > 0 && (mode != m.Next || o.Wire.Sub(m.Last) > base.MaxFrameStep) {
		m.leave(v, emit)
	}
	if m.Frames == 0 {
		m.Next, m.From, m.Live, m.Still = mode, o.Wire, 0, 0
	}
	m.Frames++
	if base.SignalOf(o.Frame) == event.SignalLive {
		m.Live++
	}
	m.Last = o.Wire
	m.stand(o, v)
	if m.Still < base.SettleFrames || o.Wire.Sub(m.Since) < base.SettleTime {
		return
	}
	v.Taps[m.Tap].ModeKnown, v.Taps[m.Tap].Mode = true, mode
	if m.news(v) && v.Taps[m.Tap].Signal != event.SignalMissed {
		m.report(v, emit, false)
		m.Known, m.Settled, m.Passed = true, mode, m.Passed[:0]
		m.Reported = append(m.Reported[:0], m.Widths...)
	}
}

// stand notes for how long the mode channels have not moved.
func (m *Mode) stand(o *event.Observation, v *base.View) {
	moved := len(m.Widths) != len(v.ModeChannels)
	if moved {
		m.Widths = make([]unit.Width, len(v.ModeChannels))
	}
	for i, ch := range v.ModeChannels {
		w := base.Width(v.Sheet, o.Frame, ch)
		if m.Still == 0 || unit.Abs(w-m.Widths[i]) > v.Sheet.Tolerance.Position/4 {
			moved = true
		}
	}
	if !moved {
		m.Still++
		return
	}
	for i, ch := range v.ModeChannels {
		m.Widths[i] = base.Width(v.Sheet, o.Frame, ch)
	}
	m.Still, m.Since = 1, o.Wire
}

func (m *Mode) news(v *base.View) bool {
	if !m.Known || m.Next != m.Settled || len(m.Passed) > 0 {
		return true
	}
	for i, w := range m.Widths {
		if unit.Abs(w-m.Reported[i]) > v.Sheet.Tolerance.Position/2 {
			return true
		}
	}
	return false
}

// leave ends a candidate that did not settle.
func (m *Mode) leave(v *base.View, emit event.Emit) {
	passed := m.Live >= event.MinModeFrames && m.Known && m.Next != m.Settled && !slices.Contains(m.Passed, m.Next)
	if passed {
		m.report(v, emit, true)
		m.Passed = append(m.Passed, m.Next)
	}
	m.Frames = 0
}

func (m *Mode) report(v *base.View, emit event.Emit, passing bool) {
	t := &v.Taps[m.Tap]
	d := event.ModeData{
		Tap: t.Name, Mode: m.Next, Was: m.Settled, Passing: passing, DwellNS: m.Last.Sub(m.From),
		Widths: map[string]unit.Width{}, Signal: t.Signal, Suspect: t.Suspect,
	}
	for i, ch := range v.ModeChannels {
		if c, ok := v.Sheet.Channel(ch); ok {
			d.Widths[c.Name] = m.Widths[i]
		}
	}
	from := m.From
	if !passing && m.Known && m.Next == m.Settled {
		from = m.Since
	}
	emit(event.ModeAsked, from, event.AboutStabiliser, d)
}

// Rests implements base.Sleeper: what is asked for has settled, and was reported.
func (m *Mode) Rests(c base.Calm, v *base.View) (needs base.ChannelSet, until unit.Time) {
	if m.Frames == 0 || m.Still < base.SettleFrames || c.Wire(0).Sub(m.Since) < base.SettleTime || m.news(v) {
		return 0, 0
	}
	for _, ch := range v.ModeChannels {
		needs |= base.SetOf(v.Protocol, ch)
	}
	return needs, unit.Never
}

// Pass implements base.Sleeper.
func (m *Mode) Pass(n int, c base.Calm, _ *base.View) {
	m.Frames += n
	m.Live += n
	m.Still += n
	m.Last = c.Wire(0)
}
