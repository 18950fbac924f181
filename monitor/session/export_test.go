package session

import (
	"context"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/trace"
)

// Fault has a fault of judgement, as if the engine had reported it.
func (l *Live) Fault(f *engine.InternalFault) { l.judge.engine.OnFault(f) }

// LeaveJudgement has the judge end before it has judged all, as at the end of a session
// that it is behind with.
func (l *Live) LeaveJudgement() { l.judge.leave.Store(true) }

// FromRecording is Span out of the recording alone.
func (t *Traces) FromRecording(ctx context.Context, s trace.Span) (*trace.Answer, error) {
	a := s.Answer()
	from, to := a.Bounds()
	return a, t.older(ctx, from, to, a)
}
