package port

import (
	"context"
	"strconv"
	"time"

	"benchproof.example/monitor/event"
)

// Counters are what a serial driver counts by itself, as far as it does.
type Counters struct {
	Received       int64 `json:"received"`        // characters
	Parity         int64 `json:"parity"`          // characters with a parity error
	Framing        int64 `json:"framing"`         // characters without a stop bit
	Breaks         int64 `json:"breaks"`          // line held at the start level for more than a character
	Overruns       int64 `json:"overruns"`        // characters lost in the adapter
	BufferOverruns int64 `json:"buffer_overruns"` // characters lost in the system's buffer
}

// plus adds what went on between two readings of a driver. Drivers count in 32
// bits and go round.
func (c Counters) plus(was, now Counters) Counters {
	grown := func(a, b int64) int64 { return int64(uint32(b) - uint32(a)) }
	return Counters{
		Received:       c.Received + grown(was.Received, now.Received),
		Parity:         c.Parity + grown(was.Parity, now.Parity),
		Framing:        c.Framing + grown(was.Framing, now.Framing),
		Breaks:         c.Breaks + grown(was.Breaks, now.Breaks),
		Overruns:       c.Overruns + grown(was.Overruns, now.Overruns),
		BufferOverruns: c.BufferOverruns + grown(was.BufferOverruns, now.BufferOverruns),
	}
}

// lost is how many characters never arrived.
func (c Counters) lost() int64 { return c.Overruns + c.BufferOverruns }

// Counters is what the driver counted while the port was open here, over all its
// openings, so it never falls. false: the driver has reported nothing yet, or reports
// nothing at all. It may be called at any time, from any goroutine.
func (p *Port) Counters() (Counters, bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.counted, p.counts
}

// countEach is how often the driver is asked.
const countEach = time.Second

// count asks the driver each second, until ctx is done or it does not answer, and
// puts what the port lost.
func (p *Port) count(ctx context.Context, l line) {
	was, ok := l.counters()
	if !ok {
		return
	}
	p.mu.Lock()
	p.counts = true
	p.mu.Unlock()
	tick := time.NewTicker(countEach)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		now, ok := l.counters()
		if !ok {
			return
		}
		if lost := p.add(was, now); lost > 0 {
			p.Seq.Put(p.Tap, event.InputOverrun, strconv.AppendInt(nil, lost, 10))
		}
		was = now
	}
}

// add says how many characters more were lost.
func (p *Port) add(was, now Counters) int64 {
	p.mu.Lock()
	defer p.mu.Unlock()
	before := p.counted.lost()
	p.counted = p.counted.plus(was, now)
	return p.counted.lost() - before
}
