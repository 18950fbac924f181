package session

import (
	"fmt"

	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/timeline"
)

// journalWriter writes events to the journal and shows them, in order, but never before
// the inputs that caused them are recorded. If the disk hangs, events are shown
// all the same and wait to be written. All but queue is for steps alone.
type journalWriter struct {
	clock       func() int64
	journal     *timeline.Journal
	checkpoints *checkpointFile
	rec         *recorder
	of          identity
	sync        func() error                                // returns when the inputs that were written are on the disk
	syncAll     func() error                                // the same of the journal too
	rebuild     func(text []byte) (aside string, err error) // writes the journal anew
	queue       queue
	busy        busy

	// What was taken and is to be written.
	lines   []byte         // of events
	events  int            // in lines
	acks    []int64        // numbers of inputs that are answered once they are on the disk
	beside  []pendingEvent // states, and what is written beside the journal
	nextTry int64          // when a disk that refused lines is asked again, clock ns
	gaveUp  bool           // the end came and the disk still refused
	harmed  bool           // the journal is not as it was written: checkpoints would hide it
	lost    int            // events that were given up
}

// step writes one thing: the lines of all events whose causes are recorded, or one of
// what goes beside them.
func (s *journalWriter) step() wait {
	switch {
	case s.events+len(s.acks) > 0:
		return s.writeLines()
	case len(s.beside) > 0:
		n := s.beside[0]
		s.beside = s.beside[1:]
		s.writeBeside(&n)
		return wait{}
	}
	ready, w := s.queue.take(s.rec.written.Load())
	s.sort(ready)
	return w
}

// sort lays out what was taken: all lines go in one call, before what goes beside them.
func (s *journalWriter) sort(taken []pendingEvent) {
	for _, n := range taken {
		switch {
		case n.last && n.shown: // was answered, and is nothing to write
		case n.last:
			s.acks = append(s.acks, n.event.Input)
		case !n.isEvent():
			s.beside = append(s.beside, n)
		case s.gaveUp:
			s.lost++
		default:
			s.lines = append(s.lines, n.event.Line...)
			s.events++
		}
	}
}

// writeLines appends the lines, once what caused them is on the disk: so a power cut
// leaves no event without its cause, and who put something in is answered when it can't be
// lost any more. A disk that refuses is asked again each second, at the end once more.
func (s *journalWriter) writeLines() wait {
	last := s.queue.finished()
	if !last && s.clock() < s.nextTry {
		return wait{what: forDisk, until: s.nextTry}
	}
	err := s.busy.during(s.clock, func() error {
		if err := s.sync(); err != nil {
			return err
		}
		return s.journal.Append(s.lines)
	})
	if err == nil {
		s.lines, s.events, s.nextTry = s.lines[:0], 0, 0
		s.answer(true)
		return wait{}
	}
	s.queue.pub.diskTrouble(fmt.Errorf("the timeline can't be written, watching goes on: %w", err))
	s.answer(false)
	if last {
		s.gaveUp, s.lost = true, s.lost+s.events
		s.lines, s.events = nil, 0
		return wait{}
	}
	if s.events == 0 {
		return wait{}
	}
	s.nextTry = s.clock() + int64(retryAfter)
	return wait{what: forDisk, until: s.nextTry}
}

// answer says to who put something in whether it is recorded.
func (s *journalWriter) answer(recorded bool) {
	for _, input := range s.acks {
		s.queue.pub.allShown(input, recorded)
	}
	s.acks = s.acks[:0]
}

func (s *journalWriter) writeBeside(n *pendingEvent) {
	if n.aside != nil {
		_ = s.busy.during(s.clock, func() error { n.aside(); return nil })
		return
	}
	s.writeState(n.state)
}

// writeState keeps a checkpoint, unless it would be of use to nobody: without a judge
// that can be known again, behind events that the journal lacks, or of a place in the
// recording that is not known any more (the judge is minutes behind; another will come). What it
// knows is on the disk before: a power cut may take one input and leave later ones, and who goes on
// writes again what may not be there.
func (s *journalWriter) writeState(c *recording.Checkpoint) {
	if s.gaveUp || s.harmed || s.of.judge() == "" {
		return
	}
	place, ok := s.rec.place(c.Input)
	if !ok {
		return
	}
	c.Session, c.Judge, c.Position = s.of.session, s.of.judge(), place
	end := s.journal.End()
	c.Journalled, c.JournalSum, c.JournalEnd = end.Seq, end.Sum.String(), end.Offset
	err := s.busy.during(s.clock, func() error {
		if err := s.syncAll(); err != nil {
			return err
		}
		return s.checkpoints.append(c)
	})
	if err != nil {
		s.queue.pub.diskTrouble(fmt.Errorf("a checkpoint can't be written; resuming will take longer: %w", err))
	}
}

// forgetCheckpoints has the session judged from its start when it is opened again, which
// mends the journal.
func (s *journalWriter) forgetCheckpoints() {
	s.harmed = true
	if err := s.checkpoints.forget(); err != nil {
		s.queue.pub.diskTrouble(fmt.Errorf("the checkpoints can't be removed: %w", err))
	}
}

// mend writes the journal anew with the lines that it lacked, and says so; nil: it lacks none
// that anybody has.
func (s *journalWriter) mend(text []byte, lacking int) error {
	aside, err := s.rebuild(text)
	if err != nil {
		return fmt.Errorf("the timeline is not whole (it lacks %d events) and could not be mended: %w", lacking, err)
	}
	if aside == "" {
		return nil
	}
	return fmt.Errorf("the timeline was not whole: %d events were judged again from the recording and put back in their places; "+
		"as it was found it is kept in %s", lacking, aside)
}

// unwritten is how many events the journal lacks, at the end.
func (s *journalWriter) unwritten() int { return s.lost + s.queue.waiting() }
