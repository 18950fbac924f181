package main

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api/client"
	sessionsocket "benchproof.example/monitor/api/socket"
	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet/sheettest"
)

// killedAt runs a command as a process of its own, types and kills it once it says a text.
func killedAt(t *testing.T, text, types string, args ...string) {
	cmd := exec.CommandContext(t.Context(), os.Args[0], args...)
	cmd.Env = append(os.Environ(), asProgram+"=1")
	keys, err := cmd.StdinPipe() // stays open: nobody has left the keyboard
	require.NoError(t, err)
	said, err := cmd.StderrPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	_, err = io.WriteString(keys, types)
	require.NoError(t, err)
	late := time.AfterFunc(30*time.Second, func() { _ = cmd.Process.Kill() })
	defer late.Stop()
	var all bytes.Buffer
	for from := bufio.NewReader(said); !strings.Contains(all.String(), text); {
		b, err := from.ReadByte()
		require.NoError(t, err, all.String())
		all.WriteByte(b)
	}
	require.NoError(t, cmd.Process.Kill())
	require.ErrorContains(t, cmd.Wait(), "killed")
}

// A client that is killed leaves its drill standing; others can't begin one meanwhile,
// are told how to go on with it, and one does.
func TestADrillWhoseClientIsKilledIsTakenOver(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	folder := filepath.Join("sessions", "m", "2026-01-01-000000")
	end := sitDown(t, folder, io.Discard)
	waitFor(t, folder)
	killedAt(t, "Type yes", "", "drill", "neutral") // at its cautions
	killedAt(t, "[2 of 4]", "yes\n\n", "drill", "neutral", "--take-over")
	code, _, talk := callIn(t.Context(), strings.NewReader("yes\n"), "drill", "order")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "the drill neutral is under way")
	assert.Contains(t, talk, "; to go on with it here: benchproof drill neutral --take-over")
	code, _, talk = callIn(t.Context(), strings.NewReader(""), "drill", "order", "--take-over")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "no drill order is under way that could be taken over: begin it with benchproof drill order")
	code, _, talk = callIn(t.Context(), strings.NewReader(""), "drill", "--take-over")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "which drill is to be taken over?")

	code, out, talk := callIn(t.Context(), strings.NewReader("\n\n\n"), "drill", "neutral", "--take-over")
	require.Equal(t, exitDone, code, talk)
	assert.Contains(t, talk, "Drill neutral, 4 prompts, is taken over. All of this must be so, now as before:\n\n  - ")
	assert.Contains(t, talk, "[2 of 4]")
	assert.NotContains(t, talk, "[1 of 4]")
	assert.NotContains(t, talk, "Type yes")
	assert.Contains(t, out, "drill neutral finished")
	end()
	journal, err := os.ReadFile(filepath.Join(folder, "timeline.jsonl"))
	require.NoError(t, err)
	assert.Contains(t, string(journal), `"kind":"drill.ended","about":"drill:neutral","data":{"how":"finished"`)
}

// Whoever else follows a drill hears the same; what is refused to one is none of the other's.
func TestTwoClientsAtOnce(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	folder := filepath.Join("sessions", "m", "2026-01-01-000000")
	end := sitDown(t, folder, io.Discard)
	waitFor(t, folder)
	s, err := session.Folder(folder).ReadSheet()
	require.NoError(t, err)
	plan, ok := drill.Find(drill.Plans(s), "neutral")
	require.True(t, ok)
	type ran struct {
		err error
		out string
		*person
	}
	run := func(takesOver bool, say [][2]string, seen func(string)) <-chan ran {
		done := make(chan ran, 1)
		c, err := client.Dial(folder)
		require.NoError(t, err)
		in, keys := io.Pipe()
		p := &person{keys: keys, say: say}
		out := &bytes.Buffer{}
		e := &drillDialogue{
			name: "neutral", plan: plan, sheet: s, claims: claim.NewIndex(s), daemon: c, takesOver: takesOver,
			out: out, talk: &watched{to: p, seen: seen},
		}
		go func() {
			err := e.run(t.Context(), in)
			_ = keys.Close()
			p.typing.Wait()
			c.Close()
			done <- ran{err, out.String(), p}
		}()
		return done
	}
	asked, prompted := make(chan struct{}), make(chan struct{})
	var once, twice sync.Once
	first := run(false, nil, func(text string) {
		if strings.Contains(text, "Type yes") {
			once.Do(func() { close(asked) })
		}
		if strings.Contains(text, "[1 of 4]") {
			twice.Do(func() { close(prompted) })
		}
	})
	<-asked
	code, _, talk := callIn(t.Context(), strings.NewReader("yes\n"), "drill", "neutral")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "the drill neutral is under way")
	second := run(true, [][2]string{{"Type yes", "yes\n"}, {"[1 of 4]", "\n"}, {"[2 of 4]", "\n"}, {"[3 of 4]", "\n"}, {"[4 of 4]", "\n"}}, func(string) {})
	<-prompted
	for who, of := range []<-chan ran{first, second} {
		r := <-of
		require.NoError(t, r.err, r.String())
		assert.Contains(t, r.String(), "[4 of 4]", who)
		assert.NotContains(t, r.String(), "under way", who)
		assert.Contains(t, r.out, "drill neutral finished", who)
	}
	end()
}

// watched is a writer that shows what it passed on so far.
type watched struct {
	to   *person
	seen func(text string)
}

func (w *watched) Write(b []byte) (int, error) {
	n, err := w.to.Write(b)
	w.seen(w.to.String())
	return n, err
}

// The first to answer is taken; the other's step is refused to it alone.
func TestAStepThatComesTooLateIsRefusedToItsSender(t *testing.T) {
	late := eventOf(event.DrillRefused, event.ReasonData{Why: "the prompt is mode/b/front now"})
	folder, _ := startActor(t, map[string][]event.Event{"begin": {cautions}, "confirm": {prompt(1)}, "done mode/a/back": {late}})
	c, err := client.Dial(folder)
	require.NoError(t, err)
	defer c.Close()
	for _, do := range []string{event.StepBegin, event.StepConfirm} {
		_, err = c.Drill(t.Context(), &event.DrillStep{Drill: "mode", Do: do})
		require.NoError(t, err)
	}
	_, err = c.Drill(t.Context(), &event.DrillStep{Drill: "mode", Do: event.StepDone, Prompt: "mode/a/back"})
	var refused *client.Refused
	require.ErrorAs(t, err, &refused)
	assert.Equal(t, client.Refused{Sentence: "the prompt is mode/b/front now", Code: 409, Seq: 3}, *refused)
}

// A folder that can't hold a socket gets a sentence, and the session goes on.
func TestASessionGoesOnWithoutItsSocket(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	folder := filepath.Join("sessions", strings.Repeat("m", 100), "2026-01-01-000000")
	var talk lockedBuffer
	end := sitDown(t, folder, &talk)
	require.Eventually(t, func() bool { return strings.Contains(talk.String(), "the path of the control socket is too long") }, 20*time.Second, time.Millisecond)
	require.Eventually(t, func() bool {
		journal, err := os.ReadFile(filepath.Join(folder, "timeline.jsonl"))
		return err == nil && strings.Contains(string(journal), `"mode.asked"`)
	}, 20*time.Second, time.Millisecond)
	code, _, said := callIn(t.Context(), nil, "mark", "x", "--session", folder)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, said, "drills and marks need a session folder with a shorter path")
	end()
	journal, err := os.ReadFile(filepath.Join(folder, "timeline.jsonl"))
	require.NoError(t, err)
	assert.Contains(t, string(journal), `"kind":"session.ended"`)
}

// A daemon that hangs does not hold up who gives up waiting for it.
func TestADaemonThatHangsCanBeLeft(t *testing.T) {
	folder := sockettest.Folder(t)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "sheet.yaml"), sheettest.TwoSwitches(), 0o600))
	at, err := sessionsocket.Listen(folder) // connects, and that is all
	require.NoError(t, err)
	defer func() { _ = at.Close() }()
	for _, args := range [][]string{{"drill", "mode"}, {"drill", "mode", "--take-over"}, {"mark", "x"}, {"reopen", "failsafe"}} {
		ctx, stop := context.WithTimeout(t.Context(), 100*time.Millisecond)
		begun := time.Now()
		code, _, talk := callIn(ctx, strings.NewReader("yes\n"), append(args, "--session", folder)...)
		stop()
		assert.Equal(t, exitInterrupted, code, "%v: %s", args, talk)
		assert.Less(t, time.Since(begun), 2*time.Second)
	}
}

// lockedBuffer may be read while it is written to.
type lockedBuffer struct {
	mu  sync.Mutex
	all bytes.Buffer
}

func (b *lockedBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.all.Write(p)
}

func (b *lockedBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.all.String()
}
