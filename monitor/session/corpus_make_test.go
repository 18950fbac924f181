//go:build corpus

package session_test

import (
	"context"
	"encoding/json"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/operator"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
)

// making is a member of the corpus as it is made.
type making struct {
	*member

	t      *testing.T
	folder string
	seed   uint64
	judge  string
	live   *session.Live
	orders chan string // to the simulated bench
}

// TestMakeCorpus makes the members that the corpus lacks. One that is there is frozen:
// it stays as it is, whatever this build would make of it.
func TestMakeCorpus(t *testing.T) {
	home, err := filepath.Abs(corpusFolder)
	require.NoError(t, err)
	for i := range corpus {
		m := &corpus[i]
		t.Run(m.name, func(t *testing.T) {
			folder := filepath.Join(home, m.name)
			if _, err := os.Stat(folder); err == nil {
				t.Skip("it is frozen")
			}
			t.Chdir(t.TempDir()) // so that no path of this computer is recorded
			mk := &making{member: m, t: t, folder: m.name, seed: uint64(i + 1), judge: strings.Repeat("c0", 16)}
			if m.sheet == "" {
				mk.killed(filepath.Dir(filepath.Dir(home)))
			} else {
				synctest.Test(t, func(t *testing.T) { mk.t = t; mk.simulated(time.Duration(9800+i) * 24 * time.Hour) })
			}
			for _, left := range []string{"lock", "control"} { // of a program that runs, or was killed
				require.NoError(t, os.RemoveAll(filepath.Join(mk.folder, left)))
			}
			require.NoError(t, os.CopyFS(folder, os.DirFS(mk.folder)))
		})
	}
}

// simulated makes the member by the bubble's clock, so long after it began.
func (m *making) simulated(after time.Duration) {
	pass(m.t.Context(), after)
	if m.make != nil {
		m.make(m)
		return
	}
	require.NoError(m.t, m.sit())
}

// sit hears a whole sitting.
func (m *making) sit(beside ...func(context.Context)) error {
	return m.hear(m.sitting(), beside...)
}

func (m *making) script() *script.Script {
	s, err := script.ParseDriven(m.name, []byte(m.bench+m.steps))
	require.NoError(m.t, err)
	return s
}

func (m *making) sitting() *sitting {
	s := newSitting(m.folder)
	s.opt.SheetName, s.opt.SheetText, s.opt.Build = "sheet.yaml", []byte(m.sheet), "benchproof (made for the corpus)"
	s.opt.Judge = func() string { return m.judge }
	if s.opt.Every = m.every; m.every == 0 {
		s.opt.Every = 1000
	}
	s.opt.Segment, s.opt.NewIdentity = m.segment, func() string { return strings.Repeat("5e", 16) }
	if m.segment > 0 {
		s.opt.Kept = 4
	}
	for _, tap := range m.script().Taps() {
		s.opt.Taps = append(s.opt.Taps, event.TapName{Name: tap.Name, Kind: tap.Kind})
	}
	return s
}

// hear runs the session until the sitting has lasted long enough, or its drills are over.
func (m *making) hear(s *sitting, beside ...func(context.Context)) error {
	var err error
	m.live, err = s.open()
	require.NoError(m.t, err)
	ctx, stop := context.WithTimeout(m.t.Context(), m.lasts)
	defer stop()
	m.orders = make(chan string)
	beside = append(beside, m.plays, m.speaks)
	if len(m.drills) > 0 {
		beside = append(beside, func(ctx context.Context) {
			m.drilled(ctx, s)
			assert.NoError(m.t, ctx.Err(), "the drills take longer than %v", m.lasts)
			stop()
		})
	}
	return m.live.Run(ctx, beside...)
}

func (m *making) plays(ctx context.Context) {
	scripted := m.script()
	for i := range scripted.TapNames() {
		m.live.Seq.Put(uint8(i+1), event.InputTapUp, []byte(`{"port":"simulated"}`))
	}
	err := script.PlayOrders(ctx, script.Drive(scripted, m.seed), puts(m.live.Seq, scripted), world.RealTime{}, m.orders)
	assert.ErrorIs(m.t, err, ctx.Err())
}

func (m *making) speaks(ctx context.Context) {
	began := time.Now()
	for _, x := range m.says {
		if !pass(ctx, x.at-time.Since(began)) {
			return
		}
		m.live.Seq.Put(event.BenchTap, x.kind, []byte(x.text))
	}
}

// pass lets time of the bubble pass.
func pass(ctx context.Context, d time.Duration) bool {
	select {
	case <-ctx.Done():
		return false
	case <-time.After(d):
		return true
	}
}

// drilled goes through the drills, after the steps.
func (m *making) drilled(ctx context.Context, s *sitting) {
	var last time.Duration
	for line := range strings.Lines(m.steps) {
		at, err := time.ParseDuration(strings.Fields(line)[0])
		require.NoError(m.t, err)
		last = at
	}
	sh, err := sheet.Read("sheet.yaml", []byte(m.sheet))
	require.NoError(m.t, err)
	h := &operator.Operator{Sheet: sh, Rand: rand.New(rand.NewPCG(m.seed, 5)), ConfirmsTilts: true, Bus: m.script().TapNames()[0], Home: m.home}
	pass(ctx, last+2500*time.Millisecond)
	for _, name := range m.drills {
		plan, ok := drill.Find(drill.Plans(sh), name)
		require.True(m.t, ok, name)
		m.follow(ctx, s, h, plan)
		pass(ctx, 1500*time.Millisecond)
	}
}

func (m *making) step(s event.DrillStep) {
	data, err := json.Marshal(s)
	require.NoError(m.t, err)
	m.live.Seq.Put(event.BenchTap, event.InputDrillStep, data)
}

// follow goes through one drill, by its prompts as they come.
func (m *making) follow(ctx context.Context, s *sitting, h *operator.Operator, plan *drill.Plan) {
	from := len(s.kinds())
	m.step(event.DrillStep{Drill: plan.Name, Do: event.StepBegin, By: "Ann", Attended: true})
	pass(ctx, time.Second)
	m.step(event.DrillStep{Drill: plan.Name, Do: event.StepConfirm})
	done := ""
	for pass(ctx, 50*time.Millisecond) {
		prompt, over := s.stands(from)
		if over {
			return
		}
		if m.until != "" && strings.HasPrefix(prompt, m.until) {
			m.step(event.DrillStep{Drill: plan.Name, Do: event.StepAbandon})
			return
		}
		if prompt == "" || prompt == done {
			continue
		}
		for _, step := range h.Follow(prompt) {
			m.take(ctx, plan.Name, prompt, step)
		}
		done = prompt
		m.enters(ctx, s, from, plan, prompt)
	}
}

// enters answers a prompt that the wire alone does not answer.
func (m *making) enters(ctx context.Context, s *sitting, from int, plan *drill.Plan, prompt string) {
	i := slices.IndexFunc(plan.Prompts, func(p drill.Prompt) bool { return p.ID == prompt })
	if await := &plan.Prompts[i].Until; await.After > 0 || await.Loss != "" {
		return
	}
	for range 4 {
		pass(ctx, 1700*time.Millisecond)
		if now, over := s.stands(from); over || now != prompt {
			return
		}
		m.step(event.DrillStep{Drill: plan.Name, Do: event.StepDone, Prompt: prompt})
	}
}

func (m *making) take(ctx context.Context, name, prompt string, step operator.Step) {
	if !pass(ctx, step.Wait) {
		return
	}
	if step.Do != "" {
		select {
		case <-ctx.Done():
		case m.orders <- step.Do:
		}
	}
	if step.Enter {
		m.step(event.DrillStep{Drill: name, Do: event.StepDone, Prompt: prompt, Words: step.Words})
	}
}

// stands is the prompt that stands, of what was shown from an event on, and whether the
// drill is over.
func (s *sitting) stands(from int) (prompt string, over bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, x := range s.shown[from:] {
		switch d := x.Event.Data.(type) {
		case event.DrillPromptedData:
			prompt = d.Prompt
		case event.DrillEndedData:
			over = true
		}
	}
	return prompt, over
}

func twoBuses(text string) string {
	return strings.Replace(busOnly(text), "\n\n# Two points", "\n  rear: {kind: bus, carries: heard}\n\n# Two points", 1)
}

// killed has the built program, with a clock of its own, run a demo, and kills it.
func (m *making) killed(root string) {
	binary, err := filepath.Abs("benchproof")
	require.NoError(m.t, err)
	build := exec.CommandContext(m.t.Context(), "go", "build", "-o", binary, "./cmd/benchproof")
	build.Dir = root
	out, err := build.CombinedOutput()
	require.NoError(m.t, err, string(out))
	text := reedwingBench + slow + reedwingPresets + reedwingRound + "10s end\n"
	require.NoError(m.t, os.WriteFile("killed.script", []byte(text), 0o600))
	cmd := exec.CommandContext(m.t.Context(), binary, "demo", "--script", "killed.script", "--session", m.folder)
	cmd.Env = append(os.Environ(), "TMPDIR=.")
	require.NoError(m.t, cmd.Start())
	wait(m.t, 6500*time.Millisecond)
	require.NoError(m.t, cmd.Process.Kill())
	require.ErrorContains(m.t, cmd.Wait(), "killed")
}

// resumed sits three times; the second time is cut off in its middle.
func (m *making) resumed() {
	require.NoError(m.t, m.sit())
	pass(m.t.Context(), 24*time.Hour)
	require.NoError(m.t, m.sit())
	// As a kill leaves it: no end, and nothing that the end brought about.
	f := session.Folder(m.folder)
	cut(m.t, f.Path(session.RecordingFile), 2000)
	lines := linesOf(m.t, f.Path(session.TimelineFile))
	for !strings.Contains(lines[len(lines)-1], `"session.ended"`) {
		lines = lines[:len(lines)-1]
	}
	require.NoError(m.t, os.WriteFile(f.Path(session.TimelineFile), []byte(strings.Join(lines[:len(lines)-1], "")), 0o644))
	pass(m.t.Context(), 24*time.Hour)
	m.lasts = 4 * time.Second
	require.NoError(m.t, m.sit())
}

func cut(t *testing.T, path string, bytes int64) {
	info, err := os.Stat(path)
	require.NoError(t, err)
	require.NoError(t, os.Truncate(path, info.Size()-bytes))
}

// torn is as a power cut leaves it: the journal never has more than its causes.
func (m *making) torn() {
	require.NoError(m.t, m.sit())
	f := session.Folder(m.folder)
	cut(m.t, f.Path(session.RecordingFile), 37)
	cut(m.t, f.Path(session.TimelineFile), 837)
	cut(m.t, f.Path(session.CheckpointsFile), 37)
}

// twice sits twice, a day apart.
func (m *making) twice() {
	require.NoError(m.t, m.sit())
	pass(m.t.Context(), 24*time.Hour)
	require.NoError(m.t, m.sit())
}

// gap has the disk full for a while.
func (m *making) gap() {
	s := m.sitting()
	d := withBadDisk(s)
	require.NoError(m.t, m.hear(s, at(4*time.Second, func() { d.set(101, nil) }), at(9*time.Second, func() { d.set(-1, nil) })))
}

// judgedAgain is resumed by another judge, who finds five events that the first one had
// not.
func (m *making) judgedAgain() {
	require.NoError(m.t, m.sit())
	f := session.Folder(m.folder)
	lines := linesOf(m.t, f.Path(session.TimelineFile))
	require.NoError(m.t, os.WriteFile(f.Path(session.TimelineFile), []byte(strings.Join(numbered(m.t, slices.Delete(lines, 4, 9)), "")), 0o644))
	pass(m.t.Context(), time.Hour)
	m.judge = strings.Repeat("d1", 16)
	require.NoError(m.t, m.sit())
	require.FileExists(m.t, f.Path(session.JudgedAgain(m.judge)))
}

// firstCheckpoints brings the checkpoints into their first form.
func (m *making) firstCheckpoints() {
	require.NoError(m.t, m.sit())
	path := session.Folder(m.folder).Path(session.CheckpointsFile)
	var out []byte
	for _, line := range linesOf(m.t, path) {
		object, err := crclog.Check([]byte(strings.TrimSuffix(line, "\n")))
		require.NoError(m.t, err)
		var members map[string]json.RawMessage
		require.NoError(m.t, json.Unmarshal(object, &members))
		members["bench"] = members["state"]
		for _, later := range []string{"session", "judge", "state"} {
			delete(members, later)
		}
		object, err = json.Marshal(members)
		require.NoError(m.t, err)
		out = crclog.Append(out, object)
	}
	require.NoError(m.t, os.WriteFile(path, out, fs.FileMode(0o644)))
}
