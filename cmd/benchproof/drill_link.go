package main

import (
	"context"

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

// drillLink takes the steps of a drill to the daemon, one behind the other, and brings its
// answers and what is shown of the session meanwhile. Its goroutines end with the context
// that it was opened with.
type drillLink struct {
	steps   chan *event.DrillStep
	answers chan stepAnswer
	events  chan []byte // timeline lines; closed when the daemon says no more
}

// openLink opens a link. All that a step causes is among its events.
func openLink(ctx context.Context, daemon *client.Client) (*drillLink, error) {
	events, err := daemon.Follow(ctx)
	if err != nil {
		return nil, err
	}
	l := &drillLink{steps: make(chan *event.DrillStep, maxSteps), answers: make(chan stepAnswer), events: make(chan []byte)}
	go l.follow(ctx, events)
	go l.ask(ctx, daemon)
	return l, nil
}

// send has a step taken to the daemon, and reports whether there was room for it.
func (l *drillLink) send(step *event.DrillStep) bool {
	select {
	case l.steps <- step:
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
		case step := <-l.steps:
			accepted, err := daemon.Drill(ctx, step)
			select {
			case l.answers <- stepAnswer{accepted.Seq, err}:
			case <-ctx.Done():
				return
			}
		}
	}
}
