package client_test

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api"
	"benchproof.example/monitor/api/client"
	"benchproof.example/monitor/api/socket"
	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/timeline"
)

// daemon is a real server on a real socket; each input causes the event that it should,
// numbered as the input.
type daemon struct {
	*api.Server
	folder string
	took   chan string
	causes bool // else nothing is known of what came of an input
	stop   func()

	mu     sync.Mutex
	inputs int64
	shown  sync.WaitGroup
}

func serve(t testing.TB, folder string) *daemon {
	d := &daemon{folder: folder, took: make(chan string, 1000), causes: true}
	var err error
	d.Server, err = api.New(api.Options{
		State: func() state.State { return state.State{Drill: "gain"} }, Put: d.put,
		Check: func(_ event.InputKind, data []byte) error {
			if string(data) == "moon" {
				return fmt.Errorf("got %q, want failsafe", data)
			}
			return nil
		},
	})
	require.NoError(t, err)
	at, err := socket.Listen(folder)
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- d.ServeOwner(ctx, at) }()
	d.stop = sync.OnceFunc(func() { cancel(); assert.NoError(t, <-ended); d.shown.Wait() })
	t.Cleanup(d.stop)
	return d
}

func (d *daemon) put(kind event.InputKind, data []byte) (int64, bool) {
	if string(data) == "late" {
		return 0, false
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.inputs++
	n := d.inputs
	d.took <- kind.String() + " " + string(data)
	if d.causes {
		d.shown.Go(func() { d.cause(n, kind, string(data)) })
	}
	return n, true
}

func (d *daemon) cause(n int64, kind event.InputKind, data string) {
	e := event.Event{Seq: n, Kind: kind.String(), About: "session"}
	switch {
	case strings.Contains(data, "dance"):
		e.Kind, e.Data = event.DrillRefused, event.ReasonData{Why: "no such drill"}
	case kind == event.InputDrillStep:
		e.Kind = event.DrillBegan
	case kind == event.InputReopen:
		e.Kind = event.Reopened
	}
	d.show(&e)
	d.Caused(n, &e)
	d.AllCaused(n, true)
}

func (d *daemon) show(e *event.Event) {
	line, _ := timeline.Line(nil, e, 0)
	d.Publish(e.Seq, line)
}

func dial(t testing.TB, folder string) *client.Client {
	c, err := client.Dial(folder)
	require.NoError(t, err)
	t.Cleanup(c.Close)
	return c
}

func TestChangesCarryTheNumberOfTheirEvent(t *testing.T) {
	d := serve(t, sockettest.Folder(t))
	c := dial(t, d.folder)
	got, err := c.Mark(t.Context(), "left aileron up")
	require.NoError(t, err)
	assert.Equal(t, int64(1), got.Seq)
	assert.Equal(t, "mark left aileron up", <-d.took)
	got, err = c.Reopen(t.Context(), "failsafe")
	require.NoError(t, err)
	assert.Equal(t, int64(2), got.Seq)
	assert.Equal(t, "reopen failsafe", <-d.took)
	got, err = c.Drill(t.Context(), &event.DrillStep{Drill: "mode", Do: event.StepBegin, By: "Ann", Attended: true})
	require.NoError(t, err)
	assert.Equal(t, int64(3), got.Seq)
	assert.Equal(t, `drill-step {"drill":"mode","do":"begin","by":"Ann","asks":true}`, <-d.took)
	name, err := c.Drilling(t.Context())
	require.NoError(t, err)
	assert.Equal(t, "gain", name)
}

func TestRefusalsAreSentences(t *testing.T) {
	d := serve(t, sockettest.Folder(t))
	c := dial(t, d.folder)
	for text, want := range map[string]client.Refused{
		" ":                       {Sentence: "the mark says nothing: give it a text", Code: 422},
		"a\nb":                    {Sentence: "the mark has line breaks or other control characters in it, want plain text on one line", Code: 422},
		strings.Repeat("é", 501):  {Sentence: "the mark is too long: got 501 characters, want at most 500", Code: 422},
		strings.Repeat("x", 9000): {Sentence: "the body is too long, want at most 8192 bytes", Code: 413},
		"moon":                    {Sentence: `got "moon", want failsafe`, Code: 422},
		"late":                    {Sentence: "it was not taken: the session is over, or too much waits to be judged", Code: 503},
	} {
		_, err := c.Mark(t.Context(), text)
		var refused *client.Refused
		require.ErrorAs(t, err, &refused, text)
		assert.Equal(t, want, *refused)
	}
	_, err := c.Mark(t.Context(), strings.Repeat("😀", 500))
	require.NoError(t, err, "the longest text has room in a body")
	_, err = c.Drill(t.Context(), &event.DrillStep{Drill: "dance", Do: event.StepBegin})
	var refused *client.Refused
	require.ErrorAs(t, err, &refused)
	assert.Equal(t, client.Refused{Sentence: "no such drill", Code: 409, Seq: 2}, *refused)
}

// Only a mark is struck, and the refusal says so.
func TestWhatIsNoMarkIsNotStruck(t *testing.T) {
	d := serve(t, sockettest.Folder(t))
	defer d.stop()
	c, err := client.Dial(d.folder)
	require.NoError(t, err)
	defer c.Close()
	_, err = c.Strike(t.Context(), 128, "that was the other aileron")
	require.ErrorContains(t, err, "event 128 is no mark")
}

func TestWhoFollowsHearsAllThatComesAfter(t *testing.T) {
	d := serve(t, sockettest.Folder(t))
	c := dial(t, d.folder)
	d.show(&event.Event{Seq: 1, Kind: event.Mark, About: "session"})
	events, err := c.Follow(t.Context())
	require.NoError(t, err)
	defer events.Close()
	const last = 3000 // which memory holds: there is no journal here
	go func() {
		for n := int64(2); n <= last; n++ {
			d.show(&event.Event{Seq: n, Kind: event.Mark, About: "session"})
		}
	}()
	for n := int64(2); n <= last; n++ {
		line, err := events.Next()
		require.NoError(t, err)
		e, err := timeline.Parse(line)
		require.NoError(t, err)
		require.Equal(t, n, e.Seq)
	}
	lines, err := c.Timeline(t.Context(), last-3)
	require.NoError(t, err)
	require.Len(t, lines, 3)
	lines, err = c.Timeline(t.Context(), last)
	require.NoError(t, err)
	assert.Empty(t, lines)
	d.stop()
	_, err = events.Next()
	require.ErrorIs(t, err, client.ErrEnded)
	_, err = c.Mark(t.Context(), "x")
	require.ErrorIs(t, err, client.ErrEnded)
	_, err = client.Dial(d.folder)
	require.ErrorIs(t, err, client.ErrNobody)
}

// A disk that hangs holds no answer up for good, and who asks may leave.
func TestAnAnswerWaitsForItsEventAWhileOnly(t *testing.T) {
	d := serve(t, sockettest.Folder(t))
	d.causes = false
	c := dial(t, d.folder)
	begun := time.Now()
	got, err := c.Mark(t.Context(), "x")
	require.NoError(t, err)
	assert.Zero(t, got.Seq)
	assert.WithinDuration(t, begun.Add(3*time.Second), time.Now(), 2*time.Second)
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Millisecond)
	defer cancel()
	_, err = c.Mark(ctx, "y")
	require.ErrorIs(t, err, context.DeadlineExceeded)
	d.Caused(2, &event.Event{Seq: 9, Kind: event.Mark})
	d.AllCaused(2, true)
	d.AllCaused(2, true) // nobody waits any more
}

func TestFindTakesTheOneThatAnswersAndDoesNotChoose(t *testing.T) {
	below := sockettest.Folder(t)
	_, err := client.Find(below)
	require.ErrorIs(t, err, client.ErrNobody)
	require.ErrorContains(t, err, "start one with benchproof watch")
	at := func(parts ...string) string {
		folder := filepath.Join(append([]string{below}, parts...)...)
		require.NoError(t, os.MkdirAll(folder, 0o700))
		return folder
	}
	old, next, left := at("b", "2026-01-01-100000"), at("a", "2026-01-02-100000"), at("c", "2026-01-03-100000")
	serve(t, old)
	l, err := net.Listen("unix", filepath.Join(left, socket.Name)) // as a killed daemon leaves it
	require.NoError(t, err)
	l.(*net.UnixListener).SetUnlinkOnClose(false)
	require.NoError(t, l.Close())
	c, err := client.Find(below)
	require.NoError(t, err)
	defer c.Close()
	assert.Equal(t, old, c.Folder)
	_, err = c.Mark(t.Context(), "found")
	require.NoError(t, err)

	serve(t, next)
	_, err = client.Find(below)
	require.ErrorIs(t, err, client.ErrSeveral)
	require.ErrorContains(t, err, fmt.Sprintf("more than one session is running: %s, %s; name the one that is meant, with --session %s", next, old, next))
	_, err = client.Dial(filepath.Join(below, strings.Repeat("x", 100)))
	require.ErrorContains(t, err, "want at most 103")
}

// The claims are those that the server has.
func TestClaimsAreRead(t *testing.T) {
	folder := sockettest.Folder(t)
	at, err := socket.Listen(folder)
	require.NoError(t, err)
	s := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		assert.Equal(t, "/api/claims", r.URL.Path)
		_, _ = io.WriteString(w, `{"seq":3,"claims":[{"claim":"soak/stir","verdict":"open","sentence":"it lacks","drill":"stir"}]}`)
	})}
	go func() { _ = s.Serve(at) }()
	defer func() { _ = s.Close() }()
	c, err := client.Dial(folder)
	require.NoError(t, err)
	defer c.Close()
	claims, err := c.Claims(t.Context())
	require.NoError(t, err)
	assert.Equal(t, []client.Claim{{ID: "soak/stir", Verdict: "open", Sentence: "it lacks"}}, claims)
}

// What answers may be something else, or another build.
func TestWhatIsNotReadableIsSaid(t *testing.T) {
	for _, c := range []struct {
		code       int
		body, want string
	}{
		{200, "hello", "the daemon says what is not readable"}, {202, "{", "the daemon says what is not readable"},
		{404, "<html>", "it answered with 404 Not Found"}, {500, "{}", "it answered with 500 Internal Server Error"},
		{202, `{"accepted":true,"new":1}`, ""},
	} {
		folder := sockettest.Folder(t)
		at, err := socket.Listen(folder)
		require.NoError(t, err)
		s := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
			w.WriteHeader(c.code)
			_, _ = io.WriteString(w, c.body)
		})}
		ended := make(chan error, 1)
		go func() { ended <- s.Serve(at) }()
		_, err = dial(t, folder).Mark(t.Context(), "x")
		if c.want == "" {
			require.NoError(t, err)
		} else {
			require.ErrorContains(t, err, c.want)
		}
		require.NoError(t, s.Close())
		require.ErrorIs(t, <-ended, http.ErrServerClosed)
	}
}

// One who speaks lines of JSON, as clients once did, gets an answer and not a drill.
func TestTheProtocolOfOldIsNotTaken(t *testing.T) {
	d := serve(t, sockettest.Folder(t))
	conn, err := socket.Dial(t.Context(), d.folder)
	require.NoError(t, err)
	defer func() { _ = conn.Close() }()
	require.NoError(t, conn.SetDeadline(time.Now().Add(20*time.Second)))
	_, err = io.WriteString(conn, `{"do":"mark","text":"I changed something"}`+"\n")
	require.NoError(t, err)
	said, err := io.ReadAll(conn)
	require.NoError(t, err)
	assert.Contains(t, string(said), "400 Bad Request")
	assert.Empty(t, d.took)
}
