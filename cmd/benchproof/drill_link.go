package main

import (
	"context"
	"time"

	"benchproof.example/monitor/api/client"
	"benchproof.example/monitor/event"
)

// maxSteps is how many steps may wait for a daemon that does not answer.
const maxSteps = 64

// stepAnswer is what the daemon says to a step.
type stepAnswer struct {
	seq int64 // number of the event that the step caused, 0: none, or none yet
	err error // a *client.Refused where it was not taken
}

// change is something that a daemon is to take.
type change func(context.Context, *client.Client) (client.Accepted, error)

// waitingEvery is how often a terminal shows anew what a prompt sees.
const waitingEvery = 400 * time.Millisecond

// drillLink takes the steps of a drill to the daemon, one behind the other, and brings its
// answers and what is shown of the session meanwhile. Its goroutines end with the context
// that it was opened with.
type drillLink struct {
	steps   chan change
	answers chan stepAnswer
	waits   chan *client.Waiting // what is waited for, anew and anew; where somebody looks
	events  chan []byte          // timeline lines; closed when the daemon says no more
}

// openLink opens a link. All that a step causes is among its events.
func openLink(ctx context.Context, daemon *client.Client) (*drillLink, error) {
	events, err := daemon.Follow(ctx)
	if err != nil {
		return nil, err
	}
	l := &drillLink{steps: make(chan change, maxSteps), answers: make(chan stepAnswer), events: make(chan []byte), waits: make(chan *client.Waiting)}
	go l.follow(ctx, events)
	go l.ask(ctx, daemon)
	return l, nil
}

// send has a step taken to the daemon, and reports whether there was room for it.
func (l *drillLink) send(step *event.DrillStep) bool {
	return l.take(func(ctx context.Context, daemon *client.Client) (client.Accepted, error) {
		return daemon.Drill(ctx, step)
	})
}

// reopen has what depends on something seen anew, and reports whether there was room for it.
func (l *drillLink) reopen(what string) bool {
	return l.take(func(ctx context.Context, daemon *client.Client) (client.Accepted, error) {
		return daemon.Reopen(ctx, what)
	})
}

func (l *drillLink) take(c change) bool {
	select {
	case l.steps <- c:
		return true
	default:
		return false
	}
}

func (l *drillLink) follow(ctx context.Context, events *client.Events) {
	defer close(l.events)
	defer events.Close()
	for {
		line, err := events.Next()
		if err != nil {
			return
		}
		select {
		case l.events <- line:
		case <-ctx.Done():
			return
		}
	}
}

func (l *drillLink) ask(ctx context.Context, daemon *client.Client) {
	for {
		select {
		case <-ctx.Done():
			return
		case takes := <-l.steps:
			accepted, err := takes(ctx, daemon)
			select {
			case l.answers <- stepAnswer{accepted.Seq, err}:
			case <-ctx.Done():
				return
			}
		}
	}
}

// look asks again and again what the prompt that stands sees and waits for, until ctx ends. A
// daemon that does not answer says nothing here: the stream of events says so.
func (l *drillLink) look(ctx context.Context, daemon *client.Client) {
	every(ctx, waitingEvery, func() {
		now, err := daemon.Waiting(ctx)
		if err != nil || now == nil {
			return
		}
		select {
		case l.waits <- now:
		case <-ctx.Done():
		}
	})
}
