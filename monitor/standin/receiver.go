package standin

import (
	"math"
	"math/rand/v2"
	"time"

	"benchproof.example/decode/servobus"
)

const (
	// jitter is how far a frame starts off the receiver's own grid, ns.
	jitter = int64(50 * time.Microsecond)
	// overdue is what a packet may be late, by clocks that differ, before it
	// counts as missed.
	overdue = int64(time.Millisecond)

	longAgo = math.MinInt64 / 2
)

// receiver hears packets and sends bus frames, each at its own pace: one
// missed packet may show in several frames. It wakes up in failsafe.
type receiver struct {
	script *Script
	plan   *tapPlan
	rng    *rand.Rand
	ledger *ledger
	wire   *wire

	every, grid, next int64 // ns: its period, the slot's date by its clock, the frame's start
	heard             [servobus.Channels]uint16
	heardAt           int64
	failsafe          bool
	given             [servobus.Channels]uint16 // what it sends in failsafe
	back              int64                     // the first packet since the failsafe, or never
	astray            int64                     // until when it stays at its presets by mistake
	spikes            []*spike
	frames            int
}

func newReceiver(s *Script, plan *tapPlan, rng *rand.Rand, l *ledger, w *wire) *receiver {
	r := &receiver{script: s, plan: plan, rng: rng, ledger: l, wire: w, heard: s.neutral(), heardAt: longAgo}
	r.every = ownPace(rng, plan.period)
	r.grid = jitter + rng.Int64N(r.every)
	r.next = r.start()
	r.giveUp()
	for i := range s.spikes {
		r.spikes = append(r.spikes, newSpike(&s.spikes[i]))
	}
	return r
}

// start is when the frame of the slot starts.
func (r *receiver) start() int64 { return r.grid + r.rng.Int64N(2*jitter+1) - jitter }

// hear takes a packet.
func (r *receiver) hear(now int64, counts *[servobus.Channels]uint16) {
	r.heard, r.heardAt = *counts, now
	if !r.failsafe {
		return
	}
	r.back = min(r.back, now)
	if now-r.back >= r.plan.regain {
		r.failsafe = false
		r.ledger.note(now, "failsafe", r.plan.name, "left")
	}
}

func (r *receiver) giveUp() {
	r.failsafe, r.back = true, never
	r.takePresets()
}

// hiccup has it take up its presets for a while, and say nothing of it.
func (r *receiver) hiccup(now, lasts int64) {
	r.astray = now + lasts
	if !r.failsafe {
		r.takePresets()
	}
	r.ledger.note(now, "hiccup", r.plan.name, "began")
	r.ledger.note(r.astray, "hiccup", r.plan.name, "ended")
}

func (r *receiver) takePresets() {
	r.given = r.heard
	for number, count := range r.plan.presets {
		r.given[number] = count
	}
}

func (r *receiver) due() int64 { return within(r.script, r.next) }

// act sends the frame of this slot, if any.
func (r *receiver) act() {
	now := r.next
	lost := now-r.heardAt > r.script.packets+overdue
	if lost {
		r.back = never
	}
	if !r.failsafe && now-r.heardAt > r.plan.after {
		r.giveUp()
		r.ledger.note(now, "failsafe", r.plan.name, "entered")
	}
	r.grid += r.every
	r.next = r.start()
	r.wire.slot(now, r.next)
	if !r.failsafe || r.plan.onLoss != onLossSilent {
		r.wire.frame(now, r.frame(now, lost))
	}
	r.wire.rest()
}

func (r *receiver) frame(now int64, lost bool) servobus.Frame {
	f := servobus.Frame{Counts: r.heard}
	if r.failsafe || now < r.astray {
		f.Counts = r.given
	}
	for _, s := range r.spikes {
		if s.strikes(now) && !r.failsafe {
			f.Counts[s.plan.number] = s.plan.count
		}
	}
	if lost && r.plan.flagsLost {
		f.Flags |= servobus.FlagFrameLost
	}
	if r.failsafe && r.plan.flagsFailsafe {
		f.Flags |= servobus.FlagFailsafe
	}
	if r.plan.slots {
		f.Footer = uint8(r.frames&3)<<4 | 0x04 // from memory
	}
	r.frames++
	return f
}
