package main

import (
	"context"
	"fmt"
	"time"

	"benchproof.example/monitor/drill/course"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/timeline"
)

// takeOver goes on with a drill that another client began and perhaps left: it says again
// what was said last, and the next line of the person answers that.
func (e *drillDialogue) takeOver(ctx, talking context.Context) error {
	running, shown, latest, err := e.saidSoFar(talking)
	switch {
	case err != nil:
		return daemonFault(ctx, err)
	case running == nil || running.Drill != e.name:
		return fail(exitUsage, fmt.Errorf("no drill %s is under way that could be taken over: begin it with benchproof drill %s", e.name, e.name))
	}
	e.from, e.answered = latest+1, true
	began := event.DrillBeganData{Cautions: running.Cautions, Prompts: running.Prompts, By: running.By}
	if !running.Confirmed {
		e.began(began)
		return nil
	}
	e.cautions("Drill %s, %d prompts, is taken over. All of this must be so, now as before:", began)
	if p := running.Prompt; p != nil {
		e.prompted(event.DrillPromptedData{Prompt: p.ID, Text: p.Text, Number: p.Number, Of: running.Prompts})
		for _, why := range running.Hints {
			e.hint(event.DrillHintData{Prompt: p.ID, Why: why})
		}
		e.count.from(e.left(p.ID, shown, time.Now()))
	}
	return nil
}

// left is how much of its time a prompt has to go that was shown before, 0 where it does not
// end by itself. The daemon dates it by the clock of this very machine.
func (e *drillDialogue) left(prompt string, shown, now time.Time) time.Duration {
	return time.Duration(e.plan.Prompt(prompt).Until.After) - max(0, now.Sub(shown))
}

// saidSoFar is how far the drill under way is, nil for none, and when its latest prompt was
// shown. latest is the number of the last event that was read.
func (e *drillDialogue) saidSoFar(ctx context.Context) (running *course.Running, shown time.Time, latest int64, err error) {
	c := course.New(e.sheet)
	for {
		lines, err := e.daemon.Timeline(ctx, latest)
		if err != nil || len(lines) == 0 {
			return c.Running(), shown, latest, err
		}
		for _, line := range lines {
			entry, err := timeline.Parse(line)
			if err != nil {
				return nil, shown, latest, err
			}
			if latest = entry.Seq; entry.Kind == event.DrillPrompted {
				shown = entry.Wall
			}
			c.Take(drillEvent(&entry))
		}
	}
}

// drillEvent is an event as a course reads it: with data where it is about drills.
func drillEvent(entry *timeline.Entry) *event.Event {
	e := &event.Event{Seq: entry.Seq, At: entry.At, From: entry.From, Kind: entry.Kind, About: entry.About}
	switch entry.Kind {
	case event.SessionBegan, event.SessionResumed:
		e.Data = event.SessionData{}
	case event.JudgementFailed:
		e.Data = event.FaultData{}
	case event.DrillBegan:
		e.Data = read[event.DrillBeganData](entry)
	case event.DrillPrompted:
		e.Data = read[event.DrillPromptedData](entry)
	case event.DrillHint:
		e.Data = read[event.DrillHintData](entry)
	case event.DrillEnded:
		e.Data = read[event.DrillEndedData](entry)
	}
	return e
}
