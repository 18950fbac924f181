//go:build outside && linux

package main

import (
	"math/rand/v2"
	"slices"
	"sync"

	"benchproof.example/monitor/sim/world"
)

// wire is the far end of a port to which things happen while a bench plays.
type wire struct {
	mu       sync.Mutex
	end      world.Sink
	late     bool // what comes waits
	waiting  []world.Delivery
	babbling *rand.Rand // what nobody sent comes along; nil: it does not
}

// Deliver implements world.Sink.
func (w *wire) Deliver(d world.Delivery) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.late {
		d.Data = slices.Clone(d.Data)
		w.waiting = append(w.waiting, d)
		return nil
	}
	if w.babbling != nil {
		noise := make([]byte, 1+w.babbling.IntN(60))
		for i := range noise {
			noise[i] = byte(w.babbling.Uint32())
		}
		if err := w.end.Deliver(world.Delivery{Kind: world.Data, Data: noise}); err != nil {
			return err
		}
	}
	return w.end.Deliver(d)
}

// happens does something to the port, between two deliveries.
func (w *wire) happens(do func(w *wire) error) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	return do(w)
}

// setPlug pulls the plug, or puts it in again.
func setPlug(in bool) func(*wire) error {
	kind := world.Unplugged
	if in {
		kind = world.Plugged
	}
	return func(w *wire) error { return w.end.Deliver(world.Delivery{Kind: kind}) }
}

// clog has what comes wait, or come at once.
func clog(late bool) func(*wire) error {
	return func(w *wire) error {
		waiting := w.waiting
		w.late, w.waiting = late, nil
		for i := range waiting {
			if err := w.end.Deliver(waiting[i]); err != nil {
				return err
			}
		}
		return nil
	}
}

// babble has noise come along, or no more.
func babble(noise *rand.Rand) func(*wire) error {
	return func(w *wire) error {
		w.babbling = noise
		return nil
	}
}
