package watch

import (
	"slices"

	"benchproof.example/monitor/fact"
)

// Mode says what the mode channels ask the stabiliser for. What it does with
// that is not on this wire. A cell that is left again before it settles was
// passed through: flipping one switch at a time can touch a third, unintended
// mode. It is dated all the same, if at least two frames saw it, once between
// two settled modes.
//
//	asked   damped |no mode|  levelling
//	               ^.......^ passing, dated when left
//	                       ^.......^ settled
type Mode struct {
	Tap     uint8
	Known   bool
	Settled string // "": no mode
	Passed  []string

	Next   string // the candidate
	From   fact.Time
	Last   fact.Time
	Frames int
	Widths []int64 // of the mode channels, when the candidate was last seen
}

// See implements Watcher.
func (m *Mode) See(o *fact.Observation, v *View, emit fact.Emit) {
	if over(o, m.Tap) {
		m.Frames = 0
		return
	}
	if !judged(o, m.Tap) {
		return
	}
	mode, _ := v.Sheet.ModeAt(func(ch int) int64 { return width(v.Sheet, o.Frame, ch) })
	if m.Frames > 0 && mode != m.Next {
		m.leave(v, emit)
	}
	if m.Frames == 0 {
		m.Next, m.From = mode, o.Wire
	}
	m.Frames++
	m.Last = o.Wire
	m.note(o, v)
	settled := m.Frames >= settleFrames && o.Wire-m.From >= settleTime
	if settled && (!m.Known || mode != m.Settled) {
		m.tell(v, emit, false)
		m.Known, m.Settled, m.Passed = true, mode, m.Passed[:0]
	}
}

func (m *Mode) note(o *fact.Observation, v *View) {
	m.Widths = m.Widths[:0]
	for _, ch := range v.modeChannels {
		m.Widths = append(m.Widths, width(v.Sheet, o.Frame, ch))
	}
}

// leave ends a candidate that did not settle.
func (m *Mode) leave(v *View, emit fact.Emit) {
	passed := m.Frames >= twice && m.Known && m.Next != m.Settled && !slices.Contains(m.Passed, m.Next)
	if passed {
		m.tell(v, emit, true)
		m.Passed = append(m.Passed, m.Next)
	}
	m.Frames = 0
}

func (m *Mode) tell(v *View, emit fact.Emit, passing bool) {
	t := &v.Taps[m.Tap]
	d := fact.ModeData{
		Tap: t.Name, Mode: m.Next, Was: m.Settled, Passing: passing, DwellNS: m.Last - m.From,
		Widths: map[string]int64{}, Signal: t.Signal, Suspect: t.Suspect,
	}
	for i, ch := range v.modeChannels {
		if c, ok := v.Sheet.Channel(ch); ok {
			d.Widths[c.Name] = m.Widths[i]
		}
	}
	emit(fact.ModeAsked, m.From, "stabiliser", d)
}

// Due implements Watcher.
func (m *Mode) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (m *Mode) Expire(fact.Time, *View, fact.Emit) {}
