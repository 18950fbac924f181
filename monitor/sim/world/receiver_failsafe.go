package world

import "math/rand/v2"

// failsafeTiming is how a receiver takes the loss of its signal: what the seed made of
// its plan. Times are ns.
type failsafeTiming struct {
	after   int64 // from the last packet to failsafe
	misses  int64 // from the last packet to the frame-lost flag
	flagged int64 // from the last packet to the failsafe flag
	holds   int64 // from failsafe to leaving the last values
	ramp    int64 // from the last values to the presets
	regain  int64 // from the first packet back to the end of failsafe
	teach   int64 // from lesson to lesson, see presetSender
	presets map[int]uint32
}

func newFailsafeTiming(s *Plan, plan *ReceiverPlan, rng *rand.Rand) failsafeTiming {
	t := failsafeTiming{presets: map[int]uint32{}}
	t.after = plan.FailsafeAfter.draw(rng)
	t.misses = max(plan.LostFlagAfter.draw(rng), s.PacketEvery+overdue)
	t.flagged = max(plan.FailsafeFlagAfter.draw(rng), t.after)
	t.holds = plan.HoldsFor.draw(rng)
	t.ramp = plan.Ramp.draw(rng)
	t.regain = plan.RegainAfter.draw(rng)
	t.teach = plan.TeachEvery.draw(rng)
	for number := range MaxChannel { // in order, so that a seed gives them all
		if preset, has := plan.Presets[number]; has {
			t.presets[number] = uint32(s.countsOf(preset).draw(rng))
		}
	}
	return t
}

// listen draws its conclusions from how long it has heard nothing.
func (r *receiver) listen(now int64) {
	unheard := now - r.heardAt
	if r.lost(now) {
		r.back = Never
	}
	if !r.failsafe && unheard > r.timing.after {
		r.failsafe, r.flagged, r.back = true, false, Never
		r.given = presetRamp{from: r.heard, to: r.presets(), starts: now + r.timing.holds, takes: r.timing.ramp, presets: r.taught}
		r.truths.note(now, "failsafe", r.plan.Name, "entered")
		r.lossRecorder.failsafe()
	}
	if r.failsafe && unheard > r.timing.flagged {
		r.flagged = true
	}
}

// lost says whether a packet is missing at a moment.
func (r *receiver) lost(now int64) bool { return now-r.heardAt > r.bench.PacketEvery+overdue }

// silent says whether no frame is sent at a moment.
func (r *receiver) silent(now int64) bool {
	switch {
	case !r.awake(now), now < r.muted:
		return true
	case !r.failsafe:
		return false
	case !r.linked:
		return r.plan.Wakes == LossSilent
	}
	return r.plan.OnLoss == LossSilent && now >= r.given.starts
}

// receive takes a packet.
func (r *receiver) receive(now int64, counts *values) {
	r.heard, r.heardAt = *counts, now
	if !r.failsafe {
		return
	}
	r.back = min(r.back, now)
	if now-r.back >= r.timing.regain && !(r.linked && r.plan.NeverBack) {
		r.failsafe, r.linked = false, true
		r.truths.note(now, "failsafe", r.plan.Name, "left")
	}
}
