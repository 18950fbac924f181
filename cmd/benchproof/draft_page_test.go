//go:build linux || darwin

package main

import (
	"context"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/draft/dialogue"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
)

const phoneToken = "0123456789abcdef"

// draftPhone is a page with a person in front of it, who has the hands of a simulated bench do things.
type draftPhone struct {
	t     *testing.T
	url   string
	hands io.Writer
}

func (p *draftPhone) ask(method, path, body string, to any) {
	request, err := http.NewRequestWithContext(p.t.Context(), method, p.url+path, strings.NewReader(body))
	require.NoError(p.t, err)
	request.Header.Set("Authorization", "Bearer "+phoneToken)
	request.Header.Set("Content-Type", "application/json")
	answer, err := http.DefaultClient.Do(request)
	require.NoError(p.t, err)
	defer func() { _ = answer.Body.Close() }()
	text, err := io.ReadAll(answer.Body)
	require.NoError(p.t, err)
	require.Equal(p.t, http.StatusOK, answer.StatusCode, string(text))
	require.NoError(p.t, json.Unmarshal(text, to))
}

func (p *draftPhone) draft() (m dialogue.Moment) {
	p.ask(http.MethodGet, "/api/draft", "", &m)
	return m
}

func (p *draftPhone) does(step dialogue.Step) (m dialogue.Moment) {
	body, err := json.Marshal(step)
	require.NoError(p.t, err)
	p.ask(http.MethodPost, "/api/draft", string(body), &m)
	return m
}

func (p *draftPhone) moves(line string) {
	_, err := io.WriteString(p.hands, line+"\n")
	require.NoError(p.t, err)
}

// soon looks again and again, for a while at most.
func (p *draftPhone) soon(while time.Duration, holds func() bool) bool {
	look := time.NewTicker(20 * time.Millisecond)
	defer look.Stop()
	for late := time.After(while); ; {
		select {
		case <-look.C:
			if holds() {
				return true
			}
		case <-late:
			return false
		}
	}
}

// answers goes through a draft until a question stands, or it is complete: with what a test has
// for a question; else with Enter where that stands for something, or leaves it out.
func (p *draftPhone) answers(until string, how map[string]func()) dialogue.Moment {
	for range 200 {
		now := p.draft()
		if now.Question == nil || now.Question.ID == until {
			return now
		}
		switch act, ok := how[now.Question.ID]; {
		case ok:
			act()
		case now.Question.Enter != "":
			p.does(dialogue.Step{Do: dialogue.Answer, Question: now.Question.ID})
		default:
			p.does(dialogue.Step{Do: dialogue.Skip, Question: now.Question.ID})
		}
		while := time.Second
		if now.Wire {
			while = again
		}
		p.soon(while, func() bool { return p.draft().Asked != now.Asked })
	}
	p.t.Fatal("it is never over")
	return dialogue.Moment{}
}

// shownAt is said where a session is shown.
var shownAt = regexp.MustCompile(`shown at (http://[^/]+)/`)

// watchedBy runs watch with a phone that looks at it, until the phone is done.
func watchedBy(t *testing.T, hands io.Writer, look func(p *draftPhone), args ...string) string {
	ctx, enough := context.WithTimeout(t.Context(), 2*time.Minute)
	defer enough()
	said := &lockedBuffer{}
	ended := make(chan int, 1)
	go func() {
		ended <- run(ctx, append([]string{"watch", "--listen", "127.0.0.1:0", "--token-file", "token.txt"}, args...), io.Discard, said)
	}()
	p := &draftPhone{t: t, hands: hands}
	require.True(t, p.soon(time.Minute, func() bool { return shownAt.MatchString(said.String()) }), said.String())
	p.url = shownAt.FindStringSubmatch(said.String())[1]
	look(p)
	enough()
	assert.Equal(t, exitInterrupted, <-ended)
	return said.String()
}

// The first hour from a page: a session that listens, a draft that is broken off with it and goes
// on in it, with a plug that comes out meanwhile, and a sheet under which the bench is in order.
func TestADraftFromAPage(t *testing.T) {
	defer http.DefaultClient.CloseIdleConnections()
	t.Chdir(sockettest.Folder(t))
	require.NoError(t, os.WriteFile("token.txt", []byte(phoneToken), 0o600))
	ctx, stop := context.WithCancel(t.Context())
	out, played := &firstLine{line: make(chan string, 1)}, make(chan error, 1)
	atHands, hands := io.Pipe()
	go func() {
		root := newRoot(out, io.Discard)
		root.SetIn(atHands)
		root.SetArgs([]string{"simulate", "--by-hand"})
		played <- root.ExecuteContext(ctx)
	}()
	defer func() {
		stop()
		_ = hands.Close()
		assert.Error(t, <-played)
	}()
	ports := strings.Fields(<-out.line)[4:] // behind watch --sheet FILE
	args := append([]string{"--session", "kept"}, ports...)

	watchedBy(t, hands, func(p *draftPhone) {
		assert.Equal(t, dialogue.Idle, p.draft().State)
		typed := func(id, text string) func() {
			return func() { p.does(dialogue.Step{Do: dialogue.Answer, Text: text, Question: id}) }
		}
		p.does(dialogue.Step{Do: dialogue.Begin})
		now := p.answers("gain", map[string]func(){
			"cautions": typed("cautions", "yes"), "wing": typed("wing", "plain"), "motor": typed("motor", "yes"), "teach": typed("teach", "14"),
			"rest": func() {}, "mode": typed("mode", "1"), "mode-1:count": typed("mode-1:count", "4"),
			"mode-1:places": func() { p.moves("aid") },
		})
		require.NotNil(t, now.Question)
		assert.Contains(t, now.Found[0].Text, "mode is channel 7: first 1040 µs, second 1330 µs, third 1640 µs, fourth 1930 µs")
	}, args...)
	assert.FileExists(t, "kept/draft.json")
	assert.NoFileExists(t, "kept/drafted.yaml")

	var done dialogue.Moment
	watchedBy(t, hands, func(p *draftPhone) {
		assert.Equal(t, dialogue.Kept, p.draft().State)
		typed := func(id, text string) func() {
			return func() { p.does(dialogue.Step{Do: dialogue.Answer, Text: text, Question: id}) }
		}
		p.does(dialogue.Step{Do: dialogue.Begin})
		done = p.answers("", map[string]func(){
			"cautions": typed("cautions", "yes"), "gain": typed("gain", "none"), "elevator:back": func() { p.moves("elevator back") },
			"elevator:forward": func() {
				isUp := func(want bool) func() bool {
					return func() bool {
						var now struct{ Taps []state.Tap }
						p.ask(http.MethodGet, "/api/state", "", &now)
						return now.Taps[0].Up == want
					}
				}
				p.moves("unplug main")
				assert.True(t, p.soon(again, isUp(false)))
				p.moves("plug main")
				assert.True(t, p.soon(again, isUp(true)))
				p.moves("elevator forward")
			},
			"throttle:ends": func() { p.moves("throttle up") }, "throttle:cut": typed("throttle:cut", "no"), "modes:1": typed("modes:1", "course"),
		})
		require.Equal(t, dialogue.Done, done.State, done.Trouble)
		sheetOf := func() string {
			request, err := http.NewRequestWithContext(t.Context(), http.MethodGet, p.url+"/api/draft/sheet", nil)
			require.NoError(t, err)
			answer, err := http.DefaultClient.Do(request)
			require.NoError(t, err)
			defer func() { _ = answer.Body.Close() }()
			text, err := io.ReadAll(answer.Body)
			require.NoError(t, err)
			return string(text)
		}
		written, err := os.ReadFile(filepath.Join("kept", session.DraftedFile))
		require.NoError(t, err)
		assert.Equal(t, string(written), sheetOf())
	}, args...)
	assert.Equal(t, "kept/drafted.yaml", done.File)
	assert.NoFileExists(t, "kept/draft.json")
	text, err := os.ReadFile(done.File)
	require.NoError(t, err)
	s, _, err := sheet.ReadNew("my.yaml", text)
	require.NoError(t, err, string(text))
	assert.Len(t, s.Channels, 4, "elevator, throttle, the mode's switch and what starts limit learning")
	assert.NotEmpty(t, s.Outputs)
	require.NotNil(t, s.Stabiliser)
	assert.Len(t, s.Stabiliser.Modes, 1)

	require.Len(t, done.Commands, 2)
	code, said, talk := call(t, strings.Fields(done.Commands[0])[1:]...)
	assert.Equal(t, exitDone, code, said+talk)
	named := strings.NewReplacer("main=", "", "leads=", "").Replace(strings.Join(ports, " "))
	assert.Equal(t, "benchproof watch --sheet kept/drafted.yaml "+named+" --listen 127.0.0.1:0 --token-file token.txt", done.Commands[1])
	code, said, talk = call(t, "session", "verify", "kept")
	assert.Equal(t, exitDone, code, said+talk)
	lines, err := os.ReadFile("kept/timeline.jsonl")
	require.NoError(t, err)
	assert.NotRegexp(t, `"kind":"(mark|reopened|drill)`, string(lines), "a draft is nothing of the session's")
	code, _, talk = call(t, "draft", "--from", "kept", "-o", "played.yaml")
	assert.Equal(t, exitDone, code, talk)

	watchedBy(t, hands, func(p *draftPhone) { // who starts the daemon again still finds the sheet
		now := p.draft()
		assert.Equal(t, dialogue.Done, now.State)
		assert.Equal(t, done.Commands, now.Commands)
		p.does(dialogue.Step{Do: dialogue.Begin})
		assert.Equal(t, "cautions", p.draft().Question.ID)
	}, args...)
}
