package world

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"
)

// Never is later than every date.
const Never = math.MaxInt64

// actor is a part of the bench that acts at moments of its own. due is the
// next of them, or never; act is called at that moment and must move due on.
type actor interface {
	due() int64
	act()
}

// Sim plays a plan in simulated time. It holds what is on its way and, only
// if asked, what has been: a long plan needs no more memory than a short one.
// Next and Advance both step it; what they yield does not depend on how.
type Sim struct {
	// KeepTruth, set before the first step, has FrameEnds, Frames, Pulses and Truth recorded.
	KeepTruth bool

	plan          Plan // its own copy, since Do may set the end
	truths        truthLog
	director      *director
	transmitter   *transmitter
	installations []*installation
	leads         *leads    // nil: no board listens
	phone         *phone    // nil: none lies on the model
	intakes       []*intake // of the taps that are plugged in
	outlets       []*outlet // of all taps
	actors        []actor   // of those due at the same moment the first acts first
	now           int64     // the first moment that is not simulated yet
}

// New sets up a bench. The same plan and seed give the same deliveries.
func New(s *Plan, seed uint64) *Sim {
	sim := &Sim{plan: *s}
	from := streams{seed}
	sim.director = newDirector(sim, from.of("director"))
	sim.transmitter = newTransmitter(&sim.plan, from, &sim.truths)
	sim.actors = []actor{sim.director, sim.transmitter}
	for i := range s.Receivers {
		b := newInstallation(&sim.plan, i, from, &sim.truths)
		sim.installations = append(sim.installations, b)
		sim.transmitter.links = append(sim.transmitter.links, b.link)
		sim.intakes = append(sim.intakes, b.intake)
		sim.actors = append(sim.actors, b.rx, b.wire, b.adapter)
	}
	if s.Board != nil {
		sim.leads = newLeads(&sim.plan, sim.installations[s.Board.Receiver].rx, from, &sim.truths)
		sim.intakes = append(sim.intakes, sim.leads.board.intake)
		sim.actors = append(sim.actors, sim.leads.actors()...)
	}
	for _, in := range sim.intakes {
		sim.outlets = append(sim.outlets, in.outlet)
	}
	if s.Phone != nil && sim.leads != nil {
		lies := newPhone(&sim.plan, len(sim.outlets), sim.leads.hands, from)
		sim.phone = lies
		sim.outlets = append(sim.outlets, lies.outlet)
		sim.actors = append(sim.actors, lies)
	}
	return sim
}

// Next is the next delivery of any tap, in order of At, and false after the
// last. What is on its way when the plan ends is still delivered. A plan
// without an end has no last delivery.
func (s *Sim) Next() (Delivery, bool) { return s.next(Never) }

// Advance simulates up to a moment, ns since the start, but not that moment
// itself, so that Do may still put a step there. It returns the deliveries in
// between, in order of At. A moment in the past simulates nothing.
func (s *Sim) Advance(until int64) []Delivery {
	var got []Delivery
	for d, ok := s.next(until); ok; d, ok = s.next(until) {
		got = append(got, d)
	}
	return got
}

// next is the next delivery before a moment, if there is one.
func (s *Sim) next(until int64) (Delivery, bool) {
	s.truths.keep = s.KeepTruth
	for {
		next, due := s.earliest()
		if b := s.ready(); b.head() <= due && b.head() < until {
			d := b.take()
			s.now = d.At + 1 // nothing acted later than that
			return d, true
		}
		if due >= until {
			s.now = max(s.now, until)
			return Delivery{}, false
		}
		next.act()
	}
}

func (s *Sim) earliest() (actor, int64) {
	next, due := s.actors[0], s.actors[0].due()
	for _, a := range s.actors[1:] {
		if d := a.due(); d < due {
			next, due = a, d
		}
	}
	return next, due
}

// ready is the outlet with the earliest delivery, the first one of equals.
func (s *Sim) ready() *outlet {
	best := s.outlets[0]
	for _, out := range s.outlets[1:] {
		if out.head() < best.head() {
			best = out
		}
	}
	return best
}

// FrameEnds are the dates on the wire, ns, at which the frames sent so far were
// complete: the end of the last character's first stop bit. Empty without
// KeepTruth. The tap is a bus.
func (s *Sim) FrameEnds(tap int) []int64 { return slices.Clone(s.installations[tap].wire.ends) }

// Frames are the frames sent so far on a bus, and what they don't show by
// themselves. Empty without KeepTruth.
func (s *Sim) Frames(tap int) []Frame { return slices.Clone(s.installations[tap].rx.sent) }

// Pulses are the servo pulses that have ended so far, in order of their ends,
// whether a board reported them or not. Empty without KeepTruth.
func (s *Sim) Pulses() []Pulse {
	if s.leads == nil {
		return nil
	}
	return slices.Clone(s.leads.trail.ended)
}

// Truth is what really happened so far, in order of time. Empty without
// KeepTruth.
func (s *Sim) Truth() []Truth { return s.truths.inOrder() }

// Now is the first moment that Do may name, ns since the start: the end of the
// last Advance, or just after the delivery that Next gave.
func (s *Sim) Now() int64 { return s.now }

// Length is when the plan ends, ns; the greatest int64 if it has no end.
func (s *Sim) Length() int64 { return s.plan.Length }

// streams gives each part of the bench random numbers of its own, so that
// another adapter, say, changes nothing on the wire.
type streams struct{ seed uint64 }

func (s streams) of(part string) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(part)) // a hash never fails
	return rand.New(rand.NewPCG(s.seed, h.Sum64()))
}
