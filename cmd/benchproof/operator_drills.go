package main

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"time"

	"benchproof.example/monitor/api/client"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sim/operator"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/timeline"
)

// operatorDrills is simulated hands that go through the drills for which a model is tilted.
// They ask for a drill and answer its prompts as a person does in another terminal,
// and move what the simulated bench has.
type operatorDrills struct {
	folder session.Folder
	hands  operator.Operator
	orders chan string // to the simulated bench
}

func newOperatorDrills(s *liveSession, seed uint64) *operatorDrills {
	return &operatorDrills{
		folder: s.folder, orders: make(chan string),
		hands: operator.Operator{Sheet: s.sheet, Rand: rand.New(rand.NewPCG(seed, 5)), ConfirmsTilts: true},
	}
}

// play has the bench simulated and led until the drills are over.
func (t *operatorDrills) play(ctx context.Context, bench *script.Driver, ends []world.Sink) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	done := make(chan error, 1)
	go func() {
		done <- t.drills(ctx)
		stop()
	}()
	played := script.PlayOrders(ctx, bench, ends, world.RealTime{}, t.orders)
	over := ctx.Err() != nil
	stop()
	err := <-done
	if !over { // the bench came to grief, and the drills with it
		err = played
	}
	var refused *failure
	if errors.As(err, &refused) {
		return err
	}
	return fail(exitFault, err)
}

const (
	settleTime = 2500 * time.Millisecond // after its first frames, until a bench is known well enough
	readTime   = 1500 * time.Millisecond // of the cautions
)

func (t *operatorDrills) drills(ctx context.Context) error {
	if err := t.do(ctx, operator.Step{Do: "signal on"}); err != nil {
		return err
	}
	if err := t.do(ctx, operator.Step{Wait: settleTime}); err != nil {
		return err
	}
	daemon, err := client.Dial(string(t.folder))
	if err != nil {
		return err
	}
	defer daemon.Close()
	events, err := daemon.Follow(ctx)
	if err != nil {
		return err
	}
	defer events.Close()
	for _, name := range []string{drill.Response, drill.Correction} {
		if err := t.drill(ctx, daemon, events, name); err != nil {
			return err
		}
	}
	return t.do(ctx, operator.Step{Wait: listenAfterScript})
}

// do waits, and then has the bench do something.
func (t *operatorDrills) do(ctx context.Context, s operator.Step) error {
	if rest(ctx, s.Wait); ctx.Err() != nil {
		return ctx.Err()
	}
	if s.Do == "" {
		return nil
	}
	select {
	case <-ctx.Done():
		return ctx.Err()
	case t.orders <- s.Do:
		return nil
	}
}

// drill goes through one drill.
func (t *operatorDrills) drill(ctx context.Context, daemon *client.Client, events *client.Events, name string) error {
	ask := func(do, prompt, words string) error {
		_, err := daemon.Drill(ctx, &event.DrillStep{Drill: name, Do: do, Prompt: prompt, Words: words, By: "simulated hands"})
		var refused *client.Refused
		if errors.As(err, &refused) {
			return fail(exitUsage, err)
		}
		return err
	}
	if err := ask(event.StepBegin, "", ""); err != nil {
		return err
	}
	for {
		line, err := events.Next()
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case err != nil:
			return err
		}
		e, err := timeline.Parse(line)
		if err != nil {
			return err
		}
		if over, err := t.onEvent(ctx, &e, ask); over || err != nil {
			return err
		}
	}
}

// onEvent does what an event of the session asks for, and reports whether the drill is over.
func (t *operatorDrills) onEvent(ctx context.Context, e *timeline.Entry, ask func(do, prompt, words string) error) (over bool, err error) {
	switch e.Kind {
	case event.DrillBegan:
		if rest(ctx, readTime); ctx.Err() != nil {
			return false, ctx.Err()
		}
		return false, ask(event.StepConfirm, "", "") // nothing here can run
	case event.DrillRefused:
		return true, fail(exitUsage, errors.New(read[event.ReasonData](e).Why))
	case event.DrillEnded:
		if d := read[event.DrillEndedData](e); d.How != "finished" {
			return true, fmt.Errorf("the %s: %s", d.How, d.Why)
		}
		return true, nil
	case event.DrillPrompted:
		prompt := read[event.DrillPromptedData](e).Prompt
		for _, s := range t.hands.Follow(prompt) {
			if err := t.do(ctx, s); err != nil {
				return false, err
			}
			if s.Enter {
				if err := ask(event.StepDone, prompt, s.Words); err != nil {
					return false, err
				}
			}
		}
	}
	return false, nil
}
