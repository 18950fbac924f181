package watch

import "benchproof.example/monitor/fact"

// periodGrain is what the announced period is rounded to.
const periodGrain = 100 * fact.Microsecond

// Period says how often frames come once that is known, and when it changes by
// more than a twentieth.
type Period struct {
	Tap  uint8
	Said fact.Time // 0: nothing yet
}

// See implements Watcher.
func (p *Period) See(o *fact.Observation, v *View, emit fact.Emit) {
	if o.Tap != p.Tap || o.Kind != fact.FrameSeen || !o.Pace.Known {
		return
	}
	if off := o.Pace.Period - p.Said; p.Said != 0 && Abs(int64(off)) <= int64(p.Said)/20 {
		return
	}
	now := (o.Pace.Period + periodGrain/2) / periodGrain * periodGrain
	emit(fact.PeriodChanged, o.Wire, v.Taps[p.Tap].About(), fact.PeriodData{PeriodNS: now, WasNS: p.Said})
	p.Said = max(now, 1)
}

// Due implements Watcher.
func (p *Period) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (p *Period) Expire(fact.Time, *View, fact.Emit) {}
