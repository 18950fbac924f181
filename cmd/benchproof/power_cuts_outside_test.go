//go:build outside && linux

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

const (
	imagesOfCuts = 60

	// restlessBench gives an event each half second or so.
	restlessBench = `
channel 1 aileron 1500
receiver main preset period 7ms
0s signal on
800ms signal off
1600ms signal on
2400ms signal off
3200ms signal on
60s end
`
)

// tracedDisk does on a disk in memory what a program did in its folder, call by call.
type tracedDisk struct {
	t      *testing.T
	folder string
	disk   *filestest.Disk
	open   map[int]files.File // by descriptor
	named  map[int]string     // of these, as they were opened
	there  bool               // the folder's own name is safe

	promised []string // lines that were given to the timeline
	answered []int64  // numbers of events that were answered as recorded
}

func newTracedDisk(t *testing.T, folder string) *tracedDisk {
	return &tracedDisk{t: t, folder: folder, disk: filestest.New(), open: map[int]files.File{}, named: map[int]string{}}
}

// ended forgets the descriptors of a program that has ended.
func (d *tracedDisk) ended() { clear(d.open) }

// within is the name of what a path leads to in the folder.
func (d *tracedDisk) within(path string) (name string, found bool) {
	return filepath.Base(path), filepath.Dir(path) == d.folder
}

// do does a call, and says whether it has to do with the folder.
func (d *tracedDisk) do(c *systemCall) (changes bool) {
	fd, path := file(d.t, c.args)
	switch c.name {
	case "openat":
		return d.opened(c)
	case "renameat", "unlinkat", "mkdirat":
		return d.renamed(c, path)
	case "close":
		delete(d.open, fd)
		return false
	case "fsync", "fdatasync":
		return d.synced(fd, path)
	}
	f := d.open[fd]
	if f == nil {
		_, inFolder := d.within(path)
		require.False(d.t, inFolder, "%s(%s) at a file that was not seen opened", c.name, path)
		return c.name == "write" && d.answers(c)
	}
	return d.moved(f, fd, c)
}

func (d *tracedDisk) opened(c *systemCall) bool {
	fd, path := file(d.t, c.result)
	name, found := d.within(path)
	if !found {
		return false
	}
	require.NotRegexp(d.t, "O_TRUNC|O_APPEND", c.args, name)
	there := d.disk.Content(name) != nil
	var err error
	if there {
		d.open[fd], err = d.disk.Open(name)
	} else {
		d.open[fd], err = d.disk.Create(name)
	}
	require.NoError(d.t, err)
	d.named[fd] = name
	return !there
}

func (d *tracedDisk) renamed(c *systemCall, path string) bool {
	texts := c.texts(d.t)
	if path != d.folder {
		for _, text := range texts {
			_, found := d.within(string(text))
			require.False(d.t, found && c.name != "unlinkat", "%s by a path: %s", c.name, text)
		}
		return false
	}
	if c.name == "renameat" {
		require.NoError(d.t, d.disk.Rename(string(texts[0]), string(texts[1])))
		return true
	}
	require.Equal(d.t, "unlinkat", c.name)
	require.NoError(d.t, d.disk.Remove(string(texts[0])))
	return true
}

func (d *tracedDisk) synced(fd int, path string) bool {
	switch f := d.open[fd]; {
	case f != nil:
		require.NoError(d.t, f.Sync())
	case path == d.folder:
		require.NoError(d.t, d.disk.Sync())
	case path == filepath.Dir(d.folder):
		d.there = true
	default:
		return false
	}
	return true
}

// fresh is what of a write to the timeline was not in it: what an earlier run left is written once more.
func (d *tracedDisk) fresh(c *systemCall, data []byte) []byte {
	if c.name == "write" {
		return data // at its end
	}
	had := len(d.disk.Content(session.TimelineFile)) - int(c.number(d.t))
	return data[min(len(data), max(0, had)):]
}

// moved does what moves an open file's place, or changes the file.
func (d *tracedDisk) moved(f files.File, fd int, c *systemCall) bool {
	var err error
	switch c.name {
	case "read":
		_, err = f.Seek(whole(d.t, c.result), io.SeekCurrent)
	case "lseek":
		_, err = f.Seek(whole(d.t, c.result), io.SeekStart)
	case "ftruncate":
		err = f.Truncate(c.number(d.t))
	case "write", "pwrite64":
		data := c.texts(d.t)[0]
		require.Len(d.t, data, int(whole(d.t, c.result)), "a part was written")
		if d.named[fd] == session.TimelineFile {
			d.promised = append(d.promised, slices.Collect(strings.Lines(string(d.fresh(c, data))))...)
		}
		if c.name == "write" {
			_, err = f.Write(data)
		} else {
			_, err = f.WriteAt(data, c.number(d.t))
		}
	default:
		require.Fail(d.t, "a call that nobody follows", "%s(%s)", c.name, c.args)
	}
	require.NoError(d.t, err)
	return c.name != "read" && c.name != "lseek"
}

var answeredAsRecorded = regexp.MustCompile(`(?s)^HTTP/1\.1 202 .*\r\n\r\n(\{.*"recorded":true\}\s*)$`)

// answers notes what a client is told.
func (d *tracedDisk) answers(c *systemCall) bool {
	found := answeredAsRecorded.FindSubmatch(c.texts(d.t)[0])
	if found == nil {
		return false
	}
	var answer struct{ Seq int64 }
	require.NoError(d.t, json.Unmarshal(found[1], &answer))
	d.answered = append(d.answered, answer.Seq)
	return true
}

// cut is the disk as a power cut now may leave it.
func (d *tracedDisk) cut(luck *rand.Rand) *filestest.Disk {
	if !d.there && luck.IntN(2) == 0 {
		return filestest.New()
	}
	return d.disk.PowerCut(luck)
}

// check opens what a power cut left and holds it to what was promised.
func (d *tracedDisk) check(t *testing.T, left *filestest.Disk) error {
	text := left.Content(session.TimelineFile)
	journal := slices.Collect(strings.Lines(string(text[:bytes.LastIndexByte(text, '\n')+1])))
	if recorded, err := judgedOn(t, left); err != nil {
		return fmt.Errorf("as it was found: %w", err)
	} else if len(journal) > len(recorded) || !slices.Equal(journal, recorded[:len(journal)]) {
		return fmt.Errorf("as it was found, the timeline has %d events, which the recording does not give", len(journal))
	}
	said, err := openAndEnd(t, left)
	if err != nil {
		return err
	}
	if i := slices.IndexFunc(said, func(s string) bool { return !aPowerCutMayDo.MatchString(s) }); i >= 0 {
		return fmt.Errorf("it says: %s", said[i])
	}
	recorded, err := judgedOn(t, left)
	if err != nil {
		return err
	}
	journal = slices.Collect(strings.Lines(string(left.Content(session.TimelineFile))))
	if !slices.Equal(journal, recorded) {
		return fmt.Errorf("opened, the timeline has %d events, and the recording gives %d", len(journal), len(recorded))
	}
	return d.lost(journal)
}

// lost says what a timeline lacks that was promised.
func (d *tracedDisk) lost(journal []string) error {
	for i, line := range d.promised {
		if i >= len(journal) || journal[i] != line {
			return fmt.Errorf("lost from the timeline: %s", line)
		}
	}
	for _, n := range d.answered {
		if n < 1 || n > int64(len(journal)) || !strings.Contains(journal[n-1], `"kind":"mark"`) {
			return fmt.Errorf("lost, and was answered as recorded: event %d", n)
		}
	}
	return nil
}

var aPowerCutMayDo = regexp.MustCompile(`^(the last \d+ bytes of the (timeline|recording) were half-written; they were cut off|the timeline was longer: )`)

// ownFingerprint is that of the program that ran: this test's own file.
var ownFingerprint = sync.OnceValue(session.Fingerprint)

// openAndEnd opens a session, as the same program would, and ends it at once.
func openAndEnd(t *testing.T, in files.Folder) (said []string, err error) {
	t.Helper()
	sh, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	live, err := session.Open(t.Context(), session.Options{
		SheetName: "starter", SheetText: sheet.Starter(), Build: "test", Taps: []event.TapName{{Name: "main", Kind: "bus", Protocol: protocolOf(sh, "main")}},
		Clock: port.Clock, Wall: time.Now, Every: 1, Segment: unit.Second, Judge: ownFingerprint,
		OpenFolder: func(string) (files.Folder, error) { return in, nil },
	})
	if err != nil {
		return nil, fmt.Errorf("open: %w", err)
	}
	said = live.Notices
	live.Subscribe(session.Subscriber{Trouble: func(err error) { said = append(said, err.Error()) }})
	ctx, stop := context.WithCancel(t.Context())
	stop()
	return said, live.Run(ctx)
}

// judgedOn are the lines that a recording gives, which must be whole but for its tail.
func judgedOn(t *testing.T, in files.Folder) (lines []string, err error) {
	t.Helper()
	s, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	e := engine.New(s, func(e *event.Event, wall int64) {
		line, err := timeline.Line(nil, e, wall)
		require.NoError(t, err)
		lines = append(lines, string(line))
	})
	r, err := recording.OpenSegments(in)
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	require.NoError(t, err)
	defer func() { require.NoError(t, r.Close()) }()
	var input event.Input
	for err == nil {
		err = e.StepFrom(r, &input)
	}
	if damages := r.Damages(); len(damages) > 0 {
		return nil, fmt.Errorf("the recording is damaged: %v", damages)
	}
	if !errors.Is(err, io.EOF) && !(errors.Is(err, recording.ErrNotRecording) && len(lines) == 0) {
		return nil, err
	}
	return lines, nil
}

// runsTraced has the built program record under strace, be killed, resume and end, and
// gives its calls, a run each.
func runsTraced(t *testing.T) (folder string, runs [][]systemCall) {
	t.Helper()
	home, err := os.MkdirTemp("", "cut") // short: a socket lies in it
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, os.RemoveAll(home)) })
	r := &diskRig{bench: restlessBench, folder: session.Folder(filepath.Join(home, "s")), segment: "700ms", trace: filepath.Join(home, "trace")}
	for run := range 2 {
		r.start(t)
		for enough := false; !enough; {
			r.until(t, 1)
			closed, packed := segmentsOf(t, string(r.folder))
			enough = closed >= 3 && packed >= run // a segment is packed each ten seconds
		}
		if run == 0 {
			require.NoError(t, r.cmd.Process.Kill())
			_ = r.cmd.Wait()
		} else {
			r.end(t)
			require.Equal(t, 130, r.cmd.ProcessState.ExitCode(), r.talk.String())
		}
		runs = append(runs, asTheyTookEffect(readTrace(t, r.trace, r.cmd.Process.Pid)))
	}
	r.requireMarks(t)
	return string(r.folder), runs
}

// segmentsOf are how many segments are closed, and how many of these packed.
func segmentsOf(t *testing.T, folder string) (closed, packed int) {
	t.Helper()
	list, err := recording.Segments(filestest.Folder(t, folder))
	require.NoError(t, err)
	for i := range list {
		if list[i].Packed {
			packed++
		}
	}
	return len(list) - 1, packed
}

// played plays the runs on a disk in memory; behind each call that changes something
// changed is asked whether to go on.
func played(t *testing.T, folder string, runs [][]systemCall, lies func(filestest.Call) bool, changed func(*tracedDisk) bool) *tracedDisk {
	t.Helper()
	d := newTracedDisk(t, folder)
	d.disk.Lies = lies
	for _, calls := range runs {
		for i := range calls {
			if d.do(&calls[i]) && !changed(d) {
				return d
			}
		}
		d.ended()
	}
	return d
}

// cutsOf cuts the power imagesOfCuts times among so many calls; found is told what was
// found wrong, and says whether to go on.
func cutsOf(t *testing.T, calls int, found func(call int, err error) bool) (changed func(*tracedDisk) bool) {
	luck := rand.New(rand.NewPCG(1, 16))
	var at []int
	for range imagesOfCuts {
		at = append(at, 1+luck.IntN(calls))
	}
	slices.Sort(at)
	n := 0
	return func(d *tracedDisk) bool {
		for n++; len(at) > 0 && at[0] == n; at = at[1:] {
			if !found(n, d.check(t, d.cut(luck))) {
				return false
			}
		}
		return true
	}
}

// What the built program asked of the kernel, on a disk in memory that loses what was not
// synced: whenever the power is cut, the recording has what the timeline has, and what was
// answered as recorded is there. A sync that is left out of the same calls is found.
func TestPowerCutsOfARealRun(t *testing.T) {
	folder, runs := runsTraced(t)
	calls := 0
	whole := played(t, folder, runs, nil, func(*tracedDisk) bool { calls++; return true })
	for _, entry := range entries(t, folder) {
		text, err := os.ReadFile(filepath.Join(folder, entry))
		require.NoError(t, err)
		require.True(t, bytes.Equal(text, whole.disk.Content(entry)), "%s: what the trace gives is what lies there", entry)
	}
	played(t, folder, runs, nil, cutsOf(t, calls, func(call int, err error) bool {
		return assert.NoError(t, err, "behind call %d of %d", call, calls)
	}))
	t.Logf("%d images among %d calls, %d events promised, %d marks answered as recorded", imagesOfCuts, calls, len(whole.promised), len(whole.answered))
	assert.Greater(t, len(whole.promised), 20)
	assert.Greater(t, len(whole.answered), 10)

	requireKernelImages(t, folder, runs, calls)

	for name, lies := range map[string]func(filestest.Call) bool{
		"of the recording": func(c filestest.Call) bool { return c.Op == "sync" && c.Name == session.RecordingFile },
		"of the folder":    func(c filestest.Call) bool { return c.Op == "sync folder" },
	} {
		var harm error
		played(t, folder, runs, lies, cutsOf(t, calls, func(_ int, err error) bool {
			harm = err
			return err == nil
		}))
		t.Logf("without the sync %s: %v", name, harm)
		assert.Error(t, harm, "the sync %s is missed", name)
	}
}

// entries are the plain files in a folder.
func entries(t *testing.T, folder string) (names []string) {
	t.Helper()
	list, err := os.ReadDir(folder)
	require.NoError(t, err)
	for _, e := range list {
		if e.Type().IsRegular() {
			names = append(names, e.Name())
		}
	}
	return names
}
