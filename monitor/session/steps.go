package session

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// Steps are all that a session does while it is heard and while it ends, one step at a time.
// They wait for nothing but a disk: goroutines, timers and sleeps are those of who calls them
// (Run, or a simulation). Each part is for one goroutine, or none.
type Steps struct {
	live *Live
	bell bell // rung when the end may have something to do

	mu     sync.Mutex
	over   map[part]bool // what is done for good
	beside int           // works beside that are under way
	ended  bool          // no more of them begins

	stage   endStage
	began   int64       // when the end began, clock ns
	late    bool        // something waits for the disk still, and is not waited for
	closing bell        // rung when the files may be closed
	closes  atomic.Bool // they may
	closed  error       // what came of that; to be read once closing them is over
	err     error       // that the session ended with
}

// part is what works while a session is heard.
type part int

const (
	judging part = iota
	recordingInputs
	writing
	closingFiles
)

// Steps are those of a session that is open.
func (l *Live) Steps() *Steps {
	return &Steps{live: l, bell: newBell(), closing: newBell(), over: map[part]bool{}}
}

// Wait is what must come before another step of the same part has anything to do. Called
// sooner it does nothing.
type Wait struct {
	More  bool  // nothing: there is more to do
	Over  bool  // nothing comes any more
	Until int64 // a time, clock ns, or what else it waits for; 0: no time
}

func exported(w wait) Wait {
	return Wait{More: w.what == forNothing, Over: w.what == over, Until: w.until}
}

// Judge judges one input.
func (s *Steps) Judge() Wait { return exported(s.judge()) }

// Record records what came.
func (s *Steps) Record() Wait { return exported(s.record()) }

// Write writes and shows what was judged, once it is recorded.
func (s *Steps) Write() Wait { return exported(s.write()) }

func (s *Steps) judge() wait  { return s.step(judging, s.live.judge.step) }
func (s *Steps) record() wait { return s.step(recordingInputs, s.live.rec.step) }
func (s *Steps) write() wait  { return s.step(writing, s.live.writer.step) }

func (s *Steps) step(p part, step func() wait) wait {
	w := step()
	if w.what == over {
		s.mu.Lock()
		s.over[p] = true
		s.mu.Unlock()
		s.bell.ring()
	}
	return w
}

// Close closes the files, for which the end waits once all is written.
func (s *Steps) Close() Wait { return exported(s.close()) }

func (s *Steps) close() wait {
	return s.step(closingFiles, func() wait {
		if !s.closes.Load() {
			return wait{what: forEvents}
		}
		s.closed = s.live.close()
		return wait{what: over}
	})
}

// Beat puts a beat and sees how the disk does. It is for each second.
func (s *Steps) Beat(wall time.Time) { s.live.Seq.Beat(wall); s.live.watchdog() }

// Sync puts on the disk what was written, and sees whether all is in its place. It is for
// each second, beside the rest.
func (s *Steps) Sync() { s.doBeside(s.live.syncStep) }

// Tidy packs a part of the recording that was closed, and reads one that was found. It is
// for each ten seconds, beside the rest.
func (s *Steps) Tidy(ctx context.Context) {
	s.doBeside(func() { s.live.packStep(ctx); s.live.rereadStep(ctx) })
}

// CheckEarlier checks what of the timeline was not read before, once.
func (s *Steps) CheckEarlier(ctx context.Context) {
	s.doBeside(func() { s.live.checkEarlier(ctx) })
}

// doBeside does work that the end waits for.
func (s *Steps) doBeside(work func()) {
	s.mu.Lock()
	ended := s.ended
	if !ended {
		s.beside++
	}
	s.mu.Unlock()
	if ended {
		return
	}
	work()
	s.mu.Lock()
	s.beside--
	s.mu.Unlock()
	s.bell.ring()
}

// endStage is how far the end has come.
type endStage int

const (
	notEnding endStage = iota
	endsJudging
	endsRecording
	endsWriting
	endsBeside
	endsClosing
	isEnded
)

// End leads to the end of the session, from the first time that it is called on, when no port
// is heard any more. Err says then how it ended. Where the disk does not answer in time it is over
// all the same; called on, it ends the rest once the disk answers.
func (s *Steps) End() Wait { return exported(s.end()) }

// Err is what could not be written, once End is over.
func (s *Steps) Err() error { return s.err }

func (s *Steps) end() wait {
	if s.stage == notEnding {
		s.beginEnd()
	}
	for s.stage != isEnded && s.goOn() {
		s.stage++
	}
	switch waited := s.live.opt.Clock() - s.began; {
	case s.stage == isEnded:
	case waited >= int64(patience) && !s.late:
		s.late = true
		s.err = fmt.Errorf("the disk has not answered for %v and is not waited for: what was heard from %s on is not recorded",
			patience, unit.FormatClock(s.live.rec.recorded()))
		if s.isOver(judging) {
			s.err = errors.Join(s.live.judge.err, s.err)
		}
	case s.late:
		return wait{what: forEvents}
	case s.stage == endsJudging && waited < int64(judgePatience):
		return wait{what: forDisk, until: s.began + int64(judgePatience)}
	default:
		s.live.judge.leave.Store(true)
		return wait{what: forDisk, until: s.began + int64(patience)}
	}
	return wait{what: over}
}

func (s *Steps) isOver(p part) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.over[p]
}

func (s *Steps) beginEnd() {
	s.stage, s.began = endsJudging, s.live.opt.Clock()
	s.live.Seq.Close(event.InputEnd)
	s.live.rec.close()
}

// goOn does what follows a stage once that is over; false: it is not.
func (s *Steps) goOn() bool {
	switch s.stage {
	case endsJudging:
		if !s.isOver(judging) {
			return false
		}
		s.live.judge.finish()
	case endsRecording:
		if !s.isOver(recordingInputs) {
			return false
		}
		s.live.finishWriting()
	case endsWriting:
		return s.isOver(writing)
	case endsBeside:
		if !s.besideOver() {
			return false
		}
		s.closes.Store(true)
		s.closing.ring()
	case endsClosing:
		if !s.isOver(closingFiles) {
			return false
		}
		s.err = errors.Join(s.live.judge.err, s.closed)
	}
	return true
}

// besideOver reports whether no work beside is under way, and has none begin any more.
func (s *Steps) besideOver() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.ended = true
	return s.beside == 0
}
