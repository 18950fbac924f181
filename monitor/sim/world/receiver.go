package world

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
	// A receiver that is given power sends its first frame after a time from
	// bootFrom to bootTo (an assumption).
	bootFrom = int64(50 * time.Millisecond)
	bootTo   = int64(300 * time.Millisecond)

	longAgo = math.MinInt64 / 2
)

// receiver hears packets and sends bus frames, each at its own pace: one
// missed packet may show in several frames. It wakes up in failsafe.
type receiver struct {
	script       *Script
	plan         *tapPlan
	rng          *rand.Rand
	fate         *rand.Rand // what it does about a loss, apart from the pace of its frames
	behaviour    lossBehaviour
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

func newReceiver(s *Script, plan *tapPlan, streams streams, l *truthLog, w *wire) *receiver {
	r := &receiver{
		script: s, plan: plan, truths: l, wire: w,
		rng: streams.of("receiver " + plan.name), fate: streams.of("fate " + plan.name),
		lossRecorder: newLossRecorder(s, plan, l),
	}
	r.behaviour = newLossBehaviour(s, plan, r.fate)
	r.stabiliser = newStabiliser(plan.stabiliser, streams.of("stabiliser "+plan.name))
	r.every = ownPace(r.rng, plan.period)
	r.grid = jitter + r.rng.Int64N(r.every)
	r.next = r.start()
	r.wake(0)
	for i := range s.spikes {
		r.spikes = append(r.spikes, newSpike(&s.spikes[i]))
	}
	return r
}

// start is when the frame of the slot starts.
func (r *receiver) start() int64 { return r.grid + r.rng.Int64N(2*jitter+1) - jitter }

// wake has it begin anew, without a memory of what it heard.
func (r *receiver) wake(booted int64) {
	r.booted, r.linked, r.taught = booted, false, r.plan.teach.high == 0
	r.heard, r.heardAt, r.back, r.astray = r.script.neutral(), longAgo, never, longAgo
	r.failsafe, r.flagged = true, true
	r.given = presetRamp{from: r.heard, to: r.heard, starts: longAgo}
	if r.plan.wakes == onLossPreset {
		r.given.to = r.presets()
	}
}

// power gives it power, or takes it.
func (r *receiver) power(now int64, on bool) {
	if on == (r.booted < never) {
		return
	}
	booted := int64(never)
	if on {
		booted = now + bootFrom + r.fate.Int64N(bootTo-bootFrom)
	}
	r.wake(booted)
	r.lossRecorder.restart()
	r.truths.note(now, "power", r.plan.name, onOff(on))
}

func (r *receiver) awake(now int64) bool { return now >= r.booted }

// receive takes a packet.
func (r *receiver) receive(now int64, counts *values) {
	r.heard, r.heardAt = *counts, now
	if !r.failsafe {
		return
	}
	r.back = min(r.back, now)
	if now-r.back >= r.behaviour.regain && !(r.linked && r.plan.neverBack) {
		r.failsafe, r.linked = false, true
		r.truths.note(now, "failsafe", r.plan.name, "left")
	}
}

// learn takes the presets that came with a packet.
func (r *receiver) learn(now int64) {
	if !r.taught {
		r.taught = true
		r.truths.note(now, "presets", r.plan.name, "taught")
	}
}

// presets are the values heard last, but for the channels that have a preset.
func (r *receiver) presets() values {
	counts := r.heard
	if r.taught {
		for number, count := range r.behaviour.presets {
			counts[number] = count
		}
	}
	return counts
}

// hiccup has it take up its presets for a while, and say nothing of it.
func (r *receiver) hiccup(now, lasts int64) {
	r.astray = now + lasts
	if !r.failsafe {
		r.given = presetRamp{from: r.heard, to: r.presets(), starts: now}
	}
	r.truths.note(now, "hiccup", r.plan.name, "began")
	r.truths.note(r.astray, "hiccup", r.plan.name, "ended")
}

// mute has it send nothing for a while.
func (r *receiver) mute(now, lasts int64) { r.muted = max(r.muted, now+lasts) }

func (r *receiver) due() int64 { return within(r.script, r.next) }

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

// listen draws its conclusions from how long it has heard nothing.
func (r *receiver) listen(now int64) {
	unheard := now - r.heardAt
	if r.lost(now) {
		r.back = never
	}
	if !r.failsafe && unheard > r.behaviour.after {
		r.failsafe, r.flagged, r.back = true, false, never
		r.given = presetRamp{from: r.heard, to: r.presets(), starts: now + r.behaviour.holds, takes: r.behaviour.ramp, presets: r.taught}
		r.truths.note(now, "failsafe", r.plan.name, "entered")
		r.lossRecorder.failsafe()
	}
	if r.failsafe && unheard > r.behaviour.flagged {
		r.flagged = true
	}
}

// lost says whether a packet is missing at a moment.
func (r *receiver) lost(now int64) bool { return now-r.heardAt > r.script.packets+overdue }

// silent says whether no frame is sent at a moment.
func (r *receiver) silent(now int64) bool {
	switch {
	case !r.awake(now), now < r.muted:
		return true
	case !r.failsafe:
		return false
	case !r.linked:
		return r.plan.wakes == onLossSilent
	}
	return r.plan.onLoss == onLossSilent && now >= r.given.starts
}

func (r *receiver) send(now int64) {
	counts := r.values(now)
	f := counts.frame(r.flags(now))
	if r.plan.slots {
		f.Footer = uint8(r.frames&3)<<4 | 0x04 // from memory
	}
	r.frames++
	wrong := r.garble.spoil(&f)
	if !r.wire.frame(now, f) {
		return
	}
	live := !r.failsafe && !r.lost(now) && !wrong
	end := now + servobus.FrameTime - servobus.LastStop
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
			counts[s.plan.number] = s.plan.count
		}
	}
	return counts
}

func (r *receiver) flags(now int64) uint8 {
	var due uint8
	if now-r.heardAt > r.behaviour.misses {
		due |= servobus.FlagFrameLost
	}
	if r.failsafe && r.flagged {
		due |= servobus.FlagFailsafe
	}
	if !r.linked {
		return due&r.plan.early | r.plan.always
	}
	return due&r.plan.flags | r.plan.always
}
