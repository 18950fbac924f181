package session

import (
	"sync/atomic"

	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// publishEvery is how far apart, at most, two pictures of a bench are on which nothing
// happens but frames.
const publishEvery = 100 * unit.Millisecond

// published lets others see the session while it goes on. The judge leaves a
// picture when it has nothing else to do; who looks takes the latest, so looking
// never waits for judgement, for a port or for a disk.
type published struct {
	latest  atomic.Pointer[state.State]
	trouble atomic.Pointer[string] // what the disk refused last
	free    atomic.Int64           // bytes on the disk, -1: not known

	at  unit.Time // of the latest picture
	seq int64     // the latest event in it
}

// publish is for the judge, between two inputs.
func (l *Live) publish() {
	now, seq := l.engine.Now(), l.engine.Seq()
	if l.history != nil || seq == l.shown.seq && now.Sub(l.shown.at) < publishEvery {
		return
	}
	l.shown.at, l.shown.seq = now, seq
	l.shown.latest.Store(l.engine.State())
}

// publishEmpty is the picture before the first input.
func (l *Live) publishEmpty() {
	s := l.engine.State()
	if len(s.Taps) == 0 {
		for _, t := range l.opt.Taps {
			s.Taps = append(s.Taps, state.Tap{Name: t.Name, Kind: t.Kind, Why: "not opened yet", LastNS: -1})
		}
	}
	l.shown.free.Store(-1)
	l.shown.latest.Store(s)
}

// State is what the session is like now. It may be called at any time, from any
// goroutine; what it returns must not be changed.
func (l *Live) State() state.State {
	s := *l.shown.latest.Load()
	s.Build, s.NowNS = l.opt.Build, l.Seq.Now()
	r := state.Recorder{
		Folder: string(l.opt.Folder), Recording: !l.Seq.RecorderOff(), Inputs: l.rec.written.Load(), Waiting: l.writer.waiting(),
		Stalled:   l.rec.busy.stalled(l.opt.Clock) || l.writer.busy.stalled(l.opt.Clock),
		FreeBytes: l.shown.free.Load(),
	}
	if why := l.shown.trouble.Load(); why != nil && (!r.Recording || r.Stalled || r.Waiting > 0) {
		r.Trouble = *why
	}
	s.Recorder = r
	return s
}

// diskTrouble takes what a disk refuses.
func (l *Live) diskTrouble(err error) {
	why := err.Error()
	l.shown.trouble.Store(&why)
	l.opt.Trouble(err)
}
