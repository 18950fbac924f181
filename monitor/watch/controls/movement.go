package controls

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	movementRest  = 300 * unit.Millisecond // standing this long is at rest
	movementGrain = 2                      // quanta that a channel at rest may tremble in all
	movementLeast = 8                      // quanta: less is no movement
	movementGoing = 5 * unit.Second        // a movement that takes longer is told before it is over
)

// Movement tells of each channel of a bus when it moved, and how far, where the sheet has
// no channels: who listens finds out that way which channel is which. It goes by cleaned
// frames of a live transmitter. What it knows of each channel is in the view for the
// state, too.
//
//	        ____
//	       /    \        least, most
//	______/      \_____
//	      ^ onset      ^ at rest: told
type Movement struct {
	Tap     uint8
	Told    bool      // which channels come in
	Last    unit.Time // wire time of the latest frame
	Frames  int       // in a row, up to as many as it takes to settle
	At      bus.PerChannel[movement]
	Digital [bus.MaxDigital]onOff
}

// movement is that of one channel.
type movement struct {
	Known bool
	Rest  uint32 // count where it rested, or was first heard; only with Known

	Low    uint32    // it stands between this count
	High   uint32    // and this one,
	Since  unit.Time // since
	Frames int       // for so many frames, up to as many as it takes to settle

	Moving bool
	Going  bool      // it was told while it went on
	Begun  unit.Time // when it left its rest; only with Moving
	Least  uint32
	Most   uint32
}

// onOff is a digital channel.
type onOff struct {
	Known  bool
	On     bool
	Frames int       // that say otherwise, in a row
	Since  unit.Time // the first of them
}

// See implements Watcher.
func (m *Movement) See(o *event.Observation, v *base.View, emit event.Emit) {
	samples, signal := v.Cleaned(m.Tap).Ready, v.Taps[m.Tap].Signal
	if signal == event.SignalFailsafe || signal == event.SignalLost { // a plain frame in there is no hand yet
		samples = nil
	}
	for i := range samples {
		if samples[i].Flags&(bus.Lost|bus.Failsafe) == 0 {
			m.sample(&samples[i], v, emit)
		}
	}
	if base.TapClosed(o, m.Tap) {
		m.close(v, emit)
	}
}

// close tells of movements that are under way, and forgets where channels stood.
func (m *Movement) close(v *base.View, emit event.Emit) {
	for ch := range m.At {
		if at := &m.At[ch]; at.Moving && !at.Going {
			m.report(ch, at.High, true, v, emit)
		}
	}
	*m = Movement{Tap: m.Tap}
	for i := range v.Taps[m.Tap].Ranges {
		v.Taps[m.Tap].Ranges[i].Moving = false
	}
}

func (m *Movement) sample(x *base.CleanFrame, v *base.View, emit event.Emit) {
	if m.Last == 0 || x.First || x.Wire.Sub(m.Last) > base.MaxFrameStep {
		m.begin(x, v)
	}
	m.Last = x.Wire
	m.Frames = min(m.Frames+1, base.SettleFrames)
	for ch := range v.Protocol.Channels {
		m.channel(ch, x, v, emit)
	}
	for n := range v.Protocol.Digital {
		m.switched(n, x, v, emit)
	}
	if !m.Told && m.Frames == base.SettleFrames {
		m.Told = true
		m.tell(x, v, emit)
	}
}

// begin begins behind a hole: nothing is known to have stood over it.
func (m *Movement) begin(x *base.CleanFrame, v *base.View) {
	m.Frames = 0
	for ch := range v.Protocol.Channels {
		a := &m.At[ch]
		if !a.Known {
			a.Known, a.Rest = true, x.Counts[ch]
		}
		a.stands(x.Counts[ch], x.Wire)
	}
	for n := range m.Digital {
		m.Digital[n].Frames = 0
	}
	t := &v.Taps[m.Tap]
	for n := len(t.Ranges) + 1; n <= v.Protocol.LastChannel(); n++ {
		r := state.ChannelRange{Channel: n, Digital: v.Sheet.Digital(n)}
		if !r.Digital {
			r.LeastNS = v.Sheet.Width(x.Counts[n-1])
			r.MostNS = r.LeastNS
		}
		t.Ranges = append(t.Ranges, r)
	}
	for ch := range v.Protocol.Channels {
		t.Ranges[ch].Moving = m.At[ch].Moving // where judgement began afresh nothing is under way
	}
}

// stands begins to count how long the channel stands.
func (a *movement) stands(c uint32, since unit.Time) {
	a.Low, a.High, a.Since, a.Frames = c, c, since, 0
}

func (m *Movement) channel(ch int, x *base.CleanFrame, v *base.View, emit event.Emit) {
	a, c := &m.At[ch], x.Counts[ch]
	if max(a.High, c)-min(a.Low, c) > movementGrain*v.Quantum {
		a.stands(c, x.Wire)
	}
	a.Low, a.High = min(a.Low, c), max(a.High, c)
	a.Frames = min(a.Frames+1, base.SettleFrames)
	m.follow(ch, c, x.Wire, v)
	switch {
	case a.Frames == base.SettleFrames && x.Wire.Sub(a.Since) >= movementRest:
		m.rest(ch, v, emit)
	case a.Moving && !a.Going && x.Wire.Sub(a.Begun) >= movementGoing:
		a.Going = true
		m.report(ch, c, true, v, emit)
	}
}

// follow takes a count into the movement under way, or begins one.
func (m *Movement) follow(ch int, c uint32, wire unit.Time, v *base.View) {
	a, r := &m.At[ch], &v.Taps[m.Tap].Ranges[ch]
	w := v.Sheet.Width(c)
	r.LeastNS, r.MostNS = min(r.LeastNS, w), max(r.MostNS, w)
	if !a.Moving && max(a.Rest, c)-min(a.Rest, c) >= movementLeast*v.Quantum {
		a.Moving, a.Going, a.Begun, a.Least, a.Most = true, false, wire, a.Rest, a.Rest
		a.stands(c, wire) // not where it rested before, however near that is
		r.Moving = true
		r.Moves++
	}
	if a.Moving {
		a.Least, a.Most = min(a.Least, c), max(a.Most, c)
	}
}

// rest takes it that the channel stands.
func (m *Movement) rest(ch int, v *base.View, emit event.Emit) {
	a := &m.At[ch]
	if !a.Moving {
		return
	}
	at := a.Low + (a.High-a.Low)/2
	m.report(ch, at, false, v, emit)
	a.Moving, a.Rest = false, at
	v.Taps[m.Tap].Ranges[ch].Moving = false
}

// report tells of a movement that is over, or goes on. to is where the channel is now.
func (m *Movement) report(ch int, to uint32, going bool, v *base.View, emit event.Emit) {
	a, t := &m.At[ch], &v.Taps[m.Tap]
	least, most := v.Sheet.Width(a.Least), v.Sheet.Width(a.Most)
	emit(event.ChannelMoved, a.Begun, about(ch), event.ChannelMovedData{
		Tap: t.Name, Channel: ch + 1, FromNS: v.Sheet.Width(a.Rest), ToNS: v.Sheet.Width(to),
		LeastNS: min(least, most), MostNS: max(least, most), Going: going, Suspect: t.Suspect,
	})
}

// switched takes it that a digital channel is off or on once enough frames say so.
func (m *Movement) switched(n int, x *base.CleanFrame, v *base.View, emit event.Emit) {
	d, on := &m.Digital[n], x.Flags&bus.Digital(n) != 0
	if d.Known && d.On == on {
		d.Frames = 0
		return
	}
	if d.Frames++; d.Frames == 1 {
		d.Since = x.Wire
	}
	if !d.Known {
		d.Known, d.On, d.Frames = true, on, 0
		return
	}
	if d.Frames < base.SettleFrames {
		return
	}
	d.On, d.Frames = on, 0
	t, ch := &v.Taps[m.Tap], v.Protocol.Channels+n
	t.Ranges[ch].Moves++
	emit(event.ChannelMoved, d.Since, about(ch), event.ChannelMovedData{Tap: t.Name, Channel: ch + 1, Digital: true, On: on, Suspect: t.Suspect})
}

// tell tells which channels come in, and what each is at.
func (m *Movement) tell(x *base.CleanFrame, v *base.View, emit event.Emit) {
	t := &v.Taps[m.Tap]
	d := event.ChannelsHeardData{Tap: t.Name, WidthsNS: []unit.Width{}, Digital: []bool{}}
	for ch := range v.Protocol.Channels {
		d.WidthsNS = append(d.WidthsNS, v.Sheet.Width(x.Counts[ch]))
	}
	for n := range v.Protocol.Digital {
		d.Digital = append(d.Digital, m.Digital[n].On)
	}
	emit(event.ChannelsHeard, x.Wire, t.About(), d)
}

// Rests implements base.Sleeper: everything stands where it rests.
func (m *Movement) Rests(c base.Calm, v *base.View) (base.ChannelSet, unit.Time) {
	if c.Moved != 0 || !m.Told {
		return 0, 0
	}
	for ch := range v.Protocol.Channels {
		if m.At[ch].Moving {
			return 0, 0
		}
	}
	for n := range v.Protocol.Digital {
		if m.Digital[n].Frames > 0 {
			return 0, 0
		}
	}
	return base.AllChannels, unit.Never
}

// Pass implements base.Sleeper.
func (m *Movement) Pass(n int, c base.Calm, v *base.View) {
	m.Last = c.Cleaned()
	m.Frames = min(m.Frames+n, base.SettleFrames)
	for ch := range v.Protocol.Channels {
		m.At[ch].Frames = min(m.At[ch].Frames+n, base.SettleFrames)
	}
}
