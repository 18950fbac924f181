package link

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// periodGrain is what the announced period is rounded to.
const periodGrain = 100 * unit.Microsecond

// Period says how often frames come once that is known, and when it changes by
// more than a twentieth.
type Period struct {
	Tap  uint8
	Said unit.Duration // 0: nothing yet
}

// See implements Watcher.
func (p *Period) See(o *event.Observation, v *base.View, emit event.Emit) {
	if o.Tap != p.Tap || o.Kind != event.FrameSeen || !o.Pace.Known {
		return
	}
	if off := o.Pace.Period - p.Said; p.Said != 0 && unit.Abs(int64(off)) <= int64(p.Said)/20 {
		return
	}
	now := (o.Pace.Period + periodGrain/2) / periodGrain * periodGrain
	emit(event.PeriodChanged, o.Wire, v.Taps[p.Tap].About(), event.PeriodData{PeriodNS: now, WasNS: p.Said})
	p.Said = max(now, 1)
}
