package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/api/client"
	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/timeline"
)

const attackToken = "0123456789abcdef"

// attackTime is a few seconds, or two minutes with 200 seeds.
func attackTime(t *testing.T) time.Duration {
	text := os.Getenv("BENCHPROOF_SEEDS")
	if text == "" {
		return 5 * time.Second
	}
	n, err := strconv.Atoi(text)
	require.NoError(t, err)
	return max(5*time.Second, time.Duration(n)*600*time.Millisecond)
}

// attacked is a session that is heard, with two ports, and those who do it harm.
type attacked struct {
	t       *testing.T
	folder  string
	address string
	talk    lockedBuffer
	http    *http.Client

	attackers sync.WaitGroup
	counts    []atomic.Int64 // how often each did what it does
	mu        sync.Mutex
	recorded  []string // texts of marks that were answered as recorded
}

// attack does harm once; when it returns it is called again.
type attack struct {
	name string
	do   func(a *attacked, ctx context.Context, n int64)
}

var attacks = [...]attack{
	{"half-sent bodies", (*attacked).sendsHalf},
	{"wrong tokens", (*attacked).guesses},
	{"marks", (*attacked).marks},
	{"marks over the socket", (*attacked).marksAsOwner},
	{"drill steps", (*attacked).drills},
	{"reopenings", (*attacked).reopens},
	{"streams that never read", (*attacked).neverReads},
	{"streams that go away", (*attacked).goesAway},
	{"polls", (*attacked).polls},
	{"nonsense", (*attacked).talksNonsense},
}

// attackedBench is a bus whose signal and plug come and go.
func attackedBench(t *testing.T, lasts time.Duration) *script.Script {
	var text strings.Builder
	text.WriteString(simtest.Model + "receiver main preset after 300ms\n" + simtest.Presets +
		"wire main missing 0.5% damage 0.05%\nadapter main clump 16ms\n0s signal on\n")
	for at := time.Duration(0); at < lasts; at += 2 * time.Second {
		for _, step := range []struct {
			at   time.Duration
			what string
		}{{200, "inner middle"}, {500, "signal off"}, {900, "signal on"}, {1300, "unplug main"}, {1500, "plug main"}, {1800, "inner back"}} {
			fmt.Fprintf(&text, "%v %s\n", at+step.at*time.Millisecond, step.what)
		}
	}
	fmt.Fprintf(&text, "%v end\n", lasts+time.Minute)
	s, err := script.Parse("attacked", []byte(text.String()))
	require.NoError(t, err)
	return s
}

// floods writes frames and what is none at 1.3 MB/s, as a port does that is set wrongly.
// What a pseudo-terminal has no room for is lost.
func floods(ctx context.Context, t *testing.T, port world.Sink) {
	const rate, pieces = 1_300_000, 2000 // bytes a second; bytes
	var raw [servobus.FrameLen]byte
	servobus.Encode(&bus.Frame{}, raw[:])
	noise := []byte("benchproof hears what is no frame at all, and a lot of it. ")
	piece := slices.Concat(slices.Repeat(raw[:], 3), noise)
	piece = slices.Repeat(piece, pieces/len(piece))
	began, sent := time.Now(), 0
	for ctx.Err() == nil {
		assert.NoError(t, port.Deliver(world.Delivery{Kind: world.Data, Data: piece}))
		sent += len(piece)
		pause(ctx, time.Duration(sent)*time.Second/rate-time.Since(began))
	}
}

// start has a session heard while its ports misbehave; end ends it and says how long that
// took, but for making the record, which may take longer where it is said.
func (a *attacked) start(lasts time.Duration) (end func() time.Duration) {
	t := a.t
	text := strings.Replace(string(simtest.Sheet()), "\ntaps:\n", "\ntaps:\n  rear: {kind: bus, carries: heard}\n", 1)
	require.NoError(t, os.WriteFile("sheet.yaml", []byte(text), 0o600))
	require.NoError(t, os.WriteFile("token", []byte(attackToken), 0o600))
	ports, err := world.OpenPTYs(2)
	require.NoError(t, err)
	playing, stopPlaying := context.WithCancel(t.Context())
	var bench sync.WaitGroup
	bench.Go(func() {
		_ = world.Play(playing, world.New(&attackedBench(t, lasts).Plan, 1), ports.Ends()[:1], world.RealTime{})
	})
	bench.Go(func() { floods(playing, t, ports.Ends()[1]) })

	watching, stop := context.WithCancel(t.Context())
	code := make(chan int, 1)
	go func() {
		code <- run(watching, []string{"watch", "--sheet", "sheet.yaml", "--session", a.folder, "--segment", "1s", "--checkpoint-beats", "1",
			"--listen", "127.0.0.1:0", "--token-file", "token", "--bus", "main=" + ports.Paths()[0], "--bus", "rear=" + ports.Paths()[1]}, io.Discard, &a.talk)
	}()
	shownAt := regexp.MustCompile(`http://(127\.0\.0\.1:\d+)/`)
	require.Eventually(t, func() bool {
		found := shownAt.FindStringSubmatch(a.talk.String())
		if found != nil {
			a.address = found[1]
		}
		return found != nil
	}, 20*time.Second, 5*time.Millisecond)
	return func() time.Duration {
		began := time.Now()
		stop()
		var took time.Duration
		assert.Eventually(t, func() bool {
			took = time.Since(began)
			return len(code) > 0 || strings.Contains(a.talk.String(), "making the record takes a while")
		}, 20*time.Second, time.Millisecond)
		ended := <-code
		if !strings.Contains(a.talk.String(), "and is not waited for") { // a disk that hangs is said
			assert.Equal(t, exitInterrupted, ended, a.talk.String())
		}
		stopPlaying()
		bench.Wait()
		assert.NoError(t, ports.Close())
		return took
	}
}

// launch has each attack done by two at a time until ctx is done.
func (a *attacked) launch(ctx context.Context) {
	for i := range attacks {
		for range 2 {
			a.attackers.Go(func() {
				for ctx.Err() == nil {
					attacks[i].do(a, ctx, a.counts[i].Add(1))
				}
			})
		}
	}
}

// post sends a body with the token; code is 0 where nobody answered.
func (a *attacked) post(ctx context.Context, path, token, body string) (code int, answer []byte) {
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, "http://"+a.address+path, strings.NewReader(body))
	if !assert.NoError(a.t, err) {
		return 0, nil
	}
	r.Header.Set("Authorization", "Bearer "+token)
	r.Header.Set("Content-Type", "application/json")
	return a.ask(r)
}

func (a *attacked) ask(r *http.Request) (code int, answer []byte) {
	got, err := a.http.Do(r)
	if err != nil {
		return 0, nil
	}
	defer func() { _ = got.Body.Close() }()
	answer, _ = io.ReadAll(got.Body)
	return got.StatusCode, answer
}

// raw sends some bytes over a connection of its own, which stays open for a while.
func (a *attacked) raw(ctx context.Context, text string, stays time.Duration) {
	conn, err := (&net.Dialer{}).DialContext(ctx, "tcp", a.address)
	if err != nil {
		return
	}
	defer func() { _ = conn.Close() }()
	_, _ = io.WriteString(conn, text)
	pause(ctx, stays)
}

// pause waits, or until ctx is done.
func pause(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}

func (a *attacked) sendsHalf(ctx context.Context, n int64) {
	head := "POST /api/mark HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 100\r\n"
	if n%2 == 0 {
		head += "Authorization: Bearer " + attackToken + "\r\n"
	}
	for range 20 {
		a.attackers.Go(func() { a.raw(ctx, head+"\r\n{\"text\":\"", 200*time.Millisecond) })
	}
	pause(ctx, 50*time.Millisecond)
}

func (a *attacked) guesses(ctx context.Context, n int64) {
	code, _ := a.post(ctx, "/api/mark", fmt.Sprintf("wrong-wrong-wrong-%d", n), `{"text":"planted"}`)
	assert.Contains(a.t, []int{0, http.StatusUnauthorized}, code)
	pause(ctx, 5*time.Millisecond)
}

func (a *attacked) marks(ctx context.Context, n int64) {
	text := fmt.Sprintf("mark %d", n)
	code, answer := a.post(ctx, "/api/mark", attackToken, fmt.Sprintf(`{"text":%q}`, text))
	var said struct{ Recorded bool }
	if code == http.StatusAccepted && assert.NoError(a.t, json.Unmarshal(answer, &said)) && said.Recorded {
		a.wasRecorded(text)
	}
	pause(ctx, 10*time.Millisecond)
}

func (a *attacked) wasRecorded(text string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.recorded = append(a.recorded, text)
}

func (a *attacked) marksAsOwner(ctx context.Context, n int64) {
	c, err := client.Dial(a.folder)
	if err != nil {
		return
	}
	defer c.Close()
	text := fmt.Sprintf("owner's mark %d", n)
	if said, err := c.Mark(ctx, text); err == nil && said.Recorded {
		a.wasRecorded(text)
	}
	pause(ctx, 10*time.Millisecond)
}

func (a *attacked) drills(ctx context.Context, n int64) {
	do := []string{event.StepBegin, event.StepConfirm, event.StepDone, event.StepRepeat, event.StepBack, event.StepAbandon}[n%6]
	a.post(ctx, "/api/drill", attackToken, fmt.Sprintf(`{"drill":"mode","do":%q,"by":"somebody"}`, do))
	pause(ctx, 10*time.Millisecond)
}

func (a *attacked) reopens(ctx context.Context, n int64) {
	a.post(ctx, "/api/reopen", attackToken, fmt.Sprintf(`{"what":%q}`, []string{"inner", "failsafe", "everything", "moon"}[n%4]))
	pause(ctx, 20*time.Millisecond)
}

func (a *attacked) neverReads(ctx context.Context, _ int64) {
	for range 5 {
		a.attackers.Go(func() { a.raw(ctx, "GET /api/events?after=0 HTTP/1.1\r\nHost: localhost\r\n\r\n", time.Second) })
	}
	pause(ctx, 300*time.Millisecond)
}

func (a *attacked) goesAway(ctx context.Context, _ int64) {
	a.raw(ctx, "GET /api/events?after=0 HTTP/1.1\r\nHost: localhost\r\n\r\n", 10*time.Millisecond)
}

func (a *attacked) polls(ctx context.Context, n int64) {
	path := []string{"/healthz", "/api/state", "/metrics", "/api/claims", "/api/timeline?limit=50", "/"}[n%6]
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+a.address+path, nil)
	if !assert.NoError(a.t, err) {
		return
	}
	began := time.Now()
	code, _ := a.ask(r)
	if ctx.Err() == nil {
		assert.Contains(a.t, []int{http.StatusOK, http.StatusServiceUnavailable}, code, path)
		if path == "/healthz" { // it has a place of its own
			assert.Less(a.t, time.Since(began), 10*time.Second, path)
		}
	}
	pause(ctx, 5*time.Millisecond)
}

func (a *attacked) talksNonsense(ctx context.Context, n int64) {
	a.raw(ctx, []string{"\x00\xff\x16\x03\x01", "GET / HTTP/9.9\r\n\r\n", "POST /api/mark HT", "GET /api/events?after=-1 HTTP/1.1\r\nHost: evil.example\r\n\r\n",
		"GET /%2e%2e/etc/passwd HTTP/1.1\r\nHost: localhost\r\n\r\n"}[n%5], 20*time.Millisecond)
}

// A session that is attacked from all sides at once, through its ports, the network and its
// socket, goes on answering, ends within two seconds, and keeps a timeline that its
// recording gives. `make long` does it for two minutes under the race detector.
func TestASessionUnderAttack(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	transport := &http.Transport{MaxIdleConnsPerHost: 4}
	a := &attacked{t: t, folder: "s", counts: make([]atomic.Int64, len(attacks)), http: &http.Client{Transport: transport, Timeout: time.Minute}}
	lasts := attackTime(t)
	end := a.start(lasts)
	ctx, stop := context.WithTimeout(t.Context(), lasts)
	defer stop()
	a.launch(ctx)
	<-ctx.Done()
	took := end() // with streams that nobody reads still open
	a.attackers.Wait()
	transport.CloseIdleConnections()
	t.Logf("ended in %v", took)
	assert.Less(t, took, 2*endsWithin, "under the race detector, beside other tests")
	for i := range attacks {
		t.Logf("%s: %d times", attacks[i].name, a.counts[i].Load())
		assert.Positive(t, a.counts[i].Load(), attacks[i].name)
	}
	a.requireWhole()
}

// requireWhole holds the timeline to a replay of the recording, but for what came in a
// recording gap, and to the marks that were answered as recorded.
func (a *attacked) requireWhole() {
	journal, err := os.ReadFile(session.Folder(a.folder).Path(session.TimelineFile))
	require.NoError(a.t, err)
	replayed := a.replayed()
	given, inGaps := butForGaps(a.t, string(journal), replayed)
	if !strings.Contains(a.talk.String(), "judgement was behind") { // it is said, and judged when the session is opened again
		assert.Equal(a.t, len(replayed), given, "what the recording gives is in the timeline")
	}
	a.t.Logf("%d events, %d in recording gaps, %d marks answered as recorded", given+inGaps, inGaps, len(a.recorded))
	assert.NotEmpty(a.t, a.recorded)
	for _, text := range a.recorded {
		require.Contains(a.t, string(journal), fmt.Sprintf(`"data":{"text":%q}`, text), "it was answered as recorded")
	}
}

// butForGaps holds a timeline to the lines that its recording gives, but for what came in recording gaps; it says how
// many it has of each.
func butForGaps(t *testing.T, journal string, replayed []string) (given, inGaps int) {
	gap := false
	for line := range strings.Lines(journal) {
		e, err := timeline.Parse([]byte(strings.TrimSuffix(line, "\n")))
		require.NoError(t, err)
		if given < len(replayed) && replayed[given] == line {
			given++
		} else {
			require.True(t, gap, "the recording does not give it: %s", line)
			inGaps++
		}
		if e.Kind == event.RecordingGap {
			gap = bytes.Contains(e.Data, []byte(`"ended":false`))
		}
	}
	return given, inGaps
}

// replayed are the lines that the recording gives.
func (a *attacked) replayed() (lines []string) {
	folder := session.Folder(a.folder)
	s, err := folder.ReadSheet()
	require.NoError(a.t, err)
	r, err := session.OpenReplay(folder, s, func(e *event.Event, wall int64) {
		line, err := timeline.Line(nil, e, wall)
		require.NoError(a.t, err)
		lines = append(lines, string(line))
	})
	require.NoError(a.t, err)
	require.NoError(a.t, engine.Run(r.Source, r.Engine, nil))
	require.Empty(a.t, r.Close())
	taps := r.Engine.State().Taps
	a.t.Logf("%d bytes of a bus, in %d runs; %d bytes of a flood", taps[0].Bytes, taps[0].Ups, taps[1].Bytes)
	assert.Greater(a.t, taps[0].Ups, int64(1))
	assert.Greater(a.t, taps[1].Bytes, int64(50_000))
	return lines
}
