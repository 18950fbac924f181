//go:build outside && linux

package browser_test

import (
	"context"
	"fmt"
	"net"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/api"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/trace"
	"benchproof.example/monitor/unit"
)

// moving is a session that has gone on for minutes when a page opens: the elevator goes up and down
// each ten seconds, and aid stands at 1330 µs until the third minute and at 1640 µs from there.
type moving struct {
	*trace.Memory
	fold  *trace.Fold
	at    unit.Time
	frame bus.Frame
	began time.Time

	server *api.Server
	url    string
	judged atomic.Int64 // the number of the latest event that was judged
}

const before = 6 * unit.Minute

// Span implements api.Traces.
func (m *moving) Span(_ context.Context, s trace.Span) (*trace.Answer, error) {
	a := s.Answer()
	from, to := a.Bounds()
	m.Each(from, to, a)
	return a, nil
}

func (m *moving) now() unit.Time { return unit.Time(before).Add(unit.Duration(time.Since(m.began))) }

// goOn has frames come up to a moment; there are none from 4:40 to 4:45.
func (m *moving) goOn(until unit.Time) {
	for ; m.at < until; m.at = m.at.Add(7 * unit.Millisecond) {
		second := unit.Duration(m.at) / unit.Second
		m.frame.Counts[0] = uint32(592 + 800*(second/5%2))
		m.frame.Counts[6] = 719
		if second >= 180 {
			m.frame.Counts[6] = 1215
		}
		if second < 280 || second >= 285 {
			m.fold.See(&event.Observation{Kind: event.FrameSeen, Tap: 1, Wire: m.at, Frame: &m.frame})
		}
	}
}

func (m *moving) look() state.State {
	now := m.now()
	return state.State{
		Model: "Reedwing 1400", NowNS: now, SeenNS: now, Seq: m.judged.Load(), Recorder: state.Recorder{Folder: "sessions/moving", Recording: true},
		Taps: []state.Tap{{
			Name: "main", Kind: "bus", Up: true, Locked: true, Signal: event.SignalLive, LastNS: now,
			Channels: []state.Channel{{Number: 1, Name: "elevator", Count: 992, WidthNS: 1_500_000}, {Number: 7, Name: "aid", Count: 1215, WidthNS: 1_640_000}},
		}},
	}
}

// mark shows a mark of minute 2:30 as the event of that number.
func (m *moving) mark(t *testing.T, seq int64, text string) {
	at := unit.Time(150 * unit.Second)
	mark := event.Event{Seq: seq, At: at, From: at, Kind: event.Mark, About: "session", Data: event.MarkData{Text: text}}
	line, err := timeline.Line(nil, &mark, int64(at))
	require.NoError(t, err)
	m.server.Publish(seq, line)
}

// newMoving serves it until the test is over.
func newMoving(t *testing.T) *moving {
	s, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	m := &moving{Memory: trace.NewMemory(), began: time.Now()}
	m.fold = trace.NewFold(s, m.Memory)
	m.fold.See(&event.Observation{Kind: event.InputBegin, Data: []byte(`{"taps":[{"name":"main","kind":"bus"}]}`)})
	m.goOn(unit.Time(before))
	server, err := api.New(api.Options{State: m.look, Traces: m, Sheet: &state.Sheet{
		Name: "sheet.yaml", Model: "Reedwing 1400", Lines: []state.SheetLine{}, Claims: []state.SheetClaim{},
		Cells: []state.SheetCell{
			{Mode: "damping", Channel: 7, FromNS: 1_180_000, ToNS: 1_480_000}, {Mode: "upright", Channel: 7, FromNS: 1_480_000, ToNS: 1_780_000},
		},
	}})
	require.NoError(t, err)
	m.server = server
	m.judged.Store(1)
	m.mark(t, 1, "gust")
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	ended, moved := make(chan error, 1), make(chan struct{})
	go func() { ended <- server.Serve(ctx, l) }()
	go func() {
		defer close(moved)
		tick := time.NewTicker(30 * time.Millisecond)
		defer tick.Stop()
		for {
			select {
			case <-ctx.Done():
				return
			case <-tick.C:
				m.goOn(m.now())
				server.Pictured()
			}
		}
	}()
	t.Cleanup(func() {
		stop()
		assert.NoError(t, <-ended)
		<-moved
	})
	m.url = fmt.Sprintf("http://%s/", l.Addr())
	return m
}
