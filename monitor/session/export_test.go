package session

import "benchproof.example/monitor/engine"

// Fault has a fault of judgement, as if the engine had reported it.
func (l *Live) Fault(f *engine.InternalFault) { l.judge.engine.OnFault(f) }
