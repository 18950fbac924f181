package world

import (
	"context"
	"fmt"
	"time"
)

// Sink is where a tap's deliveries go in a play. Deliver must not block for
// long: what nobody takes is lost, as on a wire. It may keep d.Data.
type Sink interface {
	Deliver(d Delivery) error
}

// SinkFunc is an End made of a function.
type SinkFunc func(Delivery) error

// Deliver calls the function.
func (f SinkFunc) Deliver(d Delivery) error { return f(d) }

// Clock paces a play.
type Clock interface {
	Now() time.Time
	// WaitUntil returns nil at t, at once if t is past, and the context's
	// error as soon as that is done.
	WaitUntil(ctx context.Context, t time.Time) error
}

// RealTime is the machine's clock.
type RealTime struct{}

// Now is the present.
func (RealTime) Now() time.Time { return time.Now() }

// WaitUntil waits on a timer.
func (RealTime) WaitUntil(ctx context.Context, t time.Time) error {
	timer := time.NewTimer(time.Until(t))
	defer timer.Stop()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-timer.C:
		return nil
	}
}

// Play hands the deliveries of sim to ends, one end for each tap in order, each
// delivery at its date counted from the start of the play. A delivery that is
// late does not delay the next ones. Play returns nil when the plan is over,
// the context's error when that is done, or what an end could not do.
func Play(ctx context.Context, sim *Sim, ends []Sink, clock Clock) error {
	if err := sim.fits(ends); err != nil {
		return err
	}
	start := clock.Now()
	for {
		d, more := sim.Next()
		if !more {
			return clock.WaitUntil(ctx, start.Add(time.Duration(sim.Length())))
		}
		if err := sim.deliver(ctx, d, ends, start, clock); err != nil {
			return err
		}
	}
}

// stride is how far a driven play simulates ahead of its clock, ns.
const stride = int64(5 * time.Millisecond)

// PlayDriven is Play for a Sim that is driven: drive is called every few milliseconds
// with the first moment that is not simulated yet, and may call Sim.Do from there on. Without an
// end it goes on until the context is done.
func PlayDriven(ctx context.Context, sim *Sim, ends []Sink, clock Clock, drive func(at int64) error) error {
	if err := sim.fits(ends); err != nil {
		return err
	}
	start := clock.Now()
	for at := int64(0); at < sim.Length(); at += stride {
		if err := drive(at); err != nil {
			return err
		}
		for _, d := range sim.Advance(min(at+stride, sim.Length())) {
			if err := sim.deliver(ctx, d, ends, start, clock); err != nil {
				return err
			}
		}
		if err := clock.WaitUntil(ctx, start.Add(time.Duration(at+stride))); err != nil {
			return err
		}
	}
	return nil
}

func (s *Sim) fits(ends []Sink) error {
	if got, want := len(ends), len(s.outlets); got != want {
		return fmt.Errorf("play: got %d ends, want one for each of %d taps", got, want)
	}
	return nil
}

// deliver hands over a delivery at its date.
func (s *Sim) deliver(ctx context.Context, d Delivery, ends []Sink, start time.Time, clock Clock) error {
	if err := clock.WaitUntil(ctx, start.Add(time.Duration(d.At))); err != nil {
		return err
	}
	if err := ends[d.Tap].Deliver(d); err != nil {
		return fmt.Errorf("play: tap %s at %v: %w", s.plan.TapNames()[d.Tap], time.Duration(d.At), err)
	}
	return nil
}
