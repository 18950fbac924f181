package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"benchproof.example/monitor/drill/course"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
)

// refused: among the prompts, a step came too late and is no harm; before them it
// ends here.
func (e *drillDialogue) refused(why string) {
	if e.begun {
		fmt.Fprintf(e.talk, "\nbenchproof: %s\n", why)
		return
	}
	e.end(exitUsage, why+e.wayIn())
}

// wayIn says how to go on with the drill that is under way, "" where none is.
func (e *drillDialogue) wayIn() string {
	ctx, cancel := context.WithTimeout(context.Background(), abandonWait)
	defer cancel()
	name, err := e.daemon.Drilling(ctx)
	if err != nil || name == "" {
		return ""
	}
	return fmt.Sprintf("; to go on with it here: benchproof drill %s%s --take-over", name, e.session)
}

func (e *drillDialogue) ended(d event.DrillEndedData) {
	fmt.Fprintln(e.talk)
	switch d.How {
	case "finished":
		fmt.Fprintf(e.out, "drill %s finished\n", e.name)
		e.walked.write(e.out)
		if may := course.Undecided(e.plan, e.changed); may != "" {
			say(e.talk, may)
		}
		e.report(true)
		e.over = true
		return
	case "abandoned":
		e.end(exitInterrupted, fmt.Sprintf("the drill %s was abandoned", e.name))
	case "timed out":
		e.end(exitWrong, fmt.Sprintf("the drill %s timed out: %s", e.name, d.Why))
	default:
		e.end(exitDevice, fmt.Sprintf("the drill %s was interrupted: %s", e.name, d.Why))
	}
	e.walked.write(e.out)
	if e.begun {
		e.report(false)
	}
}

// report prints what stands once the drill is over: played to its end, or broken off
// behind one of its prompts.
func (e *drillDialogue) report(finished bool) {
	r, err := resultOf(e.name, e.sheet, session.Folder(e.daemon.Folder))
	if err != nil {
		fmt.Fprintf(e.talk, "benchproof: what the session says by now can't be read: %v\n", err)
		return
	}
	r.session, r.finished, r.changed = e.session, finished, e.changed
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Second)
	defer cancel()
	if now, err := e.daemon.Claims(ctx); err == nil { // else they are told without what they lack
		r.lack(now)
	}
	r.write(e.out)
}

func (e *drillDialogue) end(code int, why string) {
	e.over, e.result = true, fail(code, errors.New(why))
}
