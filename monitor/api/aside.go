package api

import (
	"context"
	"errors"
	"time"
)

// aside is work that may take long, and for which a disk may hang: one at a time, in a
// goroutine of its own.
type aside chan struct{}

func newAside() aside { return make(aside, 1) }

// turnPatience is how long one waits for the one before.
const turnPatience = 5 * time.Second

var (
	errOthersTurn = errors.New("somebody else asked for one and waits for it: ask again in a moment")
	errTooLong    = errors.New("it takes too long")
)

// inTime does work when its turn comes and returns what came of it, or that it takes too
// long: then it is left behind, and keeps others waiting until it ends.
func inTime[T any](ctx context.Context, a aside, patience time.Duration, work func(context.Context) (T, error)) (made T, err error) {
	turn := time.NewTimer(turnPatience)
	defer turn.Stop()
	select {
	case a <- struct{}{}:
	case <-turn.C:
		return made, errOthersTurn
	case <-ctx.Done():
		return made, ctx.Err()
	}
	ctx, cancel := context.WithTimeoutCause(ctx, patience, errTooLong)
	type result struct {
		made T
		err  error
	}
	done := make(chan result, 1)
	go func() {
		defer func() { <-a }()
		defer cancel()
		made, err := work(ctx)
		done <- result{made, err}
	}()
	select {
	case r := <-done:
		return r.made, r.err
	case <-ctx.Done():
	}
	select { // what is made is there before its context ends
	case r := <-done:
		return r.made, r.err
	default:
		return made, context.Cause(ctx)
	}
}
