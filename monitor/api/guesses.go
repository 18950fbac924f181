package api

import (
	"context"
	"sync"
	"sync/atomic"
	"time"
)

const (
	firstDelay = 125 * time.Millisecond // of the answer to a wrong token
	mostDelay  = 8 * time.Second
	// forgetting is how long it takes to halve the delay again.
	forgetting = 10 * time.Second
)

// guesses are wrong tokens: how many there were, and how long the answer to the next one
// waits, twice as long as that to the one before. A right token is answered at once, so
// that nobody who guesses keeps the owner waiting.
type guesses struct {
	count *atomic.Int64
	wait  func(context.Context, time.Duration) // returns early when the context is done

	mu     sync.Mutex
	streak int       // how often the delay was doubled
	latest time.Time // when the latest wrong one came
}

// wrong counts one and waits. It returns how long the next one would wait, if it came at once.
func (g *guesses) wrong(ctx context.Context) (next time.Duration) {
	g.count.Add(1)
	now := g.delay(time.Now())
	g.wait(ctx, now)
	return min(2*now, mostDelay)
}

// delay is how long the answer to a wrong token waits that comes now.
func (g *guesses) delay(now time.Time) time.Duration {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.streak = max(0, g.streak-int(now.Sub(g.latest)/forgetting))
	g.latest = now
	d := min(firstDelay<<g.streak, mostDelay)
	if d < mostDelay {
		g.streak++
	}
	return d
}

// waitFor waits, or until the context is done.
func waitFor(ctx context.Context, d time.Duration) {
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-timer.C:
	case <-ctx.Done():
	}
}
