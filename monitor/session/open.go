package session

import (
	"errors"
	"fmt"
	"sync"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/timeline"
)

// Open begins a session in the folder or, if there is one, resumes it. It starts
// nothing and shows nothing: Run does. What it found is in Notices.
func Open(opt Options) (*Live, error) {
	s, err := sheet.Read(opt.SheetName, opt.SheetText)
	if err != nil {
		return nil, err
	}
	if opt.OpenFile == nil {
		opt.OpenFile = openAppend
	}
	l := &Live{opt: opt}
	if err := l.open(s); err != nil {
		return nil, errors.Join(err, l.files.close())
	}
	return l, nil
}

func (l *Live) open(s *sheet.Sheet) error {
	if err := l.openFolder(); err != nil {
		return err
	}
	if err := l.openLines(); err != nil {
		return err
	}
	b, err := l.begin()
	if err != nil {
		return err
	}
	return l.assemble(s, b)
}

// assemble makes the parts and what they give one another.
func (l *Live) assemble(s *sheet.Sheet, b *beginning) error {
	l.Seq = port.NewSequencer(l.opt.Clock, b.now, b.section.First)
	if err := l.openRecording(b.section); err != nil {
		return err
	}
	l.writer = &journalWriter{
		clock: l.opt.Clock, journal: l.files.journal, checkpoints: l.files.checkpoints, rec: l.rec,
		queue: queue{bell: newBell()}, of: identity{session: b.session, judge: sync.OnceValue(l.opt.Judge)},
	}
	if err := l.openJudge(s, b); err != nil {
		return err
	}
	l.connect()
	l.Seq.Put(event.BenchTap, b.kind, b.data)
	return nil
}

// openFolder takes the folder, which keeps the sheet.
func (l *Live) openFolder() (err error) {
	if l.files.lock, err = l.opt.Folder.make(); err != nil {
		return err
	}
	l.Resumed = l.opt.Folder.Exists()
	return l.opt.Folder.keepSheet(l.opt.SheetText)
}

// openLines opens what holds lines: journal and checkpoints.
func (l *Live) openLines() (err error) {
	var found timeline.Opened
	if l.files.journal, found, err = timeline.Open(l.opt.Folder.Timeline()); err != nil {
		return err
	}
	l.noticeOpened(found)
	l.files.checkpoints, _, _, err = crclog.OpenLog(l.opt.Folder.Checkpoints())
	return err
}

// begin finds where what is heard now begins.
func (l *Live) begin() (*beginning, error) {
	wall := l.opt.Wall().UnixNano()
	if !l.Resumed {
		return newBeginning(&l.opt, wall)
	}
	r, err := recording.Repair(l.opt.Folder.Recording())
	if err != nil {
		return nil, err
	}
	l.noticeRepaired(r)
	if r.Inputs == 0 {
		return newBeginning(&l.opt, wall)
	}
	return beginningBehind(&r, &l.opt, wall, l.files.journal.LastSeq()+1)
}

func (l *Live) openRecording(section recording.Section) (err error) {
	if l.files.recording, l.files.size, err = l.opt.OpenFile(l.opt.Folder.Recording()); err != nil {
		return fmt.Errorf("open the recording: %w", err)
	}
	l.rec, err = newRecorder(l.Seq, l.opt.Clock, l.files.recording, l.files.size, section)
	return err
}

// openJudge makes the engine, a new one or as it was, and what it judges.
func (l *Live) openJudge(s *sheet.Sheet, b *beginning) (err error) {
	l.judge = &judgeLoop{
		source: &source{seq: l.Seq, number: b.section.First - 1},
		seq:    l.Seq, rec: l.rec, writer: l.writer, folder: l.opt.Folder, every: l.opt.Every,
	}
	if !b.resumes() {
		l.judge.engine = engine.New(s, l.judge.onEvent)
		return nil
	}
	r := resumption{
		folder: l.opt.Folder, of: l.writer.of, sheet: s, inputs: b.section.First, journalled: l.files.journal.LastSeq(),
		onEvent: l.judge.onEvent,
	}
	if l.judge.engine, l.judge.history, err = r.resume(); err != nil {
		return err
	}
	l.judge.source.past = l.judge.history.reader
	return nil
}

// connect has all parts report to the publisher.
func (l *Live) connect() {
	l.pub = newPublisher(l.judge.engine, l.opt.Taps)
	l.writer.queue.pub, l.judge.pub = l.pub, l.pub
	l.rec.trouble, l.rec.wrote = l.pub.diskTrouble, l.writer.queue.recorded
	l.judge.faults = faultLog{path: l.opt.Folder.Faults(), build: l.opt.Build, trouble: l.pub.report}
	l.judge.engine.OnFault = l.judge.onFault
}

func (l *Live) noticeOpened(o timeline.Opened) {
	if o.Cut > 0 {
		l.notice("the last %d bytes of the timeline were half-written; they were cut off and kept in %s", o.Cut, o.Aside)
	}
	for _, d := range o.Damages {
		l.notice("the timeline is damaged in the middle: %s", d)
	}
}

func (l *Live) noticeRepaired(r recording.Repaired) {
	if r.Cut > 0 {
		l.notice("the last %d bytes of the recording were half-written; they were cut off and kept in %s", r.Cut, r.Aside)
	}
	for _, d := range r.Damages {
		l.notice("the recording is damaged at byte %d (%s); what can be read of it is used", d.Offset, d.Why)
	}
}

func (l *Live) notice(format string, args ...any) {
	l.Notices = append(l.Notices, fmt.Sprintf(format, args...))
}
