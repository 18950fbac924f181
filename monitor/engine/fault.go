package engine

import (
	"fmt"
	"runtime/debug"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// InternalFault is what a maintainer needs of a fault of ours, to find the line. It is no
// part of the timeline: a stack has addresses in it, which differ from run to run.
type InternalFault struct {
	At    unit.Time // of the input
	Event int64     // number of the event that dates it
	event.FaultData
	Stack []byte // of the goroutine, as the runtime writes it
}

// String is the fault and its stack, with a newline at the end.
func (f *InternalFault) String() string {
	return fmt.Sprintf("judgement failed at %d ns (event %d), at an input of kind %s: %s\n%s", int64(f.At), f.Event, f.Input, f.Fault, f.Stack)
}

// recoverFault turns a panic in judgement into an event. The same input faults in a
// replay, at the same place, so the timeline stays the same.
func (e *Engine) recoverFault(in *event.Input) {
	fault := recover()
	if fault == nil {
		return
	}
	stack := debug.Stack() // still that of the panic
	e.restart()
	e.faults++
	e.now, e.lastInput = max(e.now, in.At), in.At
	data := event.FaultData{Input: in.Kind.String(), Fault: fmt.Sprint(fault)}
	e.publish(event.JudgementFailed, in.At, event.AboutSession, data)
	if e.OnFault != nil {
		e.OnFault(&InternalFault{At: in.At, Event: e.seq, FaultData: data, Stack: stack})
	}
}
