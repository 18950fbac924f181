package standin

import (
	"context"
	"fmt"
	"time"
)

// End is where a tap's deliveries go in a play. Deliver must not block for
// long: what nobody takes is lost, as on a wire. It may keep d.Data.
type End interface {
	Deliver(d Delivery) error
}

// EndFunc is an End made of a function.
type EndFunc func(Delivery) error

// Deliver calls the function.
func (f EndFunc) Deliver(d Delivery) error { return f(d) }

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
// late does not delay the next ones. Play returns nil when the script is over,
// the context's error when that is done, or what an end could not do.
func Play(ctx context.Context, sim *Sim, ends []End, clock Clock) error {
	if got, want := len(ends), len(sim.intakes); got != want {
		return fmt.Errorf("play: got %d ends, want one for each of %d taps", got, want)
	}
	start := clock.Now()
	for {
		d, more := sim.Next()
		if !more {
			return clock.WaitUntil(ctx, start.Add(time.Duration(sim.Length())))
		}
		if err := clock.WaitUntil(ctx, start.Add(time.Duration(d.At))); err != nil {
			return err
		}
		if err := ends[d.Tap].Deliver(d); err != nil {
			return fmt.Errorf("play: tap %s at %v: %w", sim.intakes[d.Tap].name, time.Duration(d.At), err)
		}
	}
}
