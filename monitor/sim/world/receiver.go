package world

import (
	"math"
	"math/rand/v2"
	"time"

	"benchproof.example/decode/bus"
)

const (
	// jitter is how far a frame starts off the receiver's own grid, ns.
	jitter = int64(50 * time.Microsecond)
	// overdue is what a packet may be late, by clocks that differ, before it
	// counts as missed.
	overdue = int64(time.Millisecond)
	// A receiver that is given power sends its first frame after a time from
	// bootFrom to bootTo (an assumption).
	bootFrom = int64(50 * time.Millisecond)
	bootTo   = int64(300 * time.Millisecond)

	longAgo = math.MinInt64 / 2
)

// receiver hears packets and sends bus frames, each at its own pace: one
// missed packet may show in several frames. It wakes up in failsafe.
type receiver struct {
	bench        *Plan
	plan         *ReceiverPlan
	rng          *rand.Rand
	fate         *rand.Rand // what it does about a loss, apart from the pace of its frames
	timing       failsafeTiming
	truths       *truthLog
	lossRecorder *lossRecorder
	wire         *wire

	every, grid, next int64 // ns: its period, the slot's date by its clock, the frame's start
	booted            int64 // from when it works, never: it has no power
	linked            bool  // failsafe has ended once since then
	taught            bool  // it knows its presets
	heard             values
	heardAt           int64
	failsafe          bool
	flagged           bool       // the failsafe flag is due
	given             presetRamp // what it sends in failsafe
	back              int64      // the first packet since the failsafe, or never
	astray            int64      // until when it stays at its presets by mistake
	muted             int64      // until when it sends nothing
	garble            garble
	sent              []Frame // those sent, if somebody wants to know
	stabiliser        stabiliser
	spikes            []*spike
	frames            int
}

func newReceiver(s *Plan, plan *ReceiverPlan, streams streams, l *truthLog, w *wire) *receiver {
	r := &receiver{
		bench: s, plan: plan, truths: l, wire: w,
		rng: streams.of("receiver " + plan.Name), fate: streams.of("fate " + plan.Name),
		lossRecorder: newLossRecorder(s, plan, l),
	}
	r.timing = newFailsafeTiming(s, plan, r.fate)
	r.stabiliser = newStabiliser(s, plan.Stabiliser, streams.of("stabiliser "+plan.Name))
	r.every = ownPace(r.rng, plan.Period)
	r.grid = jitter + r.rng.Int64N(r.every)
	r.next = r.start()
	r.wake(0)
	for i := range s.Spikes {
		r.spikes = append(r.spikes, newSpike(&s.Spikes[i]))
	}
	return r
}

// start is when the frame of the slot starts.
func (r *receiver) start() int64 { return r.grid + r.rng.Int64N(2*jitter+1) - jitter }

func (r *receiver) due() int64 { return within(r.bench, r.next) }

// act sends the frame of this slot, if any.
func (r *receiver) act() {
	now := r.next
	if r.awake(now) {
		r.listen(now)
	}
	r.grid += r.every
	r.next = r.start()
	r.wire.slot(now, r.next)
	if r.silent(now) {
		r.lossRecorder.silence()
	} else {
		r.send(now)
	}
	r.wire.rest()
}

func (r *receiver) send(now int64) {
	counts := r.values(now)
	f := counts.frame(r.flags(now))
	if r.plan.FooterSlots {
		f.Private = uint8(r.frames&3)<<4 | 0x04 // from memory
	}
	r.frames++
	wrong := r.garble.spoil(&f)
	if !r.wire.frame(now, f) {
		return
	}
	live := !r.failsafe && !r.lost(now) && !wrong
	end := now + frameTime - lastStop
	r.lossRecorder.see(end, &f, glimpse{
		live:    live,
		settled: r.failsafe && r.given.arrived(now) && !wrong,
		presets: r.given.presets,
		wrong:   wrong,
	})
	if r.truths.keep {
		r.sent = append(r.sent, Frame{At: end, Frame: f, Live: live && now >= r.astray, Wrong: wrong})
	}
}

// valuesUsed are the values that it goes by: those that it heard, or in failsafe
// those that it has for it.
func (r *receiver) valuesUsed(now int64) values {
	if r.failsafe || now < r.astray {
		return r.given.at(now)
	}
	return r.heard
}

// values are those that it puts on the bus.
func (r *receiver) values(now int64) values {
	counts := r.valuesUsed(now)
	r.stabiliser.wander(now, r.failsafe, &counts)
	for _, s := range r.spikes {
		if s.strikes(now) && !r.failsafe {
			counts[s.plan.Number] = r.bench.count(s.plan.Width)
		}
	}
	return counts
}

func (r *receiver) flags(now int64) bus.Flags {
	var due FlagSet
	if now-r.heardAt > r.timing.misses {
		due |= LostFlag
	}
	if r.failsafe && r.flagged {
		due |= FailsafeFlag
	}
	if !r.linked {
		return bus.Flags(due&r.plan.EarlyFlags | r.plan.AlwaysFlags)
	}
	return bus.Flags(due&r.plan.Flags | r.plan.AlwaysFlags)
}
