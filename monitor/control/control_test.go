package control_test

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/control"
	"benchproof.example/monitor/event"
)

// daemon is a server over inputs that are only kept.
type daemon struct {
	*control.Server
	inputs chan string
	ended  chan error
	stop   context.CancelFunc
}

// shortDir is a folder whose path leaves room for a socket on every system.
func shortDir(t testing.TB) string {
	dir, err := os.MkdirTemp("", "bp")
	require.NoError(t, err)
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	return dir
}

func serve(t testing.TB, folder string) *daemon {
	d := &daemon{inputs: make(chan string, 10_000), ended: make(chan error, 1)}
	d.Server = &control.Server{
		Folder: folder,
		Put:    func(kind event.InputKind, data []byte) { d.inputs <- kind.String() + " " + string(data) },
		Check: func(kind event.InputKind, data []byte) error {
			if kind == event.InputReopen && string(data) != "failsafe" {
				return fmt.Errorf("got %q, want failsafe", data)
			}
			return nil
		},
	}
	var ctx context.Context
	ctx, d.stop = context.WithCancel(context.Background())
	go func() { d.ended <- d.Serve(ctx) }()
	t.Cleanup(func() { d.stop(); assert.NoError(t, <-d.ended) })
	require.Eventually(t, func() bool {
		c, err := control.Dial(folder)
		if err == nil {
			_ = c.Close()
		}
		return err == nil
	}, 10*time.Second, time.Millisecond)
	return d
}

func dial(t testing.TB, folder string) *control.Conn {
	c, err := control.Dial(folder)
	require.NoError(t, err)
	t.Cleanup(func() { _ = c.Close() })
	return c
}

// raw is a connection that speaks lines of its own.
func raw(t testing.TB, folder string) (net.Conn, *bufio.Reader) {
	c, err := net.Dial("unix", filepath.Join(folder, control.Name))
	require.NoError(t, err)
	t.Cleanup(func() { _ = c.Close() })
	require.NoError(t, c.SetDeadline(time.Now().Add(20*time.Second)))
	return c, bufio.NewReader(c)
}

func TestRequests(t *testing.T) {
	folder := shortDir(t)
	d := serve(t, folder)
	for _, c := range []struct{ request, answer, input string }{
		{`{"do":"mark","text":"I changed something"}`, `{"ok":true}`, "mark I changed something"},
		{`{"do":"reopen","what":"failsafe"}`, `{"ok":true}`, "reopen failsafe"},
		{`{"do":"drill","step":{"drill":"mode","do":"begin"}}`, `{"ok":true}`, `drill-step {"drill":"mode","do":"begin"}`},
		{`{"do":"drill","step":{"drill":"mode","do":"done","prompt":"a/b"}}`, `{"ok":true}`, `drill-step {"drill":"mode","do":"done","prompt":"a/b"}`},
		{`{"do":"follow"}`, `{"ok":true}`, ""},
		{`{"do":"reopen","what":"gain"}`, `{"error":"got \"gain\", want failsafe"}`, ""},
		{`{"do":"mark","text":" "}`, `{"error":"the mark says nothing: give it a text"}`, ""},
		{`{"do":"mark","text":"a\nb"}`, `line breaks`, ""},
		{`{"do":"mark","text":"` + strings.Repeat("é", 501) + `"}`, `got 501 characters, want at most 500`, ""},
		{`{"do":"mark","text":"` + strings.Repeat("é", 500) + `"}`, `{"ok":true}`, "mark " + strings.Repeat("é", 500)},
		{`{"do":"drill"}`, `without a step`, ""},
		{`{"do":"fly"}`, `{"error":"got \"fly\" to do, want drill, mark, reopen or follow"}`, ""},
		{`{"do":"` + strings.Repeat("x", 999) + `"}`, strings.Repeat("x", 40) + "...", ""},
		{`hello`, `the request is not readable`, ""},
		{``, `the request is not readable`, ""},
	} {
		conn, lines := raw(t, folder)
		_, err := io.WriteString(conn, c.request+"\n")
		require.NoError(t, err)
		line, err := lines.ReadString('\n')
		require.NoError(t, err, c.request)
		assert.Contains(t, line, c.answer, c.request)
		if c.input != "" {
			assert.Equal(t, c.input, <-d.inputs)
		}
		assert.Empty(t, d.inputs, c.request)
		require.NoError(t, conn.Close())
	}
}

func TestALineTooLongIsRefused(t *testing.T) {
	folder := shortDir(t)
	d := serve(t, folder)
	conn, lines := raw(t, folder)
	go func() { _, _ = conn.Write(bytes.Repeat([]byte("x"), 4096)) }()
	line, err := lines.ReadString('\n')
	require.NoError(t, err)
	assert.Contains(t, line, "more than 4096 bytes")
	_, err = lines.ReadByte()
	require.Error(t, err, "it is cut off")
	assert.Empty(t, d.inputs)
}

func TestWhoFollowsHearsAllThatComesAfter(t *testing.T) {
	folder := shortDir(t)
	d := serve(t, folder)
	c := dial(t, folder)
	d.Publish([]byte(`{"seq":1}` + "\n"))
	require.NoError(t, c.Send(control.Request{Do: control.DoDrill, Step: &event.DrillStep{Drill: "mode", Do: event.StepBegin}}))
	<-d.inputs
	for i := 2; i < 900; i++ {
		d.Publish(fmt.Appendf(nil, `{"seq":%d}`+"\n", i))
	}
	m, err := c.Next()
	require.NoError(t, err)
	assert.True(t, m.Answer, "the answer comes before what it causes")
	for i := 2; i < 900; i++ {
		m, err := c.Next()
		require.NoError(t, err)
		require.Equal(t, fmt.Sprintf(`{"seq":%d}`, i), string(m.Line))
	}
	refused, err := c.Ask(control.Request{Do: "fly"})
	require.NoError(t, err)
	assert.Contains(t, refused, "want drill, mark, reopen or follow")
}

func TestWhoDoesNotFollowHearsNothing(t *testing.T) {
	folder := shortDir(t)
	d := serve(t, folder)
	c := dial(t, folder)
	for range 2 {
		require.NoError(t, c.Send(control.Request{Do: control.DoMark, Text: "here"}))
		<-d.inputs
		d.Publish([]byte(`{"seq":1}` + "\n"))
		m, err := c.Next()
		require.NoError(t, err)
		assert.True(t, m.Answer)
	}
}

// A client that never reads holds up neither the daemon nor the others.
func TestAClientThatNeverReadsIsCutOff(t *testing.T) {
	folder := shortDir(t)
	d := serve(t, folder)
	conn, _ := raw(t, folder)
	_, err := io.WriteString(conn, `{"do":"drill","step":{}}`+"\n")
	require.NoError(t, err)
	<-d.inputs
	line := append(bytes.Repeat([]byte("x"), 10_000), '\n')
	begun := time.Now()
	for range 3000 {
		d.Publish(line)
	}
	assert.Less(t, time.Since(begun), 3*time.Second)
	refused, err := dial(t, folder).Ask(control.Request{Do: control.DoMark, Text: "still there"})
	require.NoError(t, err)
	assert.Empty(t, refused)
	assert.Equal(t, "mark still there", <-d.inputs)
	n, err := io.Copy(io.Discard, conn)
	assert.Less(t, n, int64(3000*len(line)))
	assert.False(t, errors.Is(err, os.ErrDeadlineExceeded), "the connection is closed")
}

func TestNoMoreThanEightAtATime(t *testing.T) {
	folder := shortDir(t)
	serve(t, folder)
	var first *control.Conn
	require.Eventually(t, func() bool { // the one that looked whether it serves may still be leaving
		first = dial(t, folder)
		refused, err := first.Ask(control.Request{Do: control.DoFollow})
		return err == nil && refused == ""
	}, 10*time.Second, time.Millisecond)
	for range 7 {
		require.Eventually(t, func() bool {
			c := dial(t, folder)
			refused, err := c.Ask(control.Request{Do: control.DoFollow})
			return err == nil && refused == ""
		}, 10*time.Second, time.Millisecond)
	}
	refused, err := dial(t, folder).Ask(control.Request{Do: control.DoFollow})
	require.NoError(t, err)
	assert.Contains(t, refused, "8 others are connected")
	require.NoError(t, first.Close())
	require.Eventually(t, func() bool {
		refused, err := dial(t, folder).Ask(control.Request{Do: control.DoFollow})
		return err == nil && refused == ""
	}, 10*time.Second, time.Millisecond, "one that leaves makes room")
}

func TestTheSocketIsTheOwnersAndGoesWithTheDaemon(t *testing.T) {
	folder := shortDir(t)
	d := serve(t, folder)
	path := filepath.Join(folder, control.Name)
	info, err := os.Stat(path)
	require.NoError(t, err)
	if runtime.GOOS != "windows" { // which has no such modes
		assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	}
	c := dial(t, folder)
	d.stop()
	require.NoError(t, <-d.ended)
	d.ended <- nil // for the cleanup
	_, err = c.Next()
	require.ErrorIs(t, err, control.ErrEnded)
	_, err = os.Stat(path)
	require.ErrorIs(t, err, os.ErrNotExist)
	_, err = control.Dial(folder)
	require.ErrorIs(t, err, control.ErrNobody)
}

// abandon leaves a socket as a killed daemon does.
func abandon(t testing.TB, folder string) {
	require.NoError(t, os.MkdirAll(folder, 0o700))
	l, err := net.Listen("unix", filepath.Join(folder, control.Name))
	require.NoError(t, err)
	l.(*net.UnixListener).SetUnlinkOnClose(false)
	require.NoError(t, l.Close())
}

func TestASocketLeftBehindIsReplaced(t *testing.T) {
	folder := shortDir(t)
	abandon(t, folder)
	_, err := control.Dial(folder)
	require.ErrorIs(t, err, control.ErrNobody)
	serve(t, folder)
}

func TestWhatCannotBeServed(t *testing.T) {
	folder := shortDir(t)
	serve(t, folder)
	err := (&control.Server{Folder: folder}).Serve(t.Context())
	require.ErrorContains(t, err, "another benchproof answers")

	long := filepath.Join(folder, strings.Repeat("x", 100))
	err = (&control.Server{Folder: long}).Serve(t.Context())
	require.ErrorContains(t, err, "too long")
	_, err = control.Dial(long)
	require.ErrorContains(t, err, "want at most 103")

	other := shortDir(t)
	require.NoError(t, os.WriteFile(filepath.Join(other, control.Name), []byte("mine"), 0o600))
	err = (&control.Server{Folder: other}).Serve(t.Context())
	require.ErrorContains(t, err, "is no socket")
	text, err := os.ReadFile(filepath.Join(other, control.Name))
	require.NoError(t, err)
	assert.Equal(t, "mine", string(text))
}

func TestFindTakesTheOneThatAnswersAndDoesNotChoose(t *testing.T) {
	below := shortDir(t)
	_, err := control.Find(below)
	require.ErrorIs(t, err, control.ErrNobody)
	require.ErrorContains(t, err, "start one with benchproof watch")

	at := func(parts ...string) string {
		folder := filepath.Join(append([]string{below}, parts...)...)
		require.NoError(t, os.MkdirAll(folder, 0o700))
		return folder
	}
	old, next := at("b", "2026-01-01-100000"), at("a", "2026-01-02-100000")
	serve(t, old)
	abandon(t, at("c", "2026-01-03-100000"))
	c, err := control.Find(below)
	require.NoError(t, err)
	defer func() { _ = c.Close() }()
	assert.Equal(t, old, c.Folder)
	refused, err := c.Ask(control.Request{Do: control.DoMark, Text: "found"})
	require.NoError(t, err)
	assert.Empty(t, refused)

	serve(t, next)
	_, err = control.Find(below)
	require.ErrorIs(t, err, control.ErrSeveral)
	require.ErrorContains(t, err, fmt.Sprintf("more than one session is running: %s, %s; name the one that is meant, with --session %s", next, old, next))
}

func TestARequestTooLongIsNotSent(t *testing.T) {
	folder := shortDir(t)
	serve(t, folder)
	err := dial(t, folder).Send(control.Request{Do: control.DoReopen, What: strings.Repeat("x", 5000)})
	require.ErrorContains(t, err, "want less than 4096")
}

// Whatever a client sends, it gets a line for each of its lines, and the daemon
// takes nothing that it did not ask for.
func FuzzRequest(f *testing.F) {
	for _, seed := range []string{`{"do":"mark","text":"x"}`, `{"do":"drill","step":{"drill":"mode","do":"begin"}}`,
		`{"do":"follow"}`, `{}`, `[]`, `null`, `{"do":1}`, "\xff", "{", ""} {
		f.Add([]byte(seed))
	}
	folder := shortDir(f)
	d := serve(f, folder)
	f.Fuzz(func(t *testing.T, request []byte) {
		if len(request) > 4000 || bytes.ContainsAny(request, "\r\n") {
			return
		}
		conn, lines := raw(t, folder)
		defer func() { _ = conn.Close() }()
		_, err := conn.Write(append(bytes.Clone(request), '\n'))
		require.NoError(t, err)
		line, err := lines.ReadString('\n')
		require.NoError(t, err)
		if strings.HasPrefix(line, `{"error":"`) {
			require.Empty(t, d.inputs)
			return
		}
		require.Equal(t, `{"ok":true}`+"\n", line)
		var r control.Request
		require.NoError(t, json.Unmarshal(request, &r))
		if r.Do != control.DoFollow {
			require.NotEmpty(t, <-d.inputs)
		}
	})
}
