package link

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// PowerUp looks at what a receiver sends that is switched on without its
// transmitter. Only the builder knows that it is off, so it looks in the drill
// alone, and only at frames whose flags have stood for four frames: behind a live
// one the transmitter is on after all.
//
//	prompt    off             on                      end
//	frames   | | |            :      L L L L L L L . . . .
//	              bus silent           ^ ranges    ^ a live frame ends it
type PowerUp struct {
	Tap    uint8
	Step   drill.Act // of a drill that cuts the supply, "" for none
	Since  unit.Time
	Off    bool // the bus was silent since the first prompt
	Frames int64
	Flags  int64
	First  unit.Time
	Link   linkState
	Looked bool // at frames: Least and Most are known
	Least  bus.Counts
	Most   bus.Counts
}

// See implements Watcher.
func (p *PowerUp) See(o *event.Observation, v *base.View, emit event.Emit) {
	var step drill.Act
	if v.Plan().Unpowers {
		step = v.Act()
	}
	switch {
	case step == p.Step:
	case p.Step == drill.ActOn:
		p.report(v, emit)
		*p = PowerUp{Tap: p.Tap}
	default:
		p.Step, p.Since = step, v.PromptAt
	}
	if p.Step == "" {
		return
	}
	if base.TapClosed(o, p.Tap) {
		*p = PowerUp{Tap: p.Tap, Step: p.Step, Since: p.Since}
		return
	}
	p.Off = p.Off || !v.Taps[p.Tap].Locked
	if p.Step == drill.ActOn {
		samples := v.Cleaned(p.Tap).Ready
		for i := range samples {
			p.sample(&samples[i], v)
		}
	}
}

func (p *PowerUp) sample(s *base.CleanFrame, v *base.View) {
	if s.Wire < p.Since || p.Link.Up && p.Looked {
		return
	}
	p.Link.see(s.Flags, s.Wire)
	if p.Frames++; p.Frames == 1 {
		p.First = s.Wire
	}
	if p.Link.Flags.Row > 0 {
		p.Flags++
	}
	if p.Link.Flags.Row < base.MinFrames {
		return
	}
	if !p.Looked {
		p.Looked, p.Least, p.Most = true, s.Counts, s.Counts
	}
	for ch, c := range s.Counts[:v.Protocol.Channels] {
		p.Least[ch], p.Most[ch] = min(p.Least[ch], c), max(p.Most[ch], c)
	}
}

func (p *PowerUp) report(v *base.View, emit event.Emit) {
	t := &v.Taps[p.Tap]
	d := event.PowerUpData{Tap: t.Name, Off: p.Off, Frames: p.Frames, Flagged: p.Flags, FirstNS: -1}
	if p.Frames > 0 {
		d.FirstNS = p.First.Sub(p.Since)
	}
	for ch := range v.Protocol.Channels {
		if !p.Looked {
			break
		}
		a, b := v.Sheet.Width(p.Least[ch]), v.Sheet.Width(p.Most[ch])
		d.Channels = append(d.Channels, event.PowerUpRanges{LeastNS: min(a, b), MostNS: max(a, b)})
	}
	emit(event.PowerUpMeasured, p.Since, t.About(), d)
}

// Rests implements base.Sleeper: no such drill is under way.
func (p *PowerUp) Rests(base.Calm, *base.View) (base.ChannelSet, unit.Time) {
	if p.Step != "" {
		return 0, 0
	}
	return 0, unit.Never
}

// Pass implements base.Sleeper.
func (p *PowerUp) Pass(int, base.Calm, *base.View) {}
