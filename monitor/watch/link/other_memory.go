package link

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// OtherMemory looks at what a receiver sends while another model memory is selected in the transmitter. Only the
// builder knows that, so it looks in the drill alone. What tells that a memory was selected is a link that goes, or
// channels that leap; what the channels do meanwhile is no doing of this model's transmitter, so that it is suspect.
//
//	prompt   select | settle | try            | own        | answers
//	frames   . . . . L L L L L L L L L L L L L L L L . . . .
//	               ^ left      ^ ranges              ^ returned
type OtherMemory struct {
	Tap      uint8
	Step     drill.Act // of such a drill, "" for none
	Since    unit.Time // date of the prompt
	Left     bool
	Returned bool
	Leapt    bool  // many channels, while sticks were moved
	Unheard  bool  // no transmitter was, meanwhile
	Frames   int64 // while sticks were moved
	Live     int64
	Least    bus.Counts
	Most     bus.Counts
	Have     bool       // a frame before,
	Counts   bus.Counts // and its values
}

// See implements Watcher.
func (m *OtherMemory) See(o *event.Observation, v *base.View, emit event.Emit) {
	var step drill.Act
	if v.Plan().Memory {
		step = v.Act()
	}
	m.follow(step, v, emit)
	if m.Step == "" {
		return
	}
	if base.TapClosed(o, m.Tap) {
		*m = OtherMemory{Tap: m.Tap, Step: m.Step, Since: m.Since}
		return
	}
	t := &v.Taps[m.Tap]
	if m.elsewhere() {
		t.Suspect = true
	}
	if !hears(t) {
		m.change()
		m.Unheard = m.Unheard || m.Step == drill.ActTry
	}
	samples := v.Cleaned(m.Tap).Ready
	for i := range samples {
		m.sample(&samples[i], v)
	}
}

// hears reports that the receiver hears a transmitter, as far as its flags say: four plain frames in a row tell that it does
// again.
func hears(t *base.Tap) bool { return t.Locked && t.Linked && !t.Failsafe }

// follow takes the next step of the drill.
func (m *OtherMemory) follow(step drill.Act, v *base.View, emit event.Emit) {
	if step == m.Step {
		return
	}
	if m.Step == drill.ActAnswer {
		m.report(v, emit)
	}
	if step == "" || step == drill.ActLetGo {
		*m = OtherMemory{Tap: m.Tap}
	}
	m.Step, m.Since = step, v.PromptAt
}

// elsewhere reports that another memory is selected, as far as the builder says.
func (m *OtherMemory) elsewhere() bool {
	switch m.Step {
	case drill.ActSelect, drill.ActSettle, drill.ActTry, drill.ActReselect:
		return true
	}
	return false
}

// change takes note of what shows that a memory was selected.
func (m *OtherMemory) change() {
	switch m.Step {
	case drill.ActSelect, drill.ActSettle:
		m.Left = true
	case drill.ActReselect, drill.ActAnswer:
		m.Returned = true
	}
}

func (m *OtherMemory) sample(s *base.CleanFrame, v *base.View) {
	if s.Odd {
		return
	}
	if m.Have && !s.First {
		if leapt, _ := differ(&s.Counts, &m.Counts, v); leapt >= leapMany {
			m.change()
			m.Leapt = m.Leapt || m.Step == drill.ActTry
		}
	}
	m.Have, m.Counts = true, s.Counts
	if m.Step == drill.ActTry && s.Wire >= m.Since {
		m.tried(s, v)
	}
}

// tried takes a frame that came while sticks were moved.
func (m *OtherMemory) tried(s *base.CleanFrame, v *base.View) {
	if m.Frames++; m.Frames == 1 {
		m.Least, m.Most = s.Counts, s.Counts
	}
	if s.Flags&(bus.Lost|bus.Failsafe) == 0 && hears(&v.Taps[m.Tap]) {
		m.Live++
	}
	for ch, c := range s.Counts[:v.Protocol.Channels] {
		m.Least[ch], m.Most[ch] = min(m.Least[ch], c), max(m.Most[ch], c)
	}
}

func (m *OtherMemory) report(v *base.View, emit event.Emit) {
	t := &v.Taps[m.Tap]
	d := event.MemoryTriedData{Tap: t.Name, Left: m.Left, Returned: m.Returned, Changed: m.Live > 0 && (m.Leapt || m.Unheard), Frames: m.Frames, Live: m.Live}
	for ch := range v.Protocol.Channels {
		if m.Frames == 0 {
			break
		}
		a, b := v.Sheet.Width(m.Least[ch]), v.Sheet.Width(m.Most[ch])
		d.Channels = append(d.Channels, event.PowerUpRanges{LeastNS: min(a, b), MostNS: max(a, b)})
	}
	emit(event.MemoryTried, m.Since, t.About(), d)
}
