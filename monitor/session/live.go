package session

import (
	"errors"
	"fmt"
	"sync"
	"time"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

// Options say what a live session needs from outside.
type Options struct {
	Folder      Folder
	SheetName   string
	SheetText   []byte
	Sheet       *sheet.Sheet // what that says, where it was read already; nil: it is read
	Taps        []event.TapName
	Papers      []byte        // the text of the model's papers, kept beside the sheet; nil: there are none
	Entries     []event.Paper // their entries, which are judged as the first inputs
	Until       string        // goal that is declared where the session begins, as event.ParseQuiet reads it; "": none
	Build       string
	Clock       func() int64                            // port.Clock
	Wall        func() time.Time                        // time.Now
	Every       int                                     // beats from one checkpoint to the next
	Segment     unit.Duration                           // how long a segment of the recording is; 0: half an hour
	Room        int64                                   // bytes that the recording may take; 0: all that the disk has
	Kept        int                                     // checkpoints, before the older ones go; 0: 16
	Whole       int64                                   // bytes of timeline that are read before the session begins; 0: 16 MiB
	Judge       func() string                           // Fingerprint: which program judges; asked once, when a checkpoint is written or read
	NewIdentity func() string                           // nil: recording.NewIdentity
	OpenFolder  func(path string) (files.Folder, error) // nil: files.MakeFolder
	Lock        sync.Locker                             // held while files are synced or replaced, also by a disk that hangs; nil: a mutex
}

// Live is a session that is being heard: the sequencer gives every input to the recorder
// and to the judge loop, which hands events to the journal writer; the publisher shows
// what comes of it.
type Live struct {
	Seq     *port.Sequencer
	Resumed bool
	Notices []string // what the user should know about how the session was found

	opt        Options
	sheet      *sheet.Sheet
	files      openFiles
	rec        *recorder
	judge      *judgeLoop
	writer     *journalWriter
	pub        *publisher
	found      timeline.Opened // of the timeline
	harmed     bool            // the timeline is not as it was written
	unread     bool            // the open segment was not read as a whole when the session was opened, or not all can be
	unpackable map[int]bool    // segments that could not be packed, by number; for packStep alone
	reread     reread          // for rereadStep alone
}

// Subscribe has a subscriber get what the session shows from its start, behind those
// that subscribed before. It is for the time between Open and Run.
func (l *Live) Subscribe(s Subscriber) { l.pub.subscribers = append(l.pub.subscribers, s) }

// Claims are the claims as judged when Run returned.
func (l *Live) Claims() []*claim.Claim { return l.judge.engine.Claims() }

// State is what the session is like now. It may be called at any time, from any
// goroutine; what it returns must not be changed.
func (l *Live) State() state.State {
	s := *l.pub.latest.Load()
	s.Build, s.NowNS = l.opt.Build, l.Seq.Now()
	r := state.Recorder{
		Folder: string(l.opt.Folder), Recording: !l.Seq.RecorderOff(), Inputs: l.rec.written.Load(), Waiting: l.writer.queue.waiting(),
		Stalled: l.diskStalls(), FreeBytes: l.pub.free.Load(),
	}
	if why := l.pub.refused.Load(); why != nil && (!r.Recording || r.Stalled || r.Waiting > 0) {
		r.Trouble = *why
	}
	s.Recorder = r
	return s
}

// LookClosely has pictures come sooner behind what is heard, at some cost, while somebody
// looks at each of them. It may be called at any time, from any goroutine.
func (l *Live) LookClosely(yes bool) {
	l.pub.closely.Store(yes)
	l.Seq.Hurry(yes)
}

// syncStep puts on the disk what was written, and sees how much room it has and whether
// the files are still in their places.
func (l *Live) syncStep() {
	l.lookForFiles()
	l.pub.free.Store(space(string(l.opt.Folder)))
	if err := l.files.sync(); err != nil {
		l.pub.diskTrouble(fmt.Errorf("the disk may lose the last second in a power cut: %w", err))
	}
}

// finishWriting follows the last steps of judge loop and recorder. A gap that goes on, and
// that no beat followed, is a gap all the same.
func (l *Live) finishWriting() {
	if l.Seq.RecorderOff() {
		l.writer.queue.showAtOnce()
	}
	l.writer.queue.finish()
}

// close follows the last step, and says what could not be written.
func (l *Live) close() error {
	err := l.files.sync()
	if name := l.files.displaced(); name != "" {
		err = errors.Join(err, fmt.Errorf("the end of this session is not in its folder: %s was moved, deleted or replaced while it was written to", name))
	} else if l.Seq.RecorderOff() {
		err = errors.Join(err, fmt.Errorf("the end of this session could not be recorded: %s", l.rec.untilTheEnd()))
	}
	if n := l.writer.unwritten(); n > 0 {
		err = errors.Join(err, fmt.Errorf("%d events could not be written to the timeline", n))
	}
	return errors.Join(err, l.files.close())
}
