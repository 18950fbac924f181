package session

import (
	"fmt"
	"sync/atomic"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// publishEvery is how far apart, at most, two pictures of a bench are on which nothing
// happens but frames.
const publishEvery = 100 * unit.Millisecond

// closelyEvery is the same while somebody looks who sees each of them.
const closelyEvery = 25 * unit.Millisecond

// Subscriber gets what a session shows. A func may be nil; none may block.
type Subscriber struct {
	// Heard is called with each input that is heard now, behind its judgement; those that a
	// session heard earlier are not given again. The input is the subscriber's for the time of
	// the call, its data for good.
	Heard func(*event.Input)
	// Observed is called with each observation of what is heard now, behind its judgement. It is lent
	// for the call.
	Observed func(*event.Observation)

	Shown  func(Shown) // each event, once what caused it is recorded
	Judged func()      // after each beat that went through judgement
	// Pictured is called when State has something new.
	Pictured func()
	Trouble  func(error) // a disk that refuses, and the like
	// AllShown follows the last event that a mark, a reopening or a drill step caused,
	// also where it caused none; input is its number. recorded: it is on the disk, and no
	// power cut takes it any more; else it was heard and is not recorded.
	AllShown func(input int64, recorded bool)
}

// publisher lets others see the session while it goes on: subscribers get events, and
// who looks gets a picture. The judge loop leaves one when it has nothing else to do;
// who looks takes the latest, so looking never waits for judgement, for a port or for a
// disk.
type publisher struct {
	subscribers []Subscriber // all of them, before anything is shown

	latest  atomic.Pointer[state.State]
	refused atomic.Pointer[string] // what the disk refused last
	free    atomic.Int64           // bytes on the disk, -1: not known
	closely atomic.Bool            // somebody looks

	at  unit.Time // of the latest picture
	seq int64     // the latest event in it
}

// newPublisher has the picture before the first input.
func newPublisher(e *engine.Engine, taps []event.TapName) *publisher {
	s := e.State()
	if len(s.Taps) == 0 {
		for _, t := range taps {
			s.Taps = append(s.Taps, state.Tap{Name: t.Name, Kind: t.Kind, LastNS: -1})
		}
	}
	p := &publisher{}
	p.free.Store(-1)
	p.latest.Store(s)
	return p
}

// publish leaves a picture, unless the last one does.
func (p *publisher) publish(e *engine.Engine) {
	now, seq, pause := e.Now(), e.Seq(), publishEvery
	if p.closely.Load() {
		pause = closelyEvery
	}
	if seq == p.seq && now.Sub(p.at) < pause {
		return
	}
	p.at, p.seq = now, seq
	p.latest.Store(e.State())
	for i := range p.subscribers {
		if f := p.subscribers[i].Pictured; f != nil {
			f()
		}
	}
}

func (p *publisher) heard(in *event.Input) {
	for i := range p.subscribers {
		if f := p.subscribers[i].Heard; f != nil {
			f(in)
		}
	}
}

// observed hands an observation on. A fault of whoever gets it is none of judgement: it gets no more.
func (p *publisher) observed(o *event.Observation) {
	at := 0
	defer func() {
		if fault := recover(); fault != nil {
			p.subscribers[at].Observed = nil
			p.report(fmt.Errorf("what is heard is not passed on to all any more: %v", fault))
		}
	}()
	for i := range p.subscribers {
		if f := p.subscribers[i].Observed; f != nil {
			at = i
			f(o)
		}
	}
}

func (p *publisher) show(s Shown) {
	for i := range p.subscribers {
		if f := p.subscribers[i].Shown; f != nil {
			f(s)
		}
	}
}

func (p *publisher) allShown(input int64, recorded bool) {
	for i := range p.subscribers {
		if f := p.subscribers[i].AllShown; f != nil {
			f(input, recorded)
		}
	}
}

func (p *publisher) judged() {
	for i := range p.subscribers {
		if f := p.subscribers[i].Judged; f != nil {
			f()
		}
	}
}

// report passes on what went wrong.
func (p *publisher) report(err error) {
	for i := range p.subscribers {
		if f := p.subscribers[i].Trouble; f != nil {
			f(err)
		}
	}
}

// diskTrouble passes on what the disk refuses; pictures say so too.
func (p *publisher) diskTrouble(err error) {
	why := err.Error()
	p.refused.Store(&why)
	p.report(err)
}
