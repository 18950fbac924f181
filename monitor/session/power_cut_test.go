package session

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

// powerCuts plays sessions in one folder on a disk in memory, one behind the other. Each
// ends in a power cut at some call to the disk, also one of its opening or of the packing.
type powerCuts struct {
	luck  *rand.Rand
	sheet *sheet.Sheet
	disk  *filestest.Disk
	lies  func(*powerCuts, filestest.Call) bool // which syncs are left out; nil: none
	now   int64                                 // ns; goes on over all sessions
	texts int                                   // of marks so far
	full  bool                                  // the disk refuses now and then

	// What a power cut may not take any more.
	promised []string // lines that were given to the timeline
	answered []string // texts of marks that were answered as recorded

	// Lines of events that came in a recording gap: the recording does not give them.
	inGap map[string]bool
	gap   int64 // number of the input with which the gap began, -1: there is none

	live    *Live
	asked   map[int64]string // texts of marks, by the number of the input
	calls   int              // that change something, until the cut
	refuses int              // so many calls to come
	last    filestest.Call   // the latest of these but for a folder's sync
	after   *filestest.Disk  // what the cut left; nil: it did not come yet
}

// smallSheet judges little, so that many sessions can be played.
const smallSheet = `sheet: 1
model: Small
sticks: 2
taps: {main: {kind: bus, carries: heard}}
channels:
  1: {name: elevator, kind: stick, ends: {back: 2000, forward: 1000}, neutral: 1500}
`

func newPowerCuts(t *testing.T, seed uint64, lies func(*powerCuts, filestest.Call) bool) *powerCuts {
	t.Helper()
	s, err := sheet.Read("small", []byte(smallSheet))
	require.NoError(t, err)
	return &powerCuts{luck: rand.New(rand.NewPCG(seed, 16)), sheet: s, disk: filestest.New(), lies: lies, inGap: map[string]bool{}}
}

// run plays some sessions and says what was found wrong behind one of the cuts.
func (p *powerCuts) run() error {
	for n := range 3 {
		if err := p.session(); err != nil {
			return fmt.Errorf("session %d: %w", n, err)
		}
		if err := p.check(); err != nil {
			return fmt.Errorf("after the power cut of session %d: %w", n, err)
		}
		p.disk = p.after
	}
	return nil
}

// before follows every call to the disk, and cuts the power at one.
func (p *powerCuts) before(c filestest.Call) error {
	if c.Op == "open" || c.Op == "read" || c.Op == "names" || p.after != nil {
		return nil
	}
	if p.calls--; p.calls <= 0 {
		p.after = p.disk.PowerCut(p.luck)
		return nil
	}
	if p.refuses > 0 {
		p.refuses--
		return errFull
	}
	if c.Op == "write" && c.Name == TimelineFile {
		p.promised = append(p.promised, p.outsideGaps(linesIn(c.Data))...)
	}
	if c.Op != "sync folder" {
		p.last = c
	}
	return nil
}

// outsideGaps are the lines of events that the recording gives.
func (p *powerCuts) outsideGaps(lines []string) []string {
	return slices.DeleteFunc(slices.Clone(lines), func(line string) bool { return p.inGap[line] })
}

// shown follows the events, and notes those of a gap but what its beginning itself caused.
func (p *powerCuts) shown(s Shown) {
	gap, isGap := s.Event.Data.(event.RecordingGapData)
	switch {
	case isGap && !gap.Ended:
		p.gap = s.Input
	case isGap, s.Event.Kind == event.SessionResumed:
		p.gap = -1
	case p.gap >= 0 && s.Input != p.gap:
		p.inGap[string(s.Line)] = true
	}
}

// left reports whether a sync is left out.
func (p *powerCuts) left(c filestest.Call) bool { return p.lies != nil && p.lies(p, c) }

func (p *powerCuts) options(in files.Folder) Options {
	return Options{
		Taps: []event.TapName{{Name: "main", Kind: "bus"}}, Build: "test", SheetName: "small", SheetText: []byte(smallSheet),
		Every: 1 + p.luck.IntN(3), Segment: unit.Duration(1+p.luck.IntN(4)) * unit.Second,
		Clock: func() int64 { return p.now }, Wall: func() time.Time { return time.Unix(0, wallOfTests+p.now) },
		Judge: func() string { return judgeOfTests }, NewIdentity: func() string { return fmt.Sprintf("%032x", p.luck.Uint64()) },
		OpenFolder: func(string) (files.Folder, error) { return in, nil },
	}
}

// session plays one until the power is cut.
func (p *powerCuts) session() (err error) {
	p.gap, p.refuses = -1, 0
	p.after, p.calls, p.asked = nil, 1+p.luck.IntN([]int{40, 200}[p.luck.IntN(2)]), map[int64]string{}
	p.disk.Before, p.disk.Lies = p.before, p.left
	if p.live, err = Open(context.Background(), p.options(p.disk)); err != nil {
		return err
	}
	defer p.live.Seq.Close(0)
	p.live.Subscribe(Subscriber{Shown: p.shown, AllShown: func(input int64, recorded bool) {
		if text := p.asked[input]; recorded && p.after == nil {
			p.answered = append(p.answered, text)
		}
	}})
	p.live.Seq.Put(1, event.InputTapUp, []byte(`{"port":"simulated"}`))
	moves := p.moves()
	for range 250 {
		if p.after != nil {
			return nil
		}
		moves[p.luck.IntN(len(moves))]()
	}
	p.refuses = 0
	if p.luck.IntN(2) == 0 {
		if err = p.end(p.live); p.full && err != nil && strings.Contains(err.Error(), "could not be recorded: the disk refused until the end") {
			err = nil // it is said
		}
	}
	if p.after == nil {
		p.after = p.disk.PowerCut(p.luck)
	}
	return err
}

func (p *powerCuts) moves() []func() {
	l := p.live
	return []func(){
		func() { l.judge.step() }, func() { l.judge.step() }, func() { l.judge.step() },
		func() { l.rec.step() }, func() { l.rec.step() },
		func() { l.writer.step() }, func() { l.writer.step() },
		func() { l.syncStep() },
		func() { l.packStep(context.Background()) },
		func() {
			p.texts++
			text := fmt.Sprintf("mark %d", p.texts)
			if n, taken := l.Seq.Put(event.BenchTap, event.InputMark, []byte(text)); taken {
				p.asked[n] = text
			}
		},
		func() {
			l.Seq.Put(event.BenchTap, event.InputBeat, binary.BigEndian.AppendUint64(nil, uint64(wallOfTests+p.now)))
			l.watchdog()
		},
		func() { p.now += p.luck.Int64N(second / 2) },
		p.frames,
		func() {
			if p.full && p.luck.IntN(3) == 0 {
				p.refuses, p.disk.Takes = p.luck.IntN(4), p.luck.IntN(400)
			}
		},
	}
}

// frames have the bus come, or come again after a silence, and a stick at some place.
func (p *powerCuts) frames() {
	var frame bus.Frame
	for i := range frame.Counts {
		frame.Counts[i] = 992
	}
	frame.Counts[0] += uint32(p.luck.IntN(500))
	var raw [servobus.FrameLen]byte
	servobus.Encode(&frame, raw[:])
	for range 3 {
		p.now += int64(7 * unit.Millisecond)
		p.live.Seq.Put(1, event.InputBytes, raw[:])
	}
}

// end ends a session as Run does.
func (p *powerCuts) end(l *Live) error {
	l.Seq.Close(event.InputEnd)
	l.rec.close()
	finishSteps(l.judge.step)
	finishSteps(l.rec.step)
	l.finishWriting()
	finishSteps(l.writer.step)
	return errors.Join(l.judge.err, l.close())
}

func finishSteps(step func() wait) {
	for w := step(); w.what == forNothing; {
		w = step()
	}
}

// check opens what the cut left once more and holds it to what was promised.
func (p *powerCuts) check() error {
	in := p.after.PowerCut(p.luck) // a copy: nothing is unsafe behind a cut
	left := wholeLines(in.Content(TimelineFile))
	maps.DeleteFunc(p.inGap, func(line string, _ bool) bool { return !slices.Contains(left, line) }) // what is gone may come alike
	lines, err := p.judged(in)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("as it was found: %w", err)
	}
	if journal := p.outsideGaps(left); len(journal) > len(lines) || !slices.Equal(journal, lines[:len(journal)]) {
		return fmt.Errorf("as it was found: %w", firstDifference(journal, lines))
	}
	l, err := Open(context.Background(), p.options(in))
	if err != nil {
		return fmt.Errorf("open: %w", err)
	}
	said := l.Notices
	l.Subscribe(Subscriber{Trouble: func(err error) { said = append(said, err.Error()) }})
	if err := p.end(l); err != nil {
		return err
	}
	for _, s := range said {
		if !mayBeSaid.MatchString(s) && !(p.full && strings.Contains(s, "have nothing in the recording any more that caused them")) {
			return fmt.Errorf("it says: %s", s)
		}
	}
	return p.compare(in)
}

// mayBeSaid is what a power cut may do.
var mayBeSaid = regexp.MustCompile(`^(the last \d+ bytes of the (timeline|recording) were half-written; they were cut off|the timeline was longer: )`)

func (p *powerCuts) compare(in *filestest.Disk) error {
	want, err := p.judged(in)
	if err != nil {
		return err
	}
	journal := linesIn(in.Content(TimelineFile))
	if !slices.Equal(want, p.outsideGaps(journal)) {
		return firstDifference(p.outsideGaps(journal), want)
	}
	have := map[string]bool{}
	for i, line := range journal {
		e, err := timeline.Parse([]byte(strings.TrimSuffix(line, "\n")))
		if err != nil || e.Seq != int64(i+1) {
			return fmt.Errorf("event %d: got number %d, %w", i+1, e.Seq, err)
		}
		have[line] = true
		if e.Kind == event.Mark {
			have[string(e.Data)] = true
		}
	}
	for _, line := range p.promised {
		if !have[line] {
			return fmt.Errorf("lost from the timeline: %s", line)
		}
	}
	for _, text := range p.answered {
		if !have[fmt.Sprintf(`{"text":%q}`, text)] {
			return fmt.Errorf("lost, and was answered as recorded: %s", text)
		}
	}
	return nil
}

// judged are the lines that the recording gives, which must be whole but for its tail.
func (p *powerCuts) judged(in files.Folder) (lines []string, err error) {
	var failed error
	e := engine.New(p.sheet, func(e *event.Event, wall int64) {
		line, err := timeline.Line(nil, e, wall)
		failed = errors.Join(failed, err)
		lines = append(lines, string(line))
	})
	r, err := recording.OpenSegments(in)
	if err != nil {
		return nil, err
	}
	var input event.Input
	for err == nil {
		err = e.StepFrom(r, &input)
	}
	if damages := r.Damages(); len(damages) > 0 {
		return nil, fmt.Errorf("the recording is damaged: %v", damages)
	}
	if errors.Is(err, io.EOF) || errors.Is(err, recording.ErrNotRecording) && len(lines) == 0 {
		err = nil
	}
	return lines, errors.Join(err, failed, r.Close())
}

func firstDifference(timeline, recorded []string) error {
	n := 0
	for n < min(len(timeline), len(recorded)) && timeline[n] == recorded[n] {
		n++
	}
	next := func(lines []string) string { return strings.Join(lines[n:min(n+1, len(lines))], "") }
	return fmt.Errorf("the timeline has %d events, the recording gives %d; the first that differs:\n%s%s",
		len(timeline), len(recorded), next(timeline), next(recorded))
}

// wholeLines are those with their newline.
func wholeLines(text []byte) []string { return linesIn(text[:bytes.LastIndexByte(text, '\n')+1]) }

// fewCuts is how many seeds of power cuts are played each time.
const fewCuts = 300

// seedsOfCuts is few, or 20 times as many as BENCHPROOF_SEEDS says.
func seedsOfCuts(t *testing.T) uint64 {
	text := os.Getenv("BENCHPROOF_SEEDS")
	if text == "" {
		return fewCuts
	}
	n, err := strconv.ParseUint(text, 10, 64)
	require.NoError(t, err)
	return max(fewCuts, 20*n)
}

// Whenever the power is cut: what the timeline has its recording has too, and what was
// answered as recorded is there; also on a disk that refuses now and then.
func TestPowerCutsTakeNothingThatWasPromised(t *testing.T) {
	promised, answered, inGaps := 0, 0, 0
	for seed := range seedsOfCuts(t) {
		p := newPowerCuts(t, seed, nil)
		p.full = seed%3 == 0
		if err := p.run(); err != nil {
			t.Errorf("seed %d: %v\n%v", seed, err, p.disk)
		}
		promised, answered, inGaps = promised+len(p.promised), answered+len(p.answered), inGaps+len(p.inGap)
	}
	t.Logf("%d events promised, %d marks answered as recorded, %d events in gaps", promised, answered, inGaps)
	assert.Greater(t, promised, 10*fewCuts)
	assert.Greater(t, answered, 3*fewCuts)
	assert.Greater(t, inGaps, fewCuts)
}

// Syncs that are left out, each for a reason that the power cuts must find.
var leftOut = map[string]func(p *powerCuts, c filestest.Call) bool{
	"the recording's, before the timeline is written": func(p *powerCuts, c filestest.Call) bool {
		return c.Op == "sync" && c.Name == RecordingFile && p.disk.Content("."+RecordingFile+".new") == nil
	},
	"the recording's, before its segment is closed": func(p *powerCuts, c filestest.Call) bool {
		return c.Op == "sync" && c.Name == RecordingFile && p.disk.Content("."+RecordingFile+".new") != nil
	},
	"the folder's, when a segment was closed": func(p *powerCuts, c filestest.Call) bool {
		return c.Op == "sync folder" && p.last.Op == "rename" && p.last.Name == RecordingFile
	},
	"of a packed segment": func(_ *powerCuts, c filestest.Call) bool {
		return c.Op == "sync" && strings.HasSuffix(c.Name, ".zst.new")
	},
	"of the sheet":  func(_ *powerCuts, c filestest.Call) bool { return c.Op == "sync" && c.Name == "."+SheetFile+".new" },
	"of the folder": func(_ *powerCuts, c filestest.Call) bool { return c.Op == "sync folder" },
}

// The power cuts find what they are for.
func TestPowerCutsFindASyncThatIsLeftOut(t *testing.T) {
	for name, lies := range leftOut {
		t.Run(name, func(t *testing.T) {
			var found []uint64
			why := error(nil)
			for seed := uint64(0); seed < 100 && len(found) == 0; seed++ {
				if err := newPowerCuts(t, seed, lies).run(); err != nil {
					found, why = append(found, seed), err
				}
			}
			t.Logf("found by the seeds %v: %v", found, why)
			assert.NotEmpty(t, found)
		})
	}
}
