package session

import "benchproof.example/monitor/engine"

// Fault has a fault of judgement, as if the engine had reported it.
func (l *Live) Fault(f *engine.InternalFault) { l.judge.engine.OnFault(f) }

// LeaveJudgement has the judge end before it has judged all, as at the end of a session
// that it is behind with.
func (l *Live) LeaveJudgement() { l.judge.leave.Store(true) }
