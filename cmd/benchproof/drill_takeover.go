package main

import (
	"context"
	"fmt"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/timeline"
)

// takeOver goes on with a drill that another client began and perhaps left: it says again
// what was said last, and the next line of the person answers that.
func (e *drillDialogue) takeOver(ctx, talking context.Context) error {
	said, latest, err := e.saidSoFar(talking)
	switch {
	case err != nil:
		return daemonFault(ctx, err)
	case len(said) == 0:
		return fail(exitUsage, fmt.Errorf("no drill %s is under way that could be taken over: begin it with benchproof drill %s", e.name, e.name))
	}
	e.from, e.answered = latest+1, true
	began := read[event.DrillBeganData](&said[0])
	if len(said) == 1 {
		e.began(began)
		return nil
	}
	e.cautions("Drill %s, %d prompts, is taken over. All of this must be so, now as before:", began)
	for i := range said[1:] {
		e.event(&said[1+i])
	}
	e.count.from(e.left(&said[1], time.Now()))
	return nil
}

// left is how much of its time a prompt has to go that was shown before, 0 where it does not
// end by itself. The daemon dates it by the clock of this very machine.
func (e *drillDialogue) left(prompted *timeline.Entry, now time.Time) time.Duration {
	lasts := time.Duration(e.plan.Prompt(read[event.DrillPromptedData](prompted).Prompt).Until.After)
	return lasts - max(0, now.Sub(prompted.Wall))
}

// saidSoFar is what a person has to know of the drill that is under way: its beginning, the
// prompt that stands and what was asked about it; nothing where it is not under way. latest
// is the number of the last event that was read.
func (e *drillDialogue) saidSoFar(ctx context.Context) (said []timeline.Entry, latest int64, err error) {
	for {
		lines, err := e.daemon.Timeline(ctx, latest)
		if err != nil || len(lines) == 0 {
			return said, latest, err
		}
		for _, line := range lines {
			entry, err := timeline.Parse(line)
			if err != nil {
				return nil, latest, err
			}
			latest = entry.Seq
			if entry.About == event.AboutDrill.Called(e.name) {
				said = saidWith(said, &entry)
			}
		}
	}
}

// saidWith takes an event of the drill.
func saidWith(said []timeline.Entry, e *timeline.Entry) []timeline.Entry {
	switch {
	case e.Kind == event.DrillBegan:
		return []timeline.Entry{*e}
	case e.Kind == event.DrillEnded || len(said) == 0:
		return nil
	case e.Kind == event.DrillPrompted:
		return append(said[:1:1], *e)
	case e.Kind == event.DrillHint:
		return append(said, *e)
	}
	return said
}
