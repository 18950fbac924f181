//go:build outside && linux

package monitor_test

import (
	"context"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// realHour is a soakHour that the built program hears over a pseudo-terminal.
type realHour struct {
	*soakHour
	t       *testing.T
	program string
	folder  session.Folder
	ports   *world.PTYs
	cmd     *exec.Cmd
	talk    syncBuffer // what the program says on stderr
	address string     // of its HTTP
	pairs   []pair     // what came of each character
	stopped bool       // the program stands still
	over    chan struct{}
}

// pair is a character of the script: whether the port took it, and when it was read.
type pair struct {
	char  byte
	taken bool
	read  bool
	date  unit.Time
}

// syncBuffer is written by one goroutine and read by another.
type syncBuffer struct {
	mu   sync.Mutex
	text strings.Builder
}

func (b *syncBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.text.Write(p)
}

func (b *syncBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.text.String()
}

// buildProgram builds it into a folder of the test.
func buildProgram(t *testing.T) string {
	program := filepath.Join(t.TempDir(), "benchproof")
	out, err := exec.Command("go", "build", "-o", program, "../cmd/benchproof").CombinedOutput()
	require.NoError(t, err, string(out))
	return program
}

// watch starts the program and returns once it has the port open.
func (h *realHour) watch() {
	t := h.t
	dir := sockettest.Folder(t)
	h.folder = session.Folder(filepath.Join(dir, "s"))
	sheetFile := filepath.Join(dir, "sheet.yaml")
	require.NoError(t, os.WriteFile(sheetFile, sheettest.TwoSwitches(), 0o600))
	h.cmd = exec.Command(h.program, "watch", "--sheet", sheetFile, "--bus", h.ports.Paths()[0], "--session", string(h.folder), "--listen", "127.0.0.1:0")
	h.cmd.Stderr = &h.talk
	require.NoError(t, h.cmd.Start())
	t.Cleanup(func() {
		if h.cmd.ProcessState == nil {
			_ = h.cmd.Process.Kill()
			_ = h.cmd.Wait()
		}
	})
	shownAt := regexp.MustCompile(`http://(127\.0\.0\.1:\d+)/`)
	require.Eventually(t, func() bool {
		if found := shownAt.FindStringSubmatch(h.talk.String()); found != nil {
			h.address = found[1]
		}
		return h.address != "" && h.state().Taps[0].Up
	}, 30*time.Second, 50*time.Millisecond, h.talk.String())
}

// state is what the program answers to GET /api/state.
func (h *realHour) state() (now state.State) {
	require.NoError(h.t, json.Unmarshal(h.get("/api/state"), &now))
	return now
}

func (h *realHour) get(path string) []byte {
	got, err := http.Get("http://" + h.address + path)
	require.NoError(h.t, err)
	defer func() { _ = got.Body.Close() }()
	text, err := io.ReadAll(got.Body)
	require.NoError(h.t, err)
	require.Equal(h.t, http.StatusOK, got.StatusCode, path)
	return text
}

// hearReal has the program hear the script, and keeps what came of each character. The last
// answer of the program about itself is its state.
func (h *realHour) hearReal(seed uint64) (*world.Sim, *listened, state.State) {
	t := h.t
	sim := world.New(&h.script.Plan, seed)
	sim.KeepTruth = true
	l := &listened{spoiled: map[int]bool{}, since: []plugged{{}}}
	end := world.SinkFunc(func(d world.Delivery) error { return h.deliver(&d, l) })
	ctx, stop := context.WithCancel(t.Context())
	var bench sync.WaitGroup
	bench.Go(func() { _ = world.Play(ctx, sim, []world.Sink{end}, world.RealTime{}) })
	select {
	case <-h.over:
	case <-t.Context().Done():
	}
	now := h.state()
	require.NoError(t, h.cmd.Process.Signal(os.Interrupt))
	_ = h.cmd.Wait()
	stop()
	bench.Wait()
	require.Equal(t, 130, h.cmd.ProcessState.ExitCode(), h.talk.String())
	return sim, l, now
}

// deliver hands over to the port what the script has, and makes the program stand still.
func (h *realHour) deliver(d *world.Delivery, l *listened) error {
	switch {
	case !h.stopped && h.stalled(d.At):
		h.stopped = true
		_ = h.cmd.Process.Signal(syscall.SIGSTOP)
	case h.stopped && d.At >= int64(h.stall[1]):
		h.stopped = false
		_ = h.cmd.Process.Signal(syscall.SIGCONT)
	case d.At >= int64(h.length) && h.over != nil:
		close(h.over)
		h.over = nil
	}
	if d.Kind != world.Data {
		l.since = append(l.since, plugged{d.At, int64(len(l.at))})
		return h.ports.Ends()[0].Deliver(*d)
	}
	first := 0
	if h.hit(d) {
		for d.Data[first] != 0x4F {
			first++
		}
		l.spoiled[len(l.at)+first] = true
	}
	before := h.ports.Taken()[0]
	err := h.ports.Ends()[0].Deliver(*d)
	taken := int(h.ports.Taken()[0] - before)
	for i, b := range d.Data {
		l.at = append(l.at, d.At)
		h.pairs = append(h.pairs, pair{char: b, taken: i < taken})
	}
	return err
}

// heard is a stretch of what the recording has, between two moves of the plug.
type heard struct {
	chars []byte
	dates []unit.Time
}

// watched is a source that shows each input to somebody as it passes.
type watched struct {
	engine.Source
	see func(*event.Input)
}

func (w watched) Next(in *event.Input) error {
	err := w.Source.Next(in)
	if err == nil {
		w.see(in)
	}
	return err
}

// replayed judges the recording again, and gives what is in it.
func (h *realHour) replayed() (now state.State, spans []heard) {
	t := h.t
	s, err := h.folder.ReadSheet()
	require.NoError(t, err)
	r, err := session.OpenReplay(h.folder, s, func(*event.Event, int64) {})
	require.NoError(t, err)
	require.NoError(t, engine.Run(watched{r.Source, func(in *event.Input) {
		switch in.Kind {
		case event.InputTapUp:
			spans = append(spans, heard{})
		case event.InputBytes:
			last := &spans[len(spans)-1]
			for _, b := range in.Data {
				last.chars, last.dates = append(last.chars, b), append(last.dates, in.At)
			}
		}
	}}, r.Engine, nil))
	now = *r.Engine.State()
	require.Empty(t, r.Close())
	return now, spans
}

// lateBy is from when on a character counts as read late: a little less than what may be taken for a
// silence.
const lateBy = 80 * unit.Millisecond

// match says of each character when it was read. What is in the recording is what the port took, to
// the byte; what it took last before it went away, or the program ended, may be lacking.
func (h *realHour) match(l *listened, spans []heard) {
	t := h.t
	require.Len(t, spans, (len(l.since)+1)/2, "it opened the port as often as that was plugged in")
	promptest := unit.Duration(1 << 62)
	for k, span := range spans {
		from, to := int(l.since[2*k].chars), len(h.pairs)
		if 2*k+1 < len(l.since) {
			to = int(l.since[2*k+1].chars)
		}
		n := 0
		for i := from; i < to && n < len(span.chars); i++ {
			p := &h.pairs[i]
			if !p.taken {
				continue
			}
			require.Equal(t, p.char, span.chars[n], "stretch %d, character %d", k, n)
			p.read, p.date = true, span.dates[n]
			promptest = min(promptest, unit.Duration(p.date)-unit.Duration(l.at[i]))
			n++
		}
		require.Equal(t, len(span.chars), n, "the recording has no more than the port took")
		lacking := 0
		for i := from; i < to; i++ {
			if h.pairs[i].taken && !h.pairs[i].read {
				lacking++
			}
		}
		assert.Less(t, lacking, 2*servobus.FrameLen*int(int64(time.Second)/h.script.Receivers[0].Period), "two seconds of characters")
		t.Logf("stretch %d: %d characters sent, %d read, %d taken and not read", k, to-from, n, lacking)
	}
	h.mark(l, promptest)
}

// mark says of each character whether it was read late: due before a read that came too late for what
// it brought first.
func (h *realHour) mark(l *listened, promptest unit.Duration) {
	before, until := unit.Time(0), unit.Time(0)
	for i := range h.pairs {
		p, due := &h.pairs[i], unit.Time(0).Add(promptest+unit.Duration(l.at[i]))
		if !p.read {
			l.late, l.spoiled[i] = append(l.late, false), true
			continue
		}
		if p.date.Sub(before) > lateBy && p.date.Sub(due) > lateBy {
			until = p.date
		}
		l.late = append(l.late, due < until)
		before = p.date
	}
}

// hiccups are how often the computer read late because it had something else to do, and how many
// frames; the script's own stall is none. prompt is as if it had not.
func (h *realHour) hiccups(frames []heardFrame, l *listened) (late, runs int64, prompt *listened) {
	was := false
	for i := range frames {
		f := &frames[i]
		is := f.late && !h.stalled(f.At)
		if is {
			late++
		}
		if is && !was {
			runs++
		}
		was = is
	}
	p := *l
	p.late = slices.Clone(l.late)
	for i := range p.late {
		p.late[i] = p.late[i] && h.stalled(l.at[i])
	}
	return late, runs, &p
}

// unsure is in how many outages the computer read late.
func (h *realHour) unsure(outages []span, frames []heardFrame) (n int64) {
	for _, o := range outages {
		if slices.ContainsFunc(frames, func(f heardFrame) bool { return f.late && f.At >= o.from && f.At <= o.to+int64(time.Second) }) {
			n++
		}
	}
	return n
}

func (h *realHour) stalled(at int64) bool { return at >= int64(h.stall[0]) && at < int64(h.stall[1]) }

// soakLength is how long the script is: a minute, or what the environment says.
func soakLength(t *testing.T) (length, fault time.Duration) {
	text := os.Getenv("BENCHPROOF_SOAK")
	if text == "" {
		return time.Minute, 6 * time.Second
	}
	length, err := time.ParseDuration(text)
	require.NoError(t, err)
	return length, min(mostFault, length/10)
}

// The accounts that the built program gives: in its record, and by its command, which are to be one; and
// the last that it gave while it ran, which may lack what came after it.
func (h *realHour) account(running *state.Account) *state.Account {
	t := h.t
	var rec record.Record
	text, err := os.ReadFile(h.folder.Path(record.RecordFile))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &rec))
	said, err := exec.Command(h.program, "soak", "--json", string(h.folder)).Output()
	require.NoError(t, err)
	var soak state.Account
	require.NoError(t, json.Unmarshal(said, &soak))
	require.Equal(t, rec.Account, &soak)

	was, is := running.Taps[0], soak.Taps[0]
	assert.Less(t, soak.UntilNS.Sub(running.UntilNS), 5*unit.Second)
	assert.LessOrEqual(t, was.Frames, is.Frames)
	assert.LessOrEqual(t, was.Missed, is.Missed)
	for _, x := range [][2]any{
		{was.DamageRuns, is.DamageRuns}, {was.Spikes, is.Spikes}, {was.Unplugs, is.Unplugs}, {was.Failsafes, is.Failsafes},
		{was.Causes, is.Causes}, {was.Latest, is.Latest}, {was.Occasions, is.Occasions},
	} {
		assert.Equal(t, x[1], x[0], "as it ran, and at the end")
	}
	return &soak
}

// An hour with ten faults in real time: what the built program tells of it, over HTTP, in its
// record and by its command, is what the script did, to the frame. A minute each time; `make long`
// takes the hour.
func TestTheAccountOfARealHourWithFaults(t *testing.T) {
	length, fault := soakLength(t)
	const seed = 1
	h := &realHour{soakHour: unwrittenHour(t, seed, length), t: t, program: buildProgram(t), over: make(chan struct{})}
	h.real, h.after = true, time.Minute
	h.write(t, fault)
	var err error
	h.ports, err = world.OpenPTYs(1)
	require.NoError(t, err)
	defer func() { assert.NoError(t, h.ports.Close()) }()
	h.watch()
	sim, l, running := h.hearReal(seed)
	judged, spans := h.replayed()
	h.match(l, spans)

	frames := h.frames(sim, l)
	whole := int64(0)
	for i := range frames {
		if frames[i].whole {
			whole++
		}
	}
	assert.Equal(t, whole, judged.Taps[0].Frames, "frames that came whole")
	late, runs, prompt := h.hiccups(frames, l)
	a := h.account(running.Account)
	assert.Equal(t, a, judged.Account, "and a replay")
	without, with := h.counted(sim, l), h.counted(sim, prompt)
	without.unsure = h.unsure(without.spans, frames)
	h.requireAccount(t, without, with, runs, a)
	t.Logf("%d frames sent, %d came whole; %d read late in %d hiccups of this computer", len(frames), whole, late, runs)
	t.Logf("the script counted %d to %d live frames, %d to %d missed; the account has %d and %d",
		without.Frames, with.Frames, without.Missed, with.Missed, a.Taps[0].Frames, a.Taps[0].Missed)
	if t.Failed() {
		t.Log(h.text[len(model):], h.talk.String())
	}
}
