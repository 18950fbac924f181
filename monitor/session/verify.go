package session

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/timeline"
)

// Verified is what Verify found in the folder of a session.
type Verified struct {
	Segments    int   `json:"segments"` // of the recording, the open one among them
	Packed      int   `json:"packed"`   // of these
	Inputs      int64 `json:"inputs"`
	Events      int64 `json:"events"`      // in the timeline
	Checkpoints int64 `json:"checkpoints"` // those in the packed segments among them
	Chained     bool  `json:"chained"`     // all parts carry the session's identity; not in format 1
	Running     bool  `json:"running"`     // somebody records: the ends of the files are still being written
	SameBuild   bool  `json:"same_build"`  // this build judged then
	Compared    int64 `json:"compared"`    // events of the timeline that the recording gives again

	Faults []string `json:"faults"` // what is not as it was written, one sentence each
	Notes  []string `json:"notes"`  // what is to be known beside, and is no fault
}

// Verify reads all that a session's folder has: every segment, every line, every
// checkpoint, and judges the recording once more. It changes nothing. judge is the
// Fingerprint of this program and build its name. It ends early when ctx is done.
func Verify(ctx context.Context, folder Folder, judge, build string) (*Verified, error) {
	in, err := folder.Open()
	if err != nil {
		return nil, err
	}
	defer func() { _ = in.Close() }()
	return verify(ctx, in, func() bool { return isRecorded(in) }, judge, build)
}

// verify is Verify of an open folder; recorded says whether somebody records there now.
func verify(ctx context.Context, in files.Folder, recorded func() bool, judge, build string) (*Verified, error) {
	v := &verifier{in: in, recorded: recorded, build: build, judge: judge, builds: map[string]bool{}, judges: map[string]bool{}}
	v.found = Verified{Faults: []string{}, Notes: []string{}}
	// In this order: what is written meanwhile stands in what is read later.
	for _, read := range []func(context.Context) error{v.running, v.checkpoints, v.timeline, v.segments, v.recording} {
		if err := read(ctx); err != nil {
			return nil, fmt.Errorf("verify: %w", err)
		}
	}
	v.compareSums()
	v.compareEvents()
	return &v.found, nil
}

// verifier reads the files one after the other and keeps what they say of one another.
type verifier struct {
	in           files.Folder
	recorded     func() bool
	judge, build string
	found        Verified

	kept       []recording.Checkpoint // without the states
	inFile     int                    // of these, the first ones, read before the timeline; behind them those in segments
	journal    timeline.Opened
	journalled int64            // number of the last event in the timeline
	lines      map[int64]string // of the timeline, by number
	identity   string           // of the session
	builds     map[string]bool  // that recorded
	judges     map[string]bool  // that judged, as checkpoints say
	again      judgedAgain
}

// judgedAgain is what the recording gives, beside the timeline.
type judgedAgain struct {
	last     int64 // number of the last event
	lacking  int64 // events that the timeline lacks
	lacks    int64 // the first of them
	differs  int64 // number of the first event that the timeline has otherwise
	inGap    bool  // the recording ends in a gap
	hurtFrom int64 // events before the first damage of the recording, -1 for none
}

func (v *verifier) fault(format string, args ...any) {
	v.found.Faults = append(v.found.Faults, fmt.Sprintf(format, args...))
}

func (v *verifier) note(format string, args ...any) {
	v.found.Notes = append(v.found.Notes, fmt.Sprintf(format, args...))
}

// running finds out whether somebody records. Who begins to meanwhile writes at the ends too.
func (v *verifier) running(context.Context) error {
	if v.found.Running || !v.recorded() {
		return nil
	}
	v.found.Running = true
	v.note("it is being recorded: the ends of its files are still being written, and are not judged here")
	return nil
}

// isRecorded reports whether somebody has the lock of a folder.
func isRecorded(in files.Folder) bool {
	if !files.Exists(in, lockFile) {
		return false
	}
	asked, err := files.OpenFolder(in.Path())
	if err != nil {
		return false
	}
	got, err := asked.Lock(lockFile)
	return errors.Join(err, asked.Close()) == nil && !got
}

// checkpoints reads the file of them.
func (v *verifier) checkpoints(context.Context) error {
	f, err := v.in.Open(CheckpointsFile)
	if errors.Is(err, fs.ErrNotExist) {
		v.note("there is no %s: that the ends of recording and timeline are not cut off can't be seen", CheckpointsFile)
		return nil
	}
	if err != nil {
		return err
	}
	_, err = crclog.Scan(f, func(_ int64, line []byte, damage error) error {
		if damage != nil {
			v.fault("%s: %v", CheckpointsFile, damage)
		} else if c, ok := recording.ParseCheckpoint(line); ok {
			v.keep(&c)
		}
		return nil
	})
	return errors.Join(err, f.Close())
}

func (v *verifier) keep(c *recording.Checkpoint) {
	c.Engine = nil
	v.kept = append(v.kept, *c)
	v.judges[c.Judge] = true
	v.found.Checkpoints++
}

// timeline reads the lines.
func (v *verifier) timeline(context.Context) (err error) {
	var sums []int64
	for i := range v.kept {
		sums = append(sums, v.kept[i].Journalled)
	}
	v.inFile = len(v.kept)
	v.journal, v.journalled, err = timeline.Inspect(v.in, TimelineFile, sums...)
	if errors.Is(err, fs.ErrNotExist) {
		v.fault("there is no %s", TimelineFile)
		return nil
	}
	if err != nil {
		return err
	}
	v.found.Events = v.journal.Events
	for _, d := range v.journal.Damages {
		v.fault("the timeline is damaged: %s", d)
	}
	if v.journal.Cut > 0 && !v.found.Running {
		v.fault("the last %d bytes of the timeline are half-written", v.journal.Cut)
	}
	if v.lines, err = journalLines(v.in, 0); err == nil {
		v.holes()
	}
	return err
}

// holes tells where numbers are lacking. Where another build resumed a session that it
// judges otherwise, they go on behind its own.
func (v *verifier) holes() {
	for _, h := range v.journal.Holes {
		e, err := timeline.Parse([]byte(strings.TrimSuffix(v.lines[h.Seq], "\n")))
		if err == nil && e.Kind == event.SessionResumed && h.Seq > h.Before {
			v.note("where the session was resumed, %s", h)
		} else {
			v.fault("the timeline is not whole: %s", h)
		}
	}
}

// segments looks at which there are.
func (v *verifier) segments(context.Context) error {
	list, err := recording.Segments(v.in)
	if err != nil {
		return err
	}
	if len(list) == 0 {
		return fmt.Errorf("%s has no recording: %w", v.in.Path(), fs.ErrNotExist)
	}
	v.found.Segments = len(list)
	next := 1
	for _, s := range list {
		if s.Packed {
			v.found.Packed++
		}
		if s.Number > next {
			v.fault("of the recording, the segments %d to %d are gone", next, s.Number-1)
		}
		next = s.Number + 1
	}
	if list[len(list)-1].Number > 0 && !v.found.Running {
		v.fault("of the recording, the last segment, %s, is gone", RecordingFile)
	}
	return nil
}

// recording reads all inputs, and judges them.
func (v *verifier) recording(ctx context.Context) error {
	text, err := files.Read(v.in, SheetFile, files.MaxText)
	if err != nil {
		return err
	}
	s, err := sheet.Read(Folder(v.in.Path()).Path(SheetFile), text)
	if err != nil {
		return err
	}
	v.again.hurtFrom = -1
	segments, err := recording.OpenSegments(v.in)
	if err != nil {
		return err
	}
	r := replayOf(segments, s, v.onEvent)
	w := &watched{ctx: ctx, of: r.reader, v: v}
	err = errors.Join(engine.Run(w, r.Engine, nil), v.running(ctx))
	v.found.Chained = r.reader.Session() != ""
	v.found.Inputs = r.reader.Position().Input
	for _, said := range r.Close() {
		if strings.HasPrefix(said, cannotBeWhole) {
			v.note("%s", said)
		} else if _, torn := r.reader.Tail(); !torn || !v.found.Running || r.reader.DamageCount() > 0 {
			v.fault("%s", said)
		}
	}
	if !v.found.Chained {
		v.note("it is not chained: builds of its day gave its parts no common identity, so a part of another session could stand among them")
	}
	return err
}

// onEvent compares an event of this judgement with the timeline.
func (v *verifier) onEvent(e *event.Event, wall int64) {
	a := &v.again
	a.last = e.Seq
	if d, ok := e.Data.(event.RecordingGapData); ok {
		a.inGap = !d.Ended
	}
	line, err := timeline.Line(nil, e, wall)
	was, known := v.lines[e.Seq]
	switch {
	case err != nil || a.hurtFrom >= 0 || a.differs > 0:
		return
	case !known:
		if a.lacking++; a.lacking == 1 {
			a.lacks = e.Seq
		}
	case was != string(line):
		a.differs = e.Seq
	default:
		v.found.Compared++
		delete(v.lines, e.Seq)
	}
}

// watched is the reader of the recording, from which the verifier takes what is no input.
type watched struct {
	ctx         context.Context
	of          *recording.Reader
	v           *verifier
	begun       bool
	checkpoints int64
}

// Next implements engine.Source.
func (w *watched) Next(in *event.Input) error {
	if err := w.ctx.Err(); err != nil {
		return err
	}
	err := w.of.Next(in)
	if (w.of.DamageCount() > 0 || len(w.of.Thinned()) > 0) && w.v.again.hurtFrom < 0 {
		w.v.again.hurtFrom = w.v.again.last
	}
	if err != nil {
		if errors.Is(err, io.EOF) {
			return io.EOF
		}
		return err
	}
	if !w.begun {
		w.begun = true
		w.v.begins(w.of, in)
	}
	if in.Kind == event.InputBegin || in.Kind == event.InputResume {
		w.v.builds[buildOf(in.Data)] = true
	}
	if n := w.of.Checkpoints(); n != w.checkpoints {
		w.checkpoints = n
		w.v.within(w.of)
	}
	return nil
}
