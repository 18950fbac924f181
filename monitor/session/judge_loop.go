package session

import (
	"errors"
	"fmt"
	"io"
	"sync/atomic"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/timeline"
)

// judgeLoop lets the engine judge what the source yields, hands events and checkpoints
// to the journal writer and leaves pictures with the publisher. It waits for no disk.
type judgeLoop struct {
	source  *source
	engine  *engine.Engine
	gather  *record.Gathering // for the session's record
	history *history          // what a resumed session is compared with, nil once its past is over
	seq     *port.Sequencer
	rec     *recorder
	writer  *journalWriter
	pub     *publisher
	folder  files.Folder
	faults  faultLog

	every  int   // beats from one checkpoint to the next
	beats  int   // since the latest
	begins int64 // number of the first input of the segment for which there is one
	in     event.Input
	err    error // why it ended, nil for the end of inputs

	leave atomic.Bool // it is to end without what it is behind with
	left  bool        // it did
}

// begin has judgement go on from where it was.
func (j *judgeLoop) begin(was *judgement) { j.engine, j.gather = was.engine, was.gather }

// step judges one input.
func (j *judgeLoop) step() wait {
	if j.leave.Load() {
		j.left = true
		return wait{what: over}
	}
	switch err := j.engine.StepFrom(j.source, &j.in); {
	case err == nil:
		j.gather.Judged(&j.in, j.engine)
		j.judged()
		return wait{}
	case errors.Is(err, errPastEnds):
		j.leavePast()
		j.betweenBatches()
		return wait{}
	case errors.Is(err, errNothingYet):
		return wait{what: forInputs}
	case errors.Is(err, io.EOF):
		return wait{what: over}
	default:
		j.err = err
		return wait{what: over}
	}
}

// judged follows an input that was judged.
func (j *judgeLoop) judged() {
	if j.source.past != nil {
		return
	}
	j.pub.heard(&j.in)
	switch j.in.Kind {
	case event.InputBeat:
		j.pub.judged()
		j.checkpoint()
	case event.InputMark, event.InputStrike, event.InputReopen, event.InputDrillStep, event.InputPapers:
		j.writer.queue.add(pendingEvent{cause: j.source.number, event: Shown{Input: j.source.number}, last: true})
	}
	if j.source.betweenBatches() {
		j.betweenBatches()
	}
}

// betweenBatches is for what is done when the engine has judged all it was given.
func (j *judgeLoop) betweenBatches() {
	j.endGap()
	j.pub.publish(j.engine)
}

// leavePast goes over to what is heard now.
func (j *judgeLoop) leavePast() {
	old := j.history
	j.history = nil
	old.close()
	if lost := old.journalled - j.engine.Seq(); lost > 0 && !old.other {
		j.pub.report(fmt.Errorf("the last %d events of the timeline have nothing in the recording any more that caused them: "+
			"a power cut or a disk that refused took it; they stay as they are", lost))
	}
	if mended := old.mended(); mended != nil {
		j.writer.queue.add(pendingEvent{cause: noCause, aside: func() {
			if said := j.writer.mend(mended, old.lacking); said != nil {
				j.pub.report(said)
			}
		}})
		return
	}
	if old.differs == 0 {
		return
	}
	j.writer.queue.add(pendingEvent{cause: noCause, aside: func() {
		j.pub.report(old.keepSecondJudgement(j.folder, JudgedAgain(j.writer.of.judge())))
	}})
}

// endGap ends a recording gap once the disk is back.
func (j *judgeLoop) endGap() {
	if !j.seq.RecorderOff() || j.rec.whereabouts.lost() {
		return
	}
	written := j.rec.written.Load()
	ended := j.seq.ResumeRecorder(event.InputRecordingGap, written, func(unheard int64) []byte {
		return gapEnd(j.rec.whereabouts.whyBack(), unheard, j.engine.Seq())
	})
	if ended {
		j.writer.queue.waitForRecording(written)
	}
}

// checkpoint keeps the state of the engine after each so many beats, and after the first
// in each segment of the recording.
func (j *judgeLoop) checkpoint() {
	newest := j.rec.newest.Load()
	begins := newest > j.begins && j.source.number >= newest
	if j.beats++; j.beats < j.every && !begins || j.seq.RecorderOff() {
		return
	}
	j.beats, j.begins = 0, newest
	state, err := j.engine.Checkpoint()
	gathered, failed := j.gather.Checkpoint()
	if err = errors.Join(err, failed); err != nil {
		j.pub.report(err)
		return
	}
	j.writer.queue.add(pendingEvent{cause: j.source.number, state: &recording.Checkpoint{
		Input: j.source.number + 1, At: j.engine.Now(), Seq: j.engine.Seq() + 1, Engine: state, Record: gathered,
	}})
}

// finish follows the last step.
func (j *judgeLoop) finish() {
	if j.history != nil {
		j.history.close()
	}
	if j.left {
		j.pub.report(errors.New("judgement was behind: what is recorded and not judged yet is judged when this session is opened again, or by report"))
	}
}

// onEvent takes an event of the engine. One of the past is handed on only where the
// journal lacks it.
func (j *judgeLoop) onEvent(e *event.Event, wall int64) {
	j.gather.OnEvent(e, wall)
	if j.history != nil && !j.history.compare(e, wall) {
		return
	}
	line, err := timeline.Line(nil, e, wall)
	if err != nil {
		j.pub.report(err)
		return
	}
	j.writer.queue.add(pendingEvent{cause: j.source.number, event: Shown{Event: *e, Wall: wall, Line: line, Input: j.source.number}})
}

// onSight takes an observation. Those of what was heard before are not handed on.
func (j *judgeLoop) onSight(o *event.Observation) {
	if j.source.past == nil {
		j.pub.observed(o)
	}
}

// onFault takes a fault of ours. What is kept of it is written to a disk, so the
// journal writer does that.
func (j *judgeLoop) onFault(f *engine.InternalFault) {
	j.writer.queue.add(pendingEvent{cause: j.source.number, aside: func() { j.faults.keep(f) }})
}
