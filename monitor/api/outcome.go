package api

import (
	"context"
	"slices"
	"sync"
	"time"

	"benchproof.example/monitor/event"
)

// outcomePatience is how long an answer to a change waits for the event that the change
// causes. Where a disk hangs, events are shown without it after about as long.
const outcomePatience = 3 * time.Second

// outcomes are the inputs that clients put in and of which it is not known yet what
// came of them.
type outcomes struct {
	mu      sync.Mutex
	waiting map[int64]*outcome // by the number of the input
	wait    Await
}

// Await returns when one of known, three at most, is closed, when ctx is done, or after a while at most.
// One that is nil is never closed.
type Await func(ctx context.Context, most time.Duration, known ...<-chan struct{})

// awaitHere waits by the clock of this computer.
func awaitHere(ctx context.Context, most time.Duration, known ...<-chan struct{}) {
	ctx, cancel := context.WithTimeout(ctx, most)
	defer cancel()
	var one [3]<-chan struct{}
	copy(one[:], known)
	select {
	case <-one[0]:
	case <-one[1]:
	case <-one[2]:
	case <-ctx.Done():
	}
}

// outcome is what came of an input. All but known is there to be read once known is
// closed.
type outcome struct {
	kinds    []string // of the events that answer the input
	seq      int64    // number of the event that did; 0: none
	refused  string   // why judgement did not take it, "" where it did
	recorded bool     // it is on the disk
	known    chan struct{}
}

// put puts an input in whose event has one of these kinds.
func (s *outcomes) put(put func() (input int64, taken bool), kinds []string) (input int64, o *outcome) {
	s.mu.Lock()
	defer s.mu.Unlock()
	input, taken := put()
	if !taken {
		return 0, nil
	}
	o = &outcome{kinds: kinds, known: make(chan struct{})}
	s.waiting[input] = o
	return input, o
}

// await waits until it is known what came of an input, and no longer than
// outcomePatience.
func (s *outcomes) await(ctx context.Context, input int64, o *outcome) (seq int64, recorded bool, refused string) {
	s.wait(ctx, outcomePatience, o.known)
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.waiting[input] == o {
		delete(s.waiting, input)
	}
	return o.seq, o.recorded, o.refused
}

// Caused takes an event and the number of the input that caused it; of each input in
// order, and after Publish, so that who gets the number finds the event.
func (s *Server) Caused(input int64, e *event.Event) {
	s.outcomes.mu.Lock()
	defer s.outcomes.mu.Unlock()
	o := s.outcomes.waiting[input]
	switch {
	case o == nil:
	case e.Kind == event.DrillRefused: // goes before what fell due at the same moment
		why, _ := e.Data.(event.ReasonData)
		o.seq, o.refused = e.Seq, why.Why
	case o.seq == 0 && slices.Contains(o.kinds, e.Kind):
		o.seq = e.Seq
	}
}

// AllCaused says that nothing more comes of an input, and whether it is on the disk.
func (s *Server) AllCaused(input int64, recorded bool) {
	s.outcomes.mu.Lock()
	defer s.outcomes.mu.Unlock()
	if o := s.outcomes.waiting[input]; o != nil {
		o.recorded = recorded
		close(o.known)
		delete(s.outcomes.waiting, input)
	}
}

// stepKinds are the events that answer a drill's step; one that is refused has
// event.DrillRefused.
var stepKinds = map[string][]string{
	event.StepBegin:   {event.DrillBegan},
	event.StepConfirm: {event.DrillPrompted},
	event.StepDone:    {event.DrillAnswered, event.DrillHint, event.RangeMark},
	event.StepRepeat:  {event.DrillPrompted},
	event.StepBack:    {event.DrillPrompted},
	event.StepAbandon: {event.DrillEnded},
}
