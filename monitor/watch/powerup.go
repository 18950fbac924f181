package watch

import (
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
)

// PowerUp looks at what a receiver sends that is switched on without its
// transmitter. Only the builder knows that it is off, so it looks in the drill
// alone. A width is believed that two frames in a row have.
//
//	prompt    off             on                      end
//	frames   | | |            :      | | | | | | | | |^ measured
//	              bus silent           ^ ranges
type PowerUp struct {
	Tap    uint8
	Step   string // of the drill
	Since  fact.Time
	Off    bool // the bus was silent since the first prompt
	Frames int64
	Flags  int64
	First  fact.Time
	Before servobus.Frame
	Least  [servobus.Channels]uint16
	Most   [servobus.Channels]uint16
}

// See implements Watcher.
func (p *PowerUp) See(o *fact.Observation, v *View, emit fact.Emit) {
	step := ""
	if v.Drill == fact.PowerUpDrill {
		step = fact.PromptStep(v.Prompt)
	}
	switch {
	case step == p.Step:
	case p.Step == fact.PromptOn:
		p.tell(v, emit)
		*p = PowerUp{Tap: p.Tap}
	default:
		p.Step, p.Since = step, v.PromptAt
	}
	if p.Step == "" {
		return
	}
	if over(o, p.Tap) {
		*p = PowerUp{Tap: p.Tap, Step: p.Step, Since: p.Since}
		return
	}
	p.Off = p.Off || !v.Taps[p.Tap].Locked
	if judged(o, p.Tap) && p.Step == fact.PromptOn {
		p.frame(o)
	}
}

func (p *PowerUp) frame(o *fact.Observation) {
	f := o.Frame
	if p.Frames++; p.Frames == 1 {
		p.First, p.Before, p.Least, p.Most = o.At, *f, f.Counts, f.Counts
	}
	if signalOf(f) != fact.Live {
		p.Flags++
	}
	for ch, c := range f.Counts {
		p.Least[ch] = min(p.Least[ch], max(c, p.Before.Counts[ch]))
		p.Most[ch] = max(p.Most[ch], min(c, p.Before.Counts[ch]))
	}
	p.Before = *f
}

func (p *PowerUp) tell(v *View, emit fact.Emit) {
	t := &v.Taps[p.Tap]
	d := fact.PowerUpData{Tap: t.Name, Off: p.Off, Frames: p.Frames, Flagged: p.Flags, FirstNS: -1}
	if p.Frames > 0 {
		d.FirstNS = p.First - p.Since
		for ch := range p.Least {
			a, b := v.Sheet.Scale.Width(int64(p.Least[ch])), v.Sheet.Scale.Width(int64(p.Most[ch]))
			d.Channels = append(d.Channels, fact.PowerUpRanges{LeastNS: min(a, b), MostNS: max(a, b)})
		}
	}
	emit(fact.PowerUpMeasured, p.Since, t.About(), d)
}

// Due implements Watcher.
func (p *PowerUp) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (p *PowerUp) Expire(fact.Time, *View, fact.Emit) {}
