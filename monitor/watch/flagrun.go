package watch

import "benchproof.example/monitor/fact"

// flagRun is a run of flagged frames; two plain ones in a row end it.
type flagRun struct {
	Frames   int       // with either flag
	Given    int       // with the failsafe flag, in a row
	From     fact.Time // wire time of the first
	Lost     fact.Time // first frame flagged as lost, 0: none
	Failsafe fact.Time // first with the failsafe flag, 0: none
}

// join takes over what a run has found meanwhile.
func (f *flagRun) join(now *flagRun) {
	if f.Failsafe == 0 {
		f.Failsafe = now.Failsafe
	}
	if f.Lost == 0 {
		f.Lost = now.Lost
	}
}

// flags keeps the runs of frames with and without flags.
func (l *Loss) flags(o *fact.Observation) {
	if signalOf(o.Frame) == fact.Live {
		l.plain(o)
		return
	}
	f := &l.Flags
	l.Plain = 0
	if f.Frames++; f.Frames == 1 {
		f.From = o.Wire
	}
	if o.Frame.FrameLost() && f.Lost == 0 {
		f.Lost = o.Wire
	}
	if !o.Frame.Failsafe() {
		f.Given = 0
		return
	}
	if f.Given++; f.Failsafe == 0 {
		f.Failsafe = o.Wire
	}
}

func (l *Loss) plain(o *fact.Observation) {
	if l.Plain == 0 {
		l.Plains = o.Wire
	}
	l.Plain++
	l.Flags.Given = 0
	if l.Plain < twice {
		return
	}
	l.Flags = flagRun{}
	if !l.Linked {
		l.Linked, l.Since = true, l.Plains
	}
}
