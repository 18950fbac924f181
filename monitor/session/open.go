package session

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"sync"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/timeline"
)

// Open begins a session in the folder or, if there is one, resumes it. It starts
// nothing and shows nothing: Run does. What it found is in Notices. It ends early when ctx
// is done.
func Open(ctx context.Context, opt Options) (*Live, error) {
	s := opt.Sheet
	if s == nil {
		var err error
		if s, err = sheet.Read(opt.SheetName, opt.SheetText); err != nil {
			return nil, err
		}
	}
	if opt.OpenFolder == nil {
		opt.OpenFolder = files.MakeFolder
	}
	if opt.NewIdentity == nil {
		opt.NewIdentity = recording.NewIdentity
	}
	if opt.Lock == nil {
		opt.Lock = new(sync.Mutex)
	}
	l := &Live{opt: opt, files: openFiles{mu: opt.Lock}, unpackable: map[int]bool{}}
	if err := l.open(ctx, s); err != nil {
		return nil, errors.Join(err, l.files.close())
	}
	return l, nil
}

func (l *Live) open(ctx context.Context, s *sheet.Sheet) error {
	if err := l.openFolder(); err != nil {
		return err
	}
	if err := l.openLines(ctx); err != nil {
		return err
	}
	b, err := l.begin(ctx)
	if err != nil {
		return err
	}
	if b.resumes() {
		if err := l.planReread(b.session); err != nil {
			return err
		}
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	l.checkTimeline(b.session)
	if err := l.files.checkpoints.keepOnly(b.session, b.section.First, l.files.journal.LastSeq()); err != nil {
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
		sync: l.files.syncRecording, syncAll: l.files.sync, rebuild: l.files.rebuildJournal, queue: queue{bell: newBell()},
		of: identity{session: b.session, judge: sync.OnceValue(l.opt.Judge)},
	}
	if err := l.openJudge(s, b); err != nil {
		return err
	}
	l.sheet = s
	l.connect()
	l.Seq.Put(event.BenchTap, b.kind, b.data)
	return l.putPapers()
}

// putPapers puts the entries of the model's papers in. Those that say what they said before are
// no change, so a session that goes on takes what was changed meanwhile.
func (l *Live) putPapers() error {
	for i := range l.opt.Entries {
		data, err := json.Marshal(&l.opt.Entries[i])
		if err != nil {
			return fmt.Errorf("the papers: %w", err)
		}
		l.Seq.Put(event.BenchTap, event.InputPapers, data)
	}
	return nil
}

// openFolder takes the folder, which keeps the sheet.
func (l *Live) openFolder() (err error) {
	if l.files.folder, err = l.opt.OpenFolder(string(l.opt.Folder)); err != nil {
		return err
	}
	if err := lock(l.files.folder); err != nil {
		return err
	}
	l.Resumed = recorded(l.files.folder)
	if err := keepSheet(l.files.folder, l.opt.SheetText); err != nil || l.opt.Papers == nil {
		return err
	}
	if err := files.Replace(l.files.folder, PapersFile, l.opt.Papers); err != nil {
		return fmt.Errorf("keep the papers: %w", err)
	}
	return nil
}

// openLines opens what holds lines: checkpoints and journal.
func (l *Live) openLines(ctx context.Context) (err error) {
	if l.files.checkpoints, err = openCheckpoints(l.files.folder, l.opt.Kept); err != nil {
		return err
	}
	return l.openTimeline(ctx)
}

// readWhole is how long a timeline is, bytes, that is read as a whole before a session
// begins. Of a longer one that is what stands behind the newest checkpoint; the rest is
// checked while it is heard.
const readWhole = 16 << 20

func (l *Live) openTimeline(ctx context.Context) (err error) {
	var found timeline.Opened
	if l.files.journal, found, err = timeline.Open(ctx, l.files.folder, TimelineFile, l.files.checkpoints.places(cmp.Or(l.opt.Whole, readWhole))...); err != nil {
		return err
	}
	l.noticeOpened(found)
	l.found = found
	return nil
}

// checkTimeline compares the timeline with what checkpoints say of it: that shows lines
// that were taken away, altered or put elsewhere, also where their numbers look whole.
func (l *Live) checkTimeline(session string) {
	l.harmed = len(l.found.Holes)+len(l.found.Damages) > 0
	defer func() { l.found.Sums = nil }() // one an event
	for _, k := range l.files.checkpoints.kept {
		switch sum, there := l.found.Sums[k.of.Journalled]; {
		case k.of.JournalSum == "", k.of.Session != session, k.of.Journalled < l.found.From.Seq:
		case !there:
			l.notice("the timeline was longer: it ended with event %d and ends with event %d now; what it lacks is judged again",
				k.of.Journalled, l.files.journal.LastSeq())
			return
		case sum.String() != k.of.JournalSum && !l.harmed:
			l.harmed = true
			l.notice("the timeline up to event %d is not as it was written; all of it is judged again", k.of.Journalled)
		}
	}
}

// begin finds where what is heard now begins.
func (l *Live) begin(ctx context.Context) (*beginning, error) {
	wall := l.opt.Wall().UnixNano()
	if !l.Resumed {
		return l.beginNew(ctx, wall)
	}
	kept := l.keptOfLongSegment()
	r, err := recording.Repair(ctx, l.files.folder, kept...)
	if err != nil {
		return nil, err
	}
	l.unread = len(kept) > 0 || len(r.Damages) > 0
	l.noticeRepaired(r)
	if r.Session == "" {
		return l.beginNew(ctx, wall)
	}
	return beginningBehind(&r, &l.opt, wall, l.files.journal.LastSeq()+1)
}

// wholeSegment is how long the open segment of a recording is, bytes, that is read as a
// whole before a session begins. Only those of format 1, which had one segment, are longer.
const wholeSegment = 512 << 20

// keptOfLongSegment are the checkpoints from which the open segment is read where it is
// too long to be read from its beginning.
func (l *Live) keptOfLongSegment() (list []recording.Checkpoint) {
	f, err := l.files.folder.Open(RecordingFile)
	if err != nil {
		return nil // who reads it says so
	}
	size, err := f.Size()
	if errors.Join(err, f.Close()) != nil || size < wholeSegment {
		return nil
	}
	for _, k := range l.files.checkpoints.kept {
		list = append(list, k.of)
	}
	return list
}

// beginNew begins a recording. A timeline that is there all the same has nothing any more
// that it could be judged again from: it is put aside.
func (l *Live) beginNew(ctx context.Context, wall int64) (*beginning, error) {
	if l.files.journal.LastSeq() > 0 {
		if err := l.putTimelineAside(ctx); err != nil {
			return nil, err
		}
	}
	return newBeginning(&l.opt, wall)
}

func (l *Live) putTimelineAside(ctx context.Context) error {
	n := l.files.journal.LastSeq()
	if err := l.files.journal.Close(); err != nil {
		return err
	}
	aside, err := files.FreeName(l.files.folder, "timeline-without-recording", ".jsonl")
	if err == nil {
		err = l.files.folder.Rename(TimelineFile, aside)
	}
	if err != nil {
		return fmt.Errorf("put the timeline aside: %w", err)
	}
	l.notice("the recording of this session is gone or has no input: its timeline, %d events, is kept in %s, and a new one begins", n, aside)
	return l.openTimeline(ctx)
}

func (l *Live) openRecording(section recording.Section) (err error) {
	if l.files.recording, err = openAppended(l.files.folder, RecordingFile, l.files.checkpoints.safe(section.Segment)); err != nil {
		return fmt.Errorf("open the recording: %w", err)
	}
	l.rec, err = newRecorder(l.Seq, &l.opt, &l.files, section)
	return err
}

// openJudge makes the engine, a new one or as it was, and what it judges.
func (l *Live) openJudge(s *sheet.Sheet, b *beginning) error {
	l.judge = &judgeLoop{
		source: &source{seq: l.Seq, number: b.section.First - 1},
		seq:    l.Seq, rec: l.rec, writer: l.writer, folder: l.files.folder, every: l.opt.Every,
	}
	if !b.resumes() {
		l.judge.begin(newJudgement(s, l.judge.onEvent))
		return nil
	}
	r := resumption{
		folder: l.files.folder, kept: l.files.checkpoints.kept, of: l.writer.of, sheet: s,
		inputs: b.section.First, journalled: l.files.journal.LastSeq(), harmed: l.harmed,
		onEvent: l.judge.onEvent,
	}
	was, history, err := r.resume()
	if err != nil {
		return err
	}
	l.judge.begin(was)
	l.judge.history = history
	l.judge.source.past = l.judge.history.reader
	return nil
}

// connect has all parts report to the publisher.
func (l *Live) connect() {
	l.pub = newPublisher(l.judge.engine, l.opt.Taps)
	l.writer.queue.pub, l.judge.pub = l.pub, l.pub
	l.rec.trouble, l.rec.wrote = l.pub.diskTrouble, l.writer.queue.recorded
	l.judge.faults = faultLog{folder: l.files.folder, build: l.opt.Build, trouble: l.pub.report}
	l.judge.engine.OnFault, l.judge.engine.OnSight = l.judge.onFault, l.judge.onSight
}

func (l *Live) noticeOpened(o timeline.Opened) {
	if o.Cut > 0 {
		l.notice("the last %d bytes of the timeline were half-written; they were cut off and kept in %s", o.Cut, o.Aside)
	}
	for _, d := range o.Damages {
		l.notice("the timeline is damaged in the middle: %s", d)
	}
	for _, h := range o.Holes {
		l.notice("the timeline is not whole: %s", h)
	}
}

func (l *Live) noticeRepaired(r recording.Repaired) {
	if r.Cut > 0 {
		l.notice("the last %d bytes of the recording were half-written; they were cut off and kept in %s", r.Cut, r.Aside)
	}
	for _, d := range r.Damages {
		l.notice("the recording is damaged %s; what can be read of it is used", d)
	}
}

func (l *Live) notice(format string, args ...any) {
	l.Notices = append(l.Notices, fmt.Sprintf(format, args...))
}
