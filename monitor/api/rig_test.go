package api_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/protocols"
	"benchproof.example/monitor/api"
	"benchproof.example/monitor/draft/dialogue"
	"benchproof.example/monitor/drill/course"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

const (
	token = "0123456789abcdef"
	wall  = 1_777_713_243_000_000_000
)

// line is the journal line of an event.
func line(t testing.TB, seq int64) []byte {
	at := unit.Time(unit.Duration(seq) * unit.Millisecond)
	b, err := timeline.Line(nil, &event.Event{
		Seq: seq, At: at, From: at.Add(-1), Kind: event.Mark, About: "session", Data: event.MarkData{Text: "wide <open> & \"closed\""},
	}, wall+int64(at))
	require.NoError(t, err)
	return b
}

func lines(t testing.TB, from, to int64) (all []byte) {
	for n := from; n <= to; n++ {
		all = append(all, line(t, n)...)
	}
	return all
}

// well is a moment at which nothing is unwell.
func well() state.State {
	tap := state.Tap{
		Name: "main", Kind: "bus", Up: true, Port: event.Port{Port: "/dev/ttyUSB0", Settings: "100000 8E2", Latency: "1 ms",
			Errors: "a pseudo-terminal carries no parity"},
		PortTally: state.PortTally{Ups: 1, Bytes: 25_000}, FrameTally: state.FrameTally{Frames: 1000},
		Locked: true, Signal: event.SignalLive, ModeKnown: true, Mode: "damping", LastNS: 9_990_000_000, PeriodNS: 7_000_000,
		Channels: []state.Channel{{Number: 1, Name: "aileron", Count: 992, WidthNS: 1_500_000}, {Number: 17, Count: 1}},
	}
	for _, r := range []string{"no-header", "no-footer", "unconfirmed", "cut-off"} {
		tap.Refused = append(tap.Refused, state.Refused{Reason: r})
	}
	return state.State{
		Model: "Reedwing 1400", Build: "test", NowNS: 10_000_000_000, SeenNS: 9_999_000_000, WallNS: wall, Runs: 1, Taps: []state.Tap{tap},
		Claims: []state.Claim{
			{ID: "mode/damping/back", Verdict: "seen right", Sentence: "it does", Evidence: []event.Span{{From: 1, To: 2}}, Figures: map[string]int64{"margin_ns": 3}},
			{ID: "neutral/aileron", Verdict: "open", Sentence: "neutral is at 1500 µs", Settle: "run the drill", Drill: "neutral"},
		},
		Recorder: state.Recorder{Folder: "sessions/reedwing", Recording: true, Inputs: 10, FreeBytes: -1},
	}
}

// rig is a server on a real socket.
type rig struct {
	*api.Server
	url    string
	addr   string
	now    atomic.Pointer[state.State]
	put    chan string
	input  atomic.Int64 // number of the latest
	cause  func(input int64, kind event.InputKind, data []byte)
	file   string       // the journal
	waited atomic.Int64 // ns, that answers to wrong tokens were to wait
	stop   context.CancelFunc
	ended  chan error
	http   *http.Client
}

// drilled is the course of a session in which one drill ended and another is under way.
func drilled(t testing.TB) *course.Course {
	s, err := sheet.Read("two switches", sheettest.TwoSwitches())
	require.NoError(t, err)
	c := course.New(s)
	walk := event.RangeMarkData{Mark: "30 m", Left: true, Frames: 100, Missed: 2}
	moved := []event.ChannelMove{{Channel: 2, FromNS: 1_500_000, ToNS: 2_000_000, LeastNS: 1_500_000, MostNS: 2_000_000}}
	for i, e := range []event.Event{
		{Kind: event.DrillBegan, About: "drill:range", Data: event.DrillBeganData{Prompts: 5, Cautions: []string{"all of it holds"}, By: "Ann"}},
		{Kind: event.DrillPrompted, About: "drill:range", Data: event.DrillPromptedData{Prompt: "range/walk", Text: "walk", Number: 5, Of: 5}},
		{Kind: event.RangeMark, About: "drill:range", Data: walk},
		{Kind: event.VerdictChanged, About: "claim:neutral/aileron", Data: event.VerdictData{Verdict: event.VerdictWrong, Sentence: "it rests elsewhere"}},
		{Kind: event.DrillEnded, About: "drill:range", Data: event.DrillEndedData{How: "finished"}},
		{Kind: event.DrillBegan, About: "drill:order", Data: event.DrillBeganData{Prompts: 11, Cautions: []string{"all of it holds"}}},
		{Kind: event.DrillPrompted, About: "drill:order", Data: event.DrillPromptedData{Prompt: "order/aileron/left", Text: "hold it", Number: 1, Of: 11}},
		{Kind: event.DrillAnswered, About: "drill:order", Data: event.DrillAnsweredData{Text: "hold it", Frames: 20, By: "wire", Channels: moved}},
		{Kind: event.DrillPrompted, About: "drill:order", Data: event.DrillPromptedData{Prompt: "order/aileron/right", Text: "hold it", Number: 2, Of: 11}},
		{Kind: event.DrillHint, About: "drill:order", Data: event.DrillHintData{Prompt: "order/aileron/right", Why: "nothing moved"}},
	} {
		e.Seq, e.At = int64(i+1), unit.Time(i)*1_000_000_000
		c.Take(&e)
	}
	return c
}

// cookieOf is the name of the cookie of a rig's port.
func cookieOf(r *rig) string {
	_, port, _ := net.SplitHostPort(r.addr)
	return "benchproof_token_" + port
}

var errNonsense = errors.New(`got "moon" to reopen, want one of inner, failsafe, everything`)

// start serves; change may alter the options.
func start(t testing.TB, change func(*api.Options)) *rig {
	return startOn(t, change, func(l net.Listener) net.Listener { return l })
}

// startOn serves on what wrap makes of a socket.
func startOn(t testing.TB, change func(*api.Options), wrap func(net.Listener) net.Listener) *rig {
	r := &rig{put: make(chan string, 100), ended: make(chan error, 1), file: filepath.Join(t.TempDir(), "timeline.jsonl")}
	r.write(t, nil)
	r.cause = r.causesEvent
	now := well()
	r.now.Store(&now)
	opt := api.Options{
		State:   func() state.State { return *r.now.Load() },
		Metrics: http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _, _ = io.WriteString(w, "benchproof_up 1\n") }),
		Journal: func() (io.ReadSeekCloser, error) { return os.Open(r.file) },
		Put:     r.take,
		Tilt:    func(sentences []byte) bool { return !strings.Contains(string(sentences), "late") },
		Check: func(_ event.InputKind, data []byte) error {
			if string(data) == "moon" {
				return errNonsense
			}
			return nil
		},
		Sheet: &state.Sheet{
			Name: "reedwing.yaml", Hash: strings.Repeat("0a", 32), Model: "Reedwing 1400",
			Lines: []state.SheetLine{
				{Number: 1, Text: "# A model.", Claims: []string{}, Reads: state.SheetRead{Kind: "none"}},
				{Number: 2, Text: "neutral: 1500", Says: "neutral: 1500", Claims: []string{"neutral/aileron"},
					Reads: state.SheetRead{Kind: "channel", Name: "aileron", Number: 1, Place: "neutral"}},
			},
			Claims: []state.SheetClaim{{ID: "neutral/aileron", Line: 2, Heading: "Sticks and throttle", Reopens: "aileron", Channels: []int{1}}},
			Cells:  []state.SheetCell{{Mode: "plain", Channel: 7, ToNS: 1_180_000}},
		},
		Next: func(*state.State) []state.Next {
			return []state.Next{{Do: "put aid to third", Claims: []string{"position/aid/third"}, Settings: []state.Setting{{Channel: "aid", Place: "third"}}}}
		},
		Token: token, Drills: drilled(t), Topics: []string{"inner", "failsafe", "everything"}, Past: somePast{},
	}
	if change != nil {
		change(&opt)
	}
	var err error
	r.Server, err = api.New(opt)
	require.NoError(t, err)
	r.WaitWith(func(_ context.Context, d time.Duration) { r.waited.Add(int64(d)) })
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	r.addr = l.Addr().String()
	r.url = "http://" + r.addr
	transport := &http.Transport{}
	r.http = &http.Client{Transport: transport}
	var ctx context.Context
	ctx, r.stop = context.WithCancel(context.Background())
	go func() { r.ended <- r.Serve(ctx, wrap(l)) }()
	t.Cleanup(func() {
		r.stop()
		transport.CloseIdleConnections()
		assert.NoError(t, <-r.ended)
	})
	return r
}

// complete is a draft that is complete; it keeps nothing.
type complete struct{}

func (complete) Load() ([]byte, error)            { return nil, fs.ErrNotExist }
func (complete) Keep([]byte) error                { return nil }
func (complete) Write([]byte) (string, error)     { return "drafted.yaml", nil }
func (complete) Written() (string, []byte, error) { return "drafted.yaml", []byte("sheet: 1\n"), nil }

func drafted(t testing.TB) *dialogue.Dialogue {
	p, _ := protocols.Find("")
	d, err := dialogue.Open(dialogue.Options{Protocol: p, Taps: []event.TapName{{Name: "main", Kind: "bus"}}, Store: complete{},
		Commands: func(file string) []string { return []string{"benchproof sheet verify " + file} }})
	require.NoError(t, err)
	return d
}

// take takes an input, and has it cause what the test wants.
func (r *rig) take(kind event.InputKind, data []byte) (input int64, taken bool) {
	if strings.Contains(string(data), "late") { // as if the session were over
		return 0, false
	}
	r.put <- kind.String() + " " + string(data)
	input = r.input.Add(1)
	go r.cause(input, kind, data)
	return input, true
}

// causesEvent is an input that causes the event that it should, numbered 100 and more; a
// step of a drill called dance is refused.
func (r *rig) causesEvent(input int64, kind event.InputKind, data []byte) {
	if strings.Contains(string(data), "dance") {
		r.Caused(input, &event.Event{Seq: 100 + input, Kind: event.DrillRefused, Data: event.ReasonData{Why: "no such drill"}})
	}
	kinds := map[event.InputKind]string{
		event.InputMark: event.Mark, event.InputStrike: event.MarkStruck, event.InputReopen: event.Reopened,
		event.InputPapers: event.PapersChanged, event.InputDrillStep: event.DrillBegan,
	}
	r.Caused(input, &event.Event{Seq: 100 + input, Kind: kinds[kind]})
	r.AllCaused(input, true)
}

// publish shows events and has them in the journal.
func (r *rig) publish(t testing.TB, from, to int64) {
	r.write(t, lines(t, from, to))
	r.show(t, from, to)
}

func (r *rig) show(t testing.TB, from, to int64) {
	for n := from; n <= to; n++ {
		r.Publish(n, line(t, n))
	}
	now := *r.now.Load()
	now.Seq = to
	r.now.Store(&now)
}

func (r *rig) write(t testing.TB, b []byte) {
	f, err := os.OpenFile(r.file, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
	require.NoError(t, err)
	_, err = f.Write(b)
	require.NoError(t, err)
	require.NoError(t, f.Close())
}

// got is an answer.
type got struct {
	code   int
	header http.Header
	body   string
}

// ask sends a request with headers given as "Name: value".
func (r *rig) ask(t testing.TB, method, path, body string, headers ...string) got {
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, method, r.url+path, strings.NewReader(body))
	require.NoError(t, err)
	for _, h := range headers {
		name, value, _ := strings.Cut(h, ": ")
		if name == "Host" {
			request.Host = value
		}
		request.Header.Set(name, value)
	}
	answer, err := r.http.Do(request)
	require.NoError(t, err)
	defer func() { _ = answer.Body.Close() }()
	var all bytes.Buffer
	_, err = all.ReadFrom(answer.Body)
	require.NoError(t, err)
	return got{answer.StatusCode, answer.Header, all.String()}
}

func (r *rig) get(t testing.TB, path string) got { return r.ask(t, "GET", path, "") }

const (
	asJSON = "Content-Type: application/json"
	bearer = "Authorization: Bearer " + token
)
