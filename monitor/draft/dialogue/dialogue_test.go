package dialogue_test

import (
	"context"
	"errors"
	"io/fs"
	"sync"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"benchproof.example/decode/protocols"
	"benchproof.example/monitor/draft/dialogue"
	"benchproof.example/monitor/event"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

var errDisk = errors.New("no space left on device")

// disk is a store of which tests say what it does.
type disk struct {
	mu      sync.Mutex
	kept    []byte
	refuses error
	hangs   chan struct{} // nil, or keeping lasts until it is closed
}

func (d *disk) Load() ([]byte, error) {
	if d.kept == nil {
		return nil, fs.ErrNotExist
	}
	return d.kept, nil
}

func (d *disk) Keep(text []byte) error {
	if d.hangs != nil {
		<-d.hangs
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.refuses == nil {
		d.kept = text
	}
	return d.refuses
}

func (d *disk) Write([]byte) (string, error) { return "drafted.yaml", d.refuses }

func (d *disk) Written() (string, []byte, error) { return "", nil, fs.ErrNotExist }

// running is a dialogue that runs until the test ends.
type running struct {
	*dialogue.Dialogue
	t    testing.TB
	stop context.CancelFunc
}

func options(store dialogue.Store) dialogue.Options {
	p, _ := protocols.Find("")
	return dialogue.Options{Protocol: p, Taps: []event.TapName{{Name: "main", Kind: "bus"}}, Store: store,
		Commands: func(file string) []string { return []string{"watch " + file} }}
}

func run(t testing.TB, store dialogue.Store) *running {
	d, err := dialogue.Open(options(store))
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	var over sync.WaitGroup
	over.Go(func() { d.Run(ctx) })
	t.Cleanup(func() {
		stop()
		over.Wait()
	})
	return &running{d, t, func() { stop(); over.Wait() }}
}

// does takes steps: an answer, or what is to be done behind a slash.
func (r *running) does(steps ...string) (m dialogue.Moment) {
	r.t.Helper()
	for _, text := range steps {
		step := dialogue.Step{Do: dialogue.Answer, Text: text}
		if text != "" && text[0] == '/' {
			step = dialogue.Step{Do: text[1:]}
		}
		var err error
		m, err = r.Do(context.Background(), step)
		require.NoError(r.t, err, text)
	}
	return m
}

// refused wants a step refused.
func (r *running) refused(step dialogue.Step, why string) {
	r.t.Helper()
	_, err := r.Do(context.Background(), step)
	require.ErrorContains(r.t, err, why)
}

func latest(m *dialogue.Moment) string { return m.News[len(m.News)-1].Text }

func TestADraftFromItsBeginToItsEnd(t *testing.T) {
	store := &disk{}
	r := run(t, store)
	m := r.Look()
	assert.Equal(t, dialogue.Idle, m.State)
	assert.Nil(t, m.Question)
	for _, do := range []string{dialogue.Answer, dialogue.Skip, dialogue.Back, dialogue.Repeat, dialogue.End} {
		r.refused(dialogue.Step{Do: do}, "no draft is under way")
	}
	m = r.does("/begin", "no")
	assert.Equal(t, "cautions", m.Question.ID)
	assert.Contains(t, latest(&m), "Type yes once all of it holds")
	r.refused(dialogue.Step{Do: dialogue.Begin}, "one at a time")
	m = r.does("yes", "Reedwing", "/repeat", "/skip", "/back", "plain")
	assert.Equal(t, "motor", m.Question.ID)
	assert.Equal(t, 3, m.Done, "cautions, name and what it steers with")
	assert.Greater(t, m.Known, m.Done)
	assert.False(t, m.Wire)
	m = r.does("yes", "14", "", "", "")
	assert.Equal(t, "rest", m.Question.ID)
	assert.True(t, m.Wire)
	require.Len(t, m.Found, 1)
	assert.Equal(t, "teach is channel 14", m.Found[0].Text)
	m = r.does("/end")
	assert.Equal(t, dialogue.Kept, m.State)
	assert.Nil(t, m.Question)
	r.refused(dialogue.Step{Do: dialogue.Skip}, "no draft is under way")
	m = r.does("/begin", "yes")
	assert.Equal(t, "rest", m.Question.ID, "it goes on")
	r.does("/end")
	m, err := r.Do(t.Context(), dialogue.Step{Do: dialogue.Begin, Text: dialogue.Anew})
	require.NoError(t, err)
	assert.Equal(t, 0, m.Done)
	m = r.does("/end")
	assert.Equal(t, dialogue.Kept, m.State, "nothing new was answered")
	r.stop()

	again := run(t, store)
	assert.Equal(t, dialogue.Kept, again.Look().State)
	m = again.does("/begin", "yes")
	assert.Equal(t, "rest", m.Question.ID)
}

// A step for a question that does not stand any more is not taken for the next one; of two who answer at once one is.
func TestTwoPhones(t *testing.T) {
	r := run(t, &disk{})
	r.does("/begin", "yes")
	answers := make(chan error, 2)
	for range 2 {
		go func() {
			_, err := r.Do(context.Background(), dialogue.Step{Do: dialogue.Answer, Text: "Reedwing", Question: "model"})
			answers <- err
		}()
	}
	one, other := <-answers, <-answers
	if one != nil {
		one, other = other, one
	}
	require.NoError(t, one)
	require.ErrorContains(t, other, `the question "model" does not stand any more`)
	assert.Equal(t, "wing", r.Look().Question.ID)
	for _, do := range []string{dialogue.Skip, dialogue.Back, dialogue.Repeat} {
		r.refused(dialogue.Step{Do: do, Question: "model"}, "does not stand any more")
	}
	m, err := r.Do(t.Context(), dialogue.Step{Do: dialogue.Repeat, Question: "wing"})
	require.NoError(t, err)
	assert.Equal(t, "wing", m.Question.ID)
}

func TestADiskThatRefuses(t *testing.T) {
	store := &disk{refuses: errDisk}
	r := run(t, store)
	m := r.does("/begin", "yes", "Reedwing")
	assert.Equal(t, "what was answered can't be kept: no space left on device", m.Trouble)
	store.mu.Lock()
	store.refuses = nil
	store.mu.Unlock()
	m = r.does("plain")
	assert.Empty(t, m.Trouble)
	assert.NotNil(t, store.kept)
}

// A disk that hangs holds up an answer for three seconds, and nobody who looks or is heard.
func TestADiskThatHangs(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		store := &disk{hangs: make(chan struct{})}
		r := run(t, store)
		r.does("/begin", "yes")
		answered := make(chan dialogue.Moment)
		go func() { answered <- r.does("Reedwing") }()
		synctest.Wait()
		assert.Equal(t, "wing", r.Look().Question.ID)
		r.Heard(&event.Input{Tap: 1, Kind: event.InputBytes, Data: []byte{1}})
		m := <-answered
		assert.Equal(t, "wing", m.Question.ID)
		r.stop()
		close(store.hangs)
	})
}

func TestWhatCantBeGoneOnWith(t *testing.T) {
	d, err := dialogue.Open(options(&disk{kept: []byte(`{"format":9}`)}))
	require.ErrorContains(t, err, "got format 9, want 1")
	assert.Equal(t, dialogue.Idle, d.Look().State)
	m, err := d.Do(t.Context(), dialogue.Step{Do: dialogue.Begin})
	require.NoError(t, err)
	assert.Equal(t, "cautions", m.Question.ID)
}

// Whoever waits for a change is woken by it, and by nothing else.
func TestChanges(t *testing.T) {
	r := run(t, &disk{})
	changed := r.Changed()
	before := r.Look().Version
	r.Heard(&event.Input{Tap: 1, Kind: event.InputBytes, Data: []byte{1}})
	select {
	case <-changed:
		t.Fatal("nothing changed")
	default:
	}
	r.does("/begin")
	<-changed
	assert.Greater(t, r.Look().Version, before)
	assert.Nil(t, r.Sheet())
	assert.Zero(t, r.Frames())
	assert.False(t, r.Answered())
}
