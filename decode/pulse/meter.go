package pulse

import "benchproof.example/decode/edge"

// Meter measures the pulses of one output by its edges.
//
//	level     ________            ______
//	      ___|        |__________|      |___
//	         ^ rise   ^ complete     ^ given, at the latest
//
// A pulse is complete at its falling edge, but given only when the pause behind it
// has lasted: at the next edge, by Pass, or by Flush. Until then the falling edge
// may yet be a glitch's, or a hole's.
//
//   - A level under Limits.Glitch is taken out and counted; of an edge that bounces
//     so, the last change counts. Together they must stay under that limit too, or
//     the pulse they touch is void (Chatter).
//   - A pause under Limits.Pause makes one void pulse of the parts on both sides.
//   - A rise that was not seen, a level that is not known, an edge that is missing:
//     no pulse.
//   - Widths from Limits.Narrow to Limits.Wide, both included, are pulses.
//   - The period is 0 for the first pulse, after any fault but a single glitch, and
//     if it is longer than Limits.Longest.
//
// What is given depends on the edges alone. The exported fields are what a
// checkpoint keeps.
type Meter struct {
	Output int
	Rate   edge.Rate
	Limits Limits
	Epoch  int
	Sum    MeterAccount

	Begun     bool       // an edge was seen
	Last      edge.Edge  // the latest one
	Unsettled bool       // its level has not lasted yet
	From      int64      // the first change since a level lasted, ticks
	Level     edge.Level // the one that lasted
	Blank     bool       // none lasted yet

	Open OpenPulse // the pulse that has risen
	Held OpenPulse // the pulse that has fallen and is not given yet

	Known bool  // the rise before is one to measure a period from
	Rise  int64 // that rise, ticks

	pulse Pulse
}

// OpenPulse is a pulse under way.
type OpenPulse struct {
	Is, Void   bool
	Rise, Fall int64 // ticks
	Period     int64 // ticks, 0: unknown
}

// NewMeter is a meter of an output, numbered from 1, for edges with ticks of a rate.
func NewMeter(output int, rate edge.Rate, limits Limits) *Meter {
	return &Meter{Output: output, Rate: rate, Limits: limits, Level: edge.Unknown}
}

// Account reports what became of the edges.
func (m *Meter) Account() MeterAccount { return m.Sum }

// Edge takes the next edge of the line. see gets the pulse that it bears out, if
// any, lent for the call.
func (m *Meter) Edge(e edge.Edge, see func(*Pulse)) {
	m.Sum.Edges++
	switch {
	case !m.Begun:
		m.begin(e)
		return
	case e.Tick < m.Last.Tick:
		m.Sum.Faults[Backward]++
		m.Flush(see)
		m.begin(e)
		return
	}
	if m.Unsettled && m.nanos(e.Tick-m.Last.Tick) < m.Limits.Glitch {
		m.Sum.Faults[Glitch]++
	} else {
		m.settle(see)
		m.From = e.Tick
	}
	if e.Level == m.Last.Level {
		m.release(e.Tick, see)
		m.fault(MissingEdge)
		m.Level = edge.Unknown
	}
	m.Last, m.Unsettled = e, true
}

// Pass says that no edge came before a tick, so that what hangs on that is given
// before the next edge comes.
func (m *Meter) Pass(tick int64, see func(*Pulse)) {
	if !m.Begun || m.nanos(tick-m.Last.Tick) < m.Limits.Glitch {
		return
	}
	m.settle(see)
	m.release(tick, see)
}

// Flush says that no more edges come: a pulse that has fallen is given, one that
// has not is cut off. What is fed after it is of another clock, so Epoch goes up.
func (m *Meter) Flush(see func(*Pulse)) {
	if !m.Begun {
		return
	}
	m.settle(see)
	m.give(see)
	if m.Open.Is && !m.Open.Void {
		m.Sum.Faults[Unfinished]++
	}
	m.Begun, m.Open, m.Known, m.Level = false, OpenPulse{}, false, edge.Unknown
	m.Epoch++
}

func (m *Meter) nanos(ticks int64) int64 { return m.Rate.Nanos(ticks) }

// begin takes the first edge of a clock: nothing is known of what was before.
func (m *Meter) begin(e edge.Edge) {
	m.Begun, m.Unsettled, m.Blank = true, true, true
	m.Last, m.From = e, e.Tick
	m.Level, m.Open, m.Held = edge.Unknown, OpenPulse{}, OpenPulse{}
}

// fault counts one, and voids what it touches.
func (m *Meter) fault(f EdgeFault) {
	m.Sum.Faults[f]++
	m.Open.Void, m.Held.Void, m.Known = true, true, false
}

// settle takes the latest level as one that lasted.
func (m *Meter) settle(see func(*Pulse)) {
	if !m.Unsettled {
		return
	}
	m.Unsettled = false
	if m.Level == edge.Low {
		m.release(m.From, see)
	}
	was := m.Level
	m.Level = m.Last.Level
	switch {
	case m.Level == was:
	case m.Level == edge.Unknown:
		m.fault(UnknownLevel)
		m.Open = OpenPulse{}
	case m.Level == edge.High:
		m.rise(was)
	case was == edge.High:
		m.fall()
	default: // low, after what nobody knows
		m.Open = OpenPulse{}
	}
	if m.nanos(m.Last.Tick-m.From) >= m.Limits.Glitch {
		m.fault(Chatter)
	}
	m.Blank = false
}

// rise begins a pulse; was is the level before it.
func (m *Meter) rise(was edge.Level) {
	m.Open = OpenPulse{Is: true, Rise: m.Last.Tick}
	if was != edge.Low {
		m.Open.Void = true
		if m.Blank {
			m.Sum.Faults[Unfinished]++
		}
	}
	if m.Held.Is { // not given when the pause began to end: the pause is none
		if !m.Held.Void {
			m.Sum.Faults[SplitPulse]++
		}
		m.Open.Void, m.Held = true, OpenPulse{}
	}
}

func (m *Meter) fall() {
	p := m.Open
	p.Fall = m.Last.Tick
	if m.Known && m.nanos(p.Rise-m.Rise) <= m.Limits.Longest {
		p.Period = p.Rise - m.Rise
	}
	m.Held, m.Open = p, OpenPulse{}
	m.Known, m.Rise = !p.Void, p.Rise
}

// release gives what fell, if the pause behind it had lasted by a tick.
func (m *Meter) release(tick int64, see func(*Pulse)) {
	if m.Held.Is && m.nanos(tick-m.Held.Fall) >= m.Limits.Pause {
		m.give(see)
	}
}

// give gives what fell, if it is a pulse.
func (m *Meter) give(see func(*Pulse)) {
	p := m.Held
	m.Held = OpenPulse{}
	if !p.Is || p.Void {
		return
	}
	// So that rise and width add up to the time of the falling edge.
	rise := m.nanos(p.Rise)
	width := m.nanos(p.Fall) - rise
	switch {
	case width < m.Limits.Narrow:
		m.fault(Narrow)
	case width > m.Limits.Wide:
		m.fault(Wide)
	default:
		m.Sum.Pulses++
		m.pulse = Pulse{Output: m.Output, Rise: rise, Width: width, Period: m.nanos(p.Period), Epoch: m.Epoch}
		see(&m.pulse)
	}
}
