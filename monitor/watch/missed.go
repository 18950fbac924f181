package watch

import "benchproof.example/monitor/fact"

// missedQuiet ends a run when the bus falls silent in the middle of it.
const missedQuiet = fact.Second

// Missed gathers the frames that the receiver flags as not heard into runs. A
// run ends with the first frame without a flag. One lost packet may show in
// several frames, so runs are what is counted, not frames.
type Missed struct {
	Tap    uint8
	Linked bool // a live frame was seen: flags before the first link mean nothing
	Frames int64
	First  fact.Time // wire
	Last   fact.Time // wire
	Date   fact.Time
}

// See implements Watcher.
func (m *Missed) See(o *fact.Observation, v *View, emit fact.Emit) {
	switch {
	case over(o, m.Tap):
		m.tell(v, emit)
	case !judged(o, m.Tap):
	case signalOf(o.Frame) == fact.Live:
		m.Linked = true
		m.tell(v, emit)
	case m.Linked:
		if m.Frames == 0 {
			m.First = o.Wire
		}
		m.Frames++
		m.Last, m.Date = o.Wire, o.At
	}
}

func (m *Missed) tell(v *View, emit fact.Emit) {
	if m.Frames == 0 {
		return
	}
	frames := m.Frames
	m.Frames = 0
	emit(fact.AirMissed, m.First, v.Taps[m.Tap].About(), fact.RunData{Frames: frames, SpanNS: m.Last - m.First})
}

// Due implements Watcher.
func (m *Missed) Due() fact.Time {
	if m.Frames == 0 {
		return fact.Never
	}
	return m.Date + missedQuiet
}

// Expire implements Watcher.
func (m *Missed) Expire(_ fact.Time, v *View, emit fact.Emit) { m.tell(v, emit) }
