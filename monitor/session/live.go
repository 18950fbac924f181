package session

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"sync"
	"time"

	"github.com/gofrs/flock"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

// Options say what a live session needs from outside.
type Options struct {
	Folder    Folder
	SheetName string
	SheetText []byte
	Taps      []event.TapName
	Build     string
	Clock     func() int64                           // port.Clock
	Wall      func() time.Time                       // time.Now
	Show      func(Shown)                            // must not block
	Judged    func()                                 // nil, or called after each beat that went through judgement; must not block
	Trouble   func(error)                            // a disk that refuses, and the like; must not block
	Every     int                                    // beats from one checkpoint to the next
	Judge     func() string                          // Fingerprint: which program judges; asked once, when a checkpoint is written or read
	OpenFile  func(path string) (File, int64, error) // nil: a real file, for appending
}

// Live is a session that is being heard.
type Live struct {
	Seq     *port.Sequencer
	Resumed bool
	Notices []string // what the user should know about how the session was found

	opt     Options
	lock    *flock.Flock
	engine  *engine.Engine
	rec     *recorder
	writer  *journalWriter
	history *history // what a resumed session replays first, nil once done
	faults  faultLog // the journal writer's

	batch *port.Batch
	at    int // of the next input in batch
	cause int64
	beats int
	beat  bool // the last input was a beat
	shown published
}

// Open begins a session in the folder or, if there is one, resumes it. It starts
// nothing: Run does.
func Open(opt Options) (*Live, error) {
	s, err := sheet.Read(opt.SheetName, opt.SheetText)
	if err != nil {
		return nil, err
	}
	if opt.OpenFile == nil {
		opt.OpenFile = openAppend
	}
	lock, err := opt.Folder.make()
	if err != nil {
		return nil, err
	}
	l := &Live{opt: opt, lock: lock, writer: newJournalWriter(opt.Clock)}
	if err := l.open(s); err != nil {
		return nil, errors.Join(err, lock.Unlock())
	}
	return l, nil
}

func (l *Live) open(s *sheet.Sheet) error {
	folder := l.opt.Folder
	l.Resumed = folder.Exists()
	if err := folder.keepSheet(l.opt.SheetText); err != nil {
		return err
	}
	journal, found, err := timeline.Open(folder.Timeline())
	if err != nil {
		return err
	}
	l.emit(found)
	checkpoints, _, _, err := crclog.OpenLog(folder.Checkpoints())
	if err != nil {
		return err
	}
	l.writer.journal, l.writer.checkpoints = journal, checkpoints
	l.writer.show, l.writer.trouble, l.writer.judge = l.opt.Show, l.diskTrouble, sync.OnceValue(l.opt.Judge)
	l.faults = faultLog{path: folder.Faults(), build: l.opt.Build, trouble: l.opt.Trouble}

	wall := l.opt.Wall().UnixNano()
	start := event.Start{Build: l.opt.Build, WallNS: wall, Taps: l.opt.Taps}
	section := recording.Section{Base: wall, Taps: l.opt.Taps, Build: l.opt.Build}
	now, kind := unit.Time(0), event.Begin
	if l.Resumed {
		r, err := recording.Repair(folder.Recording())
		if err != nil {
			return err
		}
		l.noticeRepaired(r)
		if r.Inputs > 0 {
			section.Base, section.First, l.writer.session = r.Base, r.Inputs, r.Identity
			now = max(r.Last.Add(unit.Microsecond), unit.Time(wall-r.Base).Truncate(unit.Microsecond))
			kind, start.Seq = event.Resume, journal.LastSeq()+1
		}
	}
	data, err := json.Marshal(start)
	if err != nil {
		return err
	}
	if kind == event.Begin {
		l.writer.session = recording.Identity(section.Base, data)
	}
	l.Seq = port.NewSequencer(l.opt.Clock, now, section.First)
	if l.engine, l.history, err = l.begin(s, section.First, journal.LastSeq()); err != nil {
		return err
	}
	l.engine.OnFault = func(f *engine.Fault) {
		l.writer.add(pendingEvent{cause: l.cause, aside: func() { l.faults.keep(f) }})
	}
	file, size, err := l.opt.OpenFile(folder.Recording())
	if err != nil {
		return fmt.Errorf("open the recording: %w", err)
	}
	if l.rec, err = newRecorder(l.Seq, l.opt.Clock, file, size, section); err != nil {
		return errors.Join(err, file.Close())
	}
	l.rec.trouble, l.rec.wrote, l.writer.rec = l.diskTrouble, l.writer.wake, l.rec
	l.publishEmpty()
	l.Seq.Put(event.BenchTap, kind, data)
	return nil
}

func (l *Live) emit(o timeline.Opened) {
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

// Run hears until ctx is done: each of ports runs until then. It returns when
// all is written, or with what could not be.
func (l *Live) Run(ctx context.Context, ports ...func(context.Context)) error {
	var hearing, writing sync.WaitGroup
	for _, p := range ports {
		hearing.Go(func() { p(ctx) })
	}
	hearing.Go(func() { port.Beat(ctx, l.Seq, l.watchdog) })
	var judged error
	judging := make(chan struct{})
	go func() {
		defer close(judging)
		judged = engine.Run(l, l.engine)
	}()
	recorded := make(chan struct{})
	go func() { defer close(recorded); l.rec.run() }()
	writing.Go(l.writer.run)
	stop := make(chan struct{})
	syncing := make(chan struct{})
	go func() { defer close(syncing); l.syncEachSecond(stop) }()

	hearing.Wait()
	l.Seq.Close(event.End)
	close(l.rec.closing)
	<-judging
	written := make(chan struct{})
	go func() {
		<-recorded
		l.writer.finish()
		writing.Wait()
		close(stop)
		<-syncing
		close(written)
	}()
	select {
	case <-written:
		return errors.Join(judged, l.close())
	case <-time.After(patience):
		return errors.Join(judged, fmt.Errorf("the disk has not answered for %v: the end of this session is not recorded", patience))
	}
}

// patience is how long the end of a session waits for a disk.
const patience = 5 * time.Second

// Claims are the claims as judged when Run returned.
func (l *Live) Claims() []*claim.Claim { return l.engine.Claims() }

// watchdog runs with every beat.
func (l *Live) watchdog() {
	if l.rec.busy.stalled(l.opt.Clock) || l.writer.busy.stalled(l.opt.Clock) {
		l.rec.deafen("the disk has not answered for 2 s")
		l.diskTrouble(errors.New("the disk has not answered for 2 s: watching goes on, the recording has a gap until it does"))
	}
	if l.Seq.RecorderOff() {
		l.writer.showAtOnce()
	}
}

func (l *Live) syncEachSecond(stop chan struct{}) {
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	for {
		select {
		case <-stop:
			return
		case <-tick.C:
			l.shown.free.Store(space(string(l.opt.Folder)))
			if err := l.sync(); err != nil {
				l.diskTrouble(fmt.Errorf("the disk may lose the last second in a power cut: %w", err))
			}
		}
	}
}

func (l *Live) sync() error {
	return errors.Join(l.rec.file.Sync(), l.writer.journal.Sync())
}

func (l *Live) close() error {
	err := l.sync()
	if l.Seq.RecorderOff() {
		err = errors.Join(err, errors.New("the end of this session could not be recorded: the disk refused until the end"))
	}
	if n := len(l.writer.pending); n > 0 {
		err = errors.Join(err, fmt.Errorf("%d events could not be written to the timeline", n))
	}
	return errors.Join(err, l.rec.file.Close(), l.writer.journal.Close(), l.writer.checkpoints.Close(), l.lock.Unlock())
}

// Next implements engine.Source: first what a resumed session heard before,
// then what is heard now.
func (l *Live) Next(in *event.Input) error {
	if l.history != nil {
		if err := l.history.next(in); !errors.Is(err, io.EOF) {
			return err
		}
		l.leaveHistory()
	}
	l.checkpoint()
	for l.batch == nil || l.at == l.batch.Len() {
		l.catchUp()
		l.publish()
		if l.batch, l.at = l.Seq.Take(port.Judge), 0; l.batch == nil {
			return io.EOF
		}
	}
	*in = l.batch.Input(l.at)
	l.cause = l.batch.First + int64(l.at)
	l.at++
	l.beat = in.Kind == event.Beat
	return nil
}

// leaveHistory goes over to what is heard now.
func (l *Live) leaveHistory() {
	old := l.history
	l.history = nil
	_ = old.file.Close()
	if old.differs == 0 {
		return
	}
	l.writer.add(pendingEvent{cause: noCause, aside: func() {
		l.opt.Trouble(old.keepSecondJudgement(l.opt.Folder.JudgedAgain(l.writer.judge())))
	}})
}

// catchUp ends a recording gap once the disk is back.
func (l *Live) catchUp() {
	if !l.Seq.RecorderOff() {
		return
	}
	ended := l.Seq.ResumeRecorder(event.RecordingGap, l.rec.written.Load(), func(unheard int64) []byte {
		return gapEnd(unheard, l.engine.Seq())
	})
	if ended {
		l.writer.waitForRecording()
	}
}

// checkpoint keeps the state of the bench after each Every beats.
func (l *Live) checkpoint() {
	if !l.beat {
		return
	}
	l.beat = false
	if l.opt.Judged != nil {
		l.opt.Judged()
	}
	if l.beats++; l.beats < l.opt.Every || l.Seq.RecorderOff() {
		return
	}
	l.beats = 0
	state, err := l.engine.Checkpoint()
	if err != nil {
		l.opt.Trouble(err)
		return
	}
	l.writer.add(pendingEvent{cause: l.cause, state: &recording.Checkpoint{
		Input: l.cause + 1, At: l.engine.Now(), Seq: l.engine.Seq() + 1, Bench: state,
	}})
}

// onEvent takes an event of what is heard now.
func (l *Live) onEvent(e *event.Event, wall int64) {
	if l.history != nil && !l.history.compare(e, wall) {
		return
	}
	line, err := timeline.Line(nil, e, wall)
	if err != nil {
		l.opt.Trouble(err)
		return
	}
	l.writer.add(pendingEvent{cause: l.cause, event: Shown{Event: *e, Wall: wall, Line: line}})
}

// begin makes the bench: a new one or, for a session that goes on, one that
// first replays what was recorded since the last checkpoint that fits.
func (l *Live) begin(s *sheet.Sheet, inputs, journalled int64) (*engine.Engine, *history, error) {
	l.cause = inputs - 1
	if inputs == 0 {
		return engine.New(s, l.onEvent), nil, nil
	}
	file, err := os.Open(l.opt.Folder.Recording())
	if err != nil {
		return nil, nil, fmt.Errorf("resume: %w", err)
	}
	// What is there now: the section that is about to be appended is not past.
	info, err := file.Stat()
	if err != nil {
		return nil, nil, errors.Join(fmt.Errorf("resume: %w", err), file.Close())
	}
	bench, reader, whole, err := l.lastState(io.NewSectionReader(file, 0, info.Size()), s, inputs)
	if err != nil {
		return nil, nil, errors.Join(err, file.Close())
	}
	known, err := journalLines(l.opt.Folder.Timeline(), bench.Seq())
	if err != nil {
		return nil, nil, errors.Join(err, file.Close())
	}
	return bench, &history{file: file, reader: reader, whole: whole, known: known, journalled: journalled}, nil
}
