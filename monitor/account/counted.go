package account

import (
	"math"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/share"
	"benchproof.example/monitor/reliability"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const hour = 60 * unit.Minute

// counts reports how the run stands, each hour of live time of the first bus.
func (a *Account) counts(v *base.View, emit event.Emit) {
	first := a.first(v)
	if first == nil || first.Times[live]-a.Counted < hour {
		return
	}
	a.Counted = first.Times[live]
	a.count(false, v, emit)
}

// count reports how the run stands on each bus.
func (a *Account) count(ended bool, v *base.View, emit event.Emit) {
	for i := 1; i < len(a.Taps); i++ {
		if a.Taps[i].Bus {
			a.counted(uint8(i), ended, v, emit)
		}
	}
}

// counted reports how it stands on one: only a sheet with limits has somebody who asks.
func (a *Account) counted(tap uint8, ended bool, v *base.View, emit event.Emit) {
	if a.sheet.Soak == nil {
		return
	}
	t := &a.Taps[tap]
	watched := t.Times[live]
	d := event.SoakData{
		Tap: t.Name, LiveNS: watched, Outages: t.Over.N, Occasions: t.Over.Occasions, Gone: t.Gone.Open && !t.Gone.Aside, Ended: ended,
		Frames: t.Missed.Frames, Missed: t.Missed.Missed,
	}
	over := t.withLast(a.Until)
	d.OneInNS = unit.Duration(over.HoursPerOccasion(watched)) * hour
	if limit := a.sheet.Soak.OneIn; limit > 0 && broken(t.Over.Occasions, watched, limit) {
		d.BrokenNS = limit
	}
	if s, ok := share.Of(t.Missed.Slots, t.Missed.Runs); ok {
		d.Known, d.PPM, d.LowPPM, d.HighPPM = true, s.PPM, s.Low, s.High
	} else if m := &t.Missed; m.Minutes > 0 {
		d.Minutes, d.Hit, d.AtMostPPM = m.Minutes, m.Hit, share.AtMost(m.Minutes, m.Hit)
	}
	emit(event.SoakCounted, a.Since, v.Taps[tap].About(), d)
}

// withLast are the outages, and the one that is not over as if it were the receiver's: what
// holds even then holds.
func (t *Tap) withLast(now unit.Time) reliability.Outages {
	over := t.Over
	over.Starts = slices.Clone(over.Starts)
	if t.Gone.Open && !t.Gone.Aside {
		end := now
		if t.Gone.Left != 0 {
			end = t.Gone.Left
		}
		over.Add(t.Gone.From, end, t.Times[live])
	}
	return over
}

// broken reports that so many occasions refute, 95 % sure and whenever somebody looks, that
// there is one in limit on average at most. How much likelier they are under a rate that is 2, 4,
// 8 or 16 times as high, averaged over these, grows to 20 with a probability of a twentieth
// at most where the limit holds (Ville's inequality).
func broken(occasions int64, watched, limit unit.Duration) bool {
	expected := float64(watched) / float64(limit)
	var likelier float64
	for _, times := range []float64{2, 4, 8, 16} {
		exponent := float64(float64(occasions)*math.Log(times)) - float64((times-1)*expected)
		likelier += math.Exp(exponent) / 4
	}
	return likelier >= 20
}
