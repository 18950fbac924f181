package days

import (
	"container/heap"
	"iter"
	"math/rand/v2"
)

// scheduler runs routines, one at a time, in the order of the times at which they want to go on,
// and in seeded order where those are the same. It has the only clock.
type scheduler struct {
	now     int64 // ns since the day began
	luck    *rand.Rand
	queue   pending
	current *routine // that runs; nil: none
	numbers int
}

// routine is something that goes on by itself and sleeps in between.
type routine struct {
	at     int64  // when it goes on
	tie    uint64 // who goes first of those that go on at the same time
	life   *life  // whose end it ends with; nil: none
	resume func() (int64, bool)
	stop   func()
	yield  func(int64) bool
	gone   bool
}

// start has a routine begin at a time.
func (s *scheduler) start(l *life, at int64, body func()) *routine {
	r := &routine{at: at, life: l}
	r.resume, r.stop = iter.Pull(func(yield func(int64) bool) {
		r.yield = yield
		body()
	})
	s.put(r, at)
	return r
}

func (s *scheduler) put(r *routine, at int64) {
	s.numbers++
	r.at, r.tie = max(at, s.now), s.luck.Uint64()
	heap.Push(&s.queue, r)
}

// sleep lets others go on until a time, in a routine; false: it does not go on any more.
func (s *scheduler) sleep(until int64) bool {
	r := s.current
	if r == nil || r.gone {
		return false
	}
	return r.yield(until)
}

// step runs the next routine until it sleeps; false: there is none.
func (s *scheduler) step() bool {
	if len(s.queue) == 0 {
		return false
	}
	r := heap.Pop(&s.queue).(*routine)
	if r.gone {
		return true
	}
	if l := r.life; l != nil && l.still > r.at {
		s.put(r, l.still)
		return true
	}
	s.now = max(s.now, r.at)
	s.current = r
	until, more := r.resume()
	s.current = nil
	if more && !r.gone {
		s.put(r, until)
	}
	return true
}

// end ends all routines of a life, at whatever place they are.
func (s *scheduler) end(l *life) {
	for _, r := range s.queue {
		s.drop(r, l)
	}
}

func (s *scheduler) drop(r *routine, l *life) {
	if r.life == l && !r.gone {
		r.gone = true
		r.stop()
	}
}

// pending is a heap of routines by time.
type pending []*routine

func (p pending) Len() int { return len(p) }
func (p pending) Less(i, j int) bool {
	return p[i].at < p[j].at || p[i].at == p[j].at && p[i].tie < p[j].tie
}
func (p pending) Swap(i, j int) { p[i], p[j] = p[j], p[i] }

// Push implements heap.Interface.
func (p *pending) Push(x any) { *p = append(*p, x.(*routine)) }

// Pop implements heap.Interface.
func (p *pending) Pop() any {
	last := len(*p) - 1
	r := (*p)[last]
	*p = (*p)[:last]
	return r
}
