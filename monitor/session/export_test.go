package session

import "benchproof.example/monitor"

// Fault has a fault of judgement, as if the bench had told it.
func (l *Live) Fault(f *monitor.Fault) { l.engine.OnFault(f) }
