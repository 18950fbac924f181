package draft_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/protocols"
	"benchproof.example/monitor/api"
	"benchproof.example/monitor/draft"
	"benchproof.example/monitor/draft/dialogue"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
)

// inMemory keeps a draft and its sheet.
type inMemory struct{ draft, sheet []byte }

func (s *inMemory) Load() ([]byte, error) {
	if s.draft == nil {
		return nil, fs.ErrNotExist
	}
	return s.draft, nil
}

func (s *inMemory) Keep(text []byte) error {
	s.draft = text
	return nil
}

func (s *inMemory) Write(sheet []byte) (string, error) {
	s.sheet, s.draft = sheet, nil
	return "drafted.yaml", nil
}

func (s *inMemory) Written() (string, []byte, error) { return "", nil, fs.ErrNotExist }

// served is a draft over HTTP, as a page has it.
type served struct {
	t     testing.TB
	store *inMemory
	url   string
	draft *dialogue.Dialogue
	stop  func()
}

const pageToken = "0123456789abcdef"

// serveDraft serves what a store has of a draft, until stop is called: as a daemon that is killed.
func serveDraft(t testing.TB, store *inMemory) *served {
	p, _ := protocols.Find("")
	d, err := dialogue.Open(dialogue.Options{Protocol: p, Taps: []event.TapName{{Name: "main", Kind: "bus"}, {Name: "leads", Kind: "pulses"}},
		Store: store, Commands: func(file string) []string { return []string{"benchproof sheet verify " + file} }})
	require.NoError(t, err)
	put := func(event.InputKind, []byte) (int64, bool) {
		t.Error("a draft puts nothing into the session")
		return 0, false
	}
	server, err := api.New(api.Options{State: func() state.State { return state.State{} }, Draft: d, Token: pageToken, Put: put})
	require.NoError(t, err)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		_ = server.Serve(ctx, l)
	}()
	over := make(chan struct{})
	go func() {
		defer close(over)
		d.Run(ctx)
	}()
	s := &served{t: t, store: store, url: "http://" + l.Addr().String(), draft: d}
	s.stop = func() {
		cancel()
		<-ended
		<-over
	}
	return s
}

// now is what a page gets.
func (s *served) now() (m dialogue.Moment) {
	text, code := s.ask(http.MethodGet, "/api/draft", nil)
	require.Equal(s.t, http.StatusOK, code, text)
	require.NoError(s.t, json.Unmarshal([]byte(text), &m))
	return m
}

func (s *served) ask(method, path string, body any) (text string, code int) {
	sent, err := json.Marshal(body)
	require.NoError(s.t, err)
	request, err := http.NewRequestWithContext(s.t.Context(), method, s.url+path, bytes.NewReader(sent))
	require.NoError(s.t, err)
	request.Header.Set("Authorization", "Bearer "+pageToken)
	request.Header.Set("Content-Type", "application/json")
	answer, err := http.DefaultClient.Do(request)
	require.NoError(s.t, err)
	defer func() { _ = answer.Body.Close() }()
	got, err := io.ReadAll(answer.Body)
	require.NoError(s.t, err)
	return string(got), answer.StatusCode
}

// does a step, as a button of the page does.
func (s *served) does(step dialogue.Step) {
	text, code := s.ask(http.MethodPost, "/api/draft", step)
	require.Equal(s.t, http.StatusOK, code, text)
}

// types is a line of the terminal, as a page does it.
func (s *served) types(line string) {
	step := dialogue.Step{Do: dialogue.Answer, Text: line, Question: s.now().Question.ID}
	switch line {
	case "s":
		step.Do, step.Text = dialogue.Skip, ""
	case "r":
		step.Do, step.Text = dialogue.Repeat, ""
	case "b":
		step.Do, step.Text = dialogue.Back, ""
	}
	s.does(step)
}

// alike wants both to ask the same.
func (s *served) alike(q *draft.Question, b *bench) {
	asked := s.now().Question
	require.NotNil(s.t, asked)
	require.Equal(s.t, q, asked, b.tail())
}

// Careless hands answer over HTTP what a conversation beside asks too, which hears the same and is told the same: both
// make the same sheet, byte for byte, also where the daemon is killed in the middle and the tap falls silent.
func TestADraftOverHTTPIsTheSame(t *testing.T) {
	defer http.DefaultClient.CloseIdleConnections()
	for i, m := range tenModels()[:3] {
		t.Run(m.name, func(t *testing.T) {
			b := newSilentBench(t, m, uint64(100+i), 40)
			s := serveDraft(t, &inMemory{})
			defer func() { s.stop() }()
			s.does(dialogue.Step{Do: dialogue.Begin})
			b.inputs = func(in *event.Input) { s.draft.Heard(in) }
			b.typed = func(line string) { s.types(line) }
			b.before = func(q *draft.Question) { s.alike(q, b) }
			b.begins()

			b.talksUntil("elevator:forward")
			if i == 0 {
				b.do("mute main for 3s")
				b.run(4e9)
			}
			s.alike(b.talk.Asks(), b)
			s.stop() // killed
			p, _ := protocols.Find("")
			var err error
			b.talk, err = draft.Resume(p, s.store.draft)
			require.NoError(t, err)
			s = serveDraft(t, s.store)
			b.resumes(p)
			assert.Equal(t, dialogue.Kept, s.now().State)
			s.does(dialogue.Step{Do: dialogue.Begin})

			b.talks()
			now := s.now()
			require.Equal(t, dialogue.Done, now.State, fmt.Sprint(now))
			want, err := b.talk.Sheet()
			require.NoError(t, err)
			assert.Equal(t, string(want), string(s.store.sheet))
			text, code := s.ask(http.MethodGet, "/api/draft/sheet", nil)
			assert.Equal(t, http.StatusOK, code)
			assert.Equal(t, string(want), text)
			assert.Equal(t, []string{"benchproof sheet verify drafted.yaml"}, now.Commands)
			b.equalsTruth(t)
		})
	}
}

// Where nothing was found there is no sheet: that is said, and one can go back.
func TestADraftOverHTTPThatMakesNoSheet(t *testing.T) {
	defer http.DefaultClient.CloseIdleConnections()
	b := newSilentBench(t, tenModels()[0], 7, 0)
	s := serveDraft(t, &inMemory{})
	defer s.stop()
	s.does(dialogue.Step{Do: dialogue.Begin})
	b.inputs = func(in *event.Input) { s.draft.Heard(in) }
	b.typed = func(line string) { s.types(line) }
	b.begins()
	for b.talk.Asks() != nil {
		s.alike(b.talk.Asks(), b)
		if b.talk.Asks().NoSkip {
			b.follows(b.talk.Asks(), false)
			continue
		}
		b.types("s")
	}
	now := s.now()
	assert.Equal(t, dialogue.Lacking, now.State)
	assert.Contains(t, now.Trouble, "no channel was found yet")
	assert.Nil(t, s.store.sheet)
	text, code := s.ask(http.MethodGet, "/api/draft/sheet", nil)
	assert.Equal(t, http.StatusNotFound, code, text)
	text, code = s.ask(http.MethodPost, "/api/draft", dialogue.Step{Do: dialogue.Skip})
	assert.Equal(t, http.StatusConflict, code)
	assert.Contains(t, text, "all was asked: go back, or end it")
	s.does(dialogue.Step{Do: dialogue.Back})
	now = s.now()
	assert.Equal(t, dialogue.Asking, now.State)
	assert.Empty(t, now.Trouble)
	s.does(dialogue.Step{Do: dialogue.End})
	assert.Equal(t, dialogue.Kept, s.now().State)
}
