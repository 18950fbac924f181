package session_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/trace"
	"benchproof.example/monitor/unit"
)

// tracedSitting is a sitting whose traces are asked for while it goes on.
type tracedSitting struct {
	*sitting
	live   *session.Live
	traces *session.Traces
	stop   context.CancelFunc
	ended  chan error
}

// heardFor hears a script for a while; end ends it.
func heardFor(t *testing.T, s *sitting, script string, seed uint64, d time.Duration) *tracedSitting {
	live, err := s.open()
	require.NoError(t, err)
	x := &tracedSitting{sitting: s, live: live, traces: live.Traces(), ended: make(chan error, 1)}
	ctx, stop := context.WithCancel(t.Context())
	x.stop = stop
	go func() { x.ended <- live.Run(ctx, play(live.Seq, named(t, script), seed)) }()
	time.Sleep(d)
	synctest.Wait()
	return x
}

func (x *tracedSitting) end(t *testing.T) {
	x.stop()
	require.NoError(t, <-x.ended)
	require.Equal(t, "[]", x.notices())
}

func asText(t *testing.T, a *trace.Answer, err error) string {
	t.Helper()
	require.NoError(t, err)
	b, err := json.Marshal(a)
	require.NoError(t, err)
	return string(b)
}

// same holds two long texts to one another, and shows where they part.
func same(t *testing.T, want, got, format string, args ...any) {
	t.Helper()
	if want == got {
		return
	}
	i := 0
	for i < min(len(want), len(got)) && want[i] == got[i] {
		i++
	}
	part := func(s string) string { return s[max(0, i-100):min(len(s), i+100)] }
	t.Fatalf("want ...%s\ngot  ...%s\n%s", part(want), part(got), fmt.Sprintf(format, args...))
}

// Columns from memory are byte for byte those that the recording gives, in whatever segments it
// lies, over losses, a cable that is pulled out, a kill and a resumption; and whatever stretch is
// asked for, and how long its columns are.
func TestATraceOutOfMemoryIsThatOfTheRecording(t *testing.T) {
	for _, script := range []string{"two", "elevon"} {
		t.Run(script, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				folder := filepath.Join(t.TempDir(), "s")
				luck := rand.New(rand.NewPCG(7, 19))
				compared, older := 0, []string{}
				spans := []trace.Span{}
				for i, seconds := range []unit.Duration{5, 11, 100} {
					s := inSegments(folder, seconds, named(t, script).TapNames()...)
					for k, tap := range named(t, script).TapNames() {
						if tap == "leads" {
							s.opt.Taps[k].Kind = "pulses"
						}
					}
					x := heardFor(t, s, script, uint64(i), 43*time.Second)
					for j, span := range spans { // those of the sittings before are the same still
						a, err := x.traces.Span(t.Context(), span)
						same(t, older[j], asText(t, a, err), "sitting %d, span %d", i, j)
					}
					now := x.live.State().SeenNS
					from := now.Add(-41 * unit.Second)
					for range 8 {
						span := trace.Span{From: from.Add(unit.Duration(luck.Int64N(int64(20 * unit.Second)))), Columns: 1 + luck.IntN(900)}
						span.To = min(now.Add(-3*unit.Second), span.From.Add(unit.Duration(1+luck.Int64N(int64(20*unit.Second)))))
						a, err := x.traces.Span(t.Context(), span)
						want := asText(t, a, err)
						a, err = x.traces.FromRecording(t.Context(), span)
						same(t, want, asText(t, a, err), "sitting %d, from %s", i, unit.FormatClock(span.From))
						compared += strings.Count(want, "],[")
						spans, older = append(spans, span), append(older, want)
					}
					x.end(t)
					time.Sleep(3 * time.Second)
				}
				assert.Greater(t, compared, 1000, "columns")
			})
		})
	}
}

// What was asked for is not read any more once nobody wants it.
func TestAnOldTraceCanBeCancelled(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		require.NoError(t, inSegments(folder, 5, "main").listen(t, "good", 1, 20*time.Second))
		x := heardFor(t, inSegments(folder, 5, "main"), "good", 2, 5*time.Second)
		ctx, cancel := context.WithCancel(t.Context())
		cancel()
		_, err := x.traces.Span(ctx, trace.Span{From: 0, To: unit.Time(10 * unit.Second), Columns: 100})
		require.Error(t, err)
		_, err = x.traces.Span(t.Context(), trace.Span{From: 0, To: unit.Time(10 * unit.Second), Columns: 100})
		require.NoError(t, err)
		x.end(t)
	})
}

// A fault of who looks on is told, and is none of judgement: the timeline is what the recording
// gives.
func TestWhoLooksOnCannotHurtJudgement(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		s := newSitting(folder, "main")
		live, err := s.open()
		require.NoError(t, err)
		calls, seen := 0, 0
		live.Subscribe(session.Subscriber{Observed: func(*event.Observation) { seen++ }})
		live.Subscribe(session.Subscriber{Observed: func(*event.Observation) {
			if calls++; calls == 300 {
				panic("moon")
			}
		}})
		ctx, stop := timeout(t, 10*time.Second)
		defer stop()
		require.NoError(t, live.Run(ctx, play(live.Seq, named(t, "good"), 1)))
		assert.Equal(t, 300, calls)
		assert.Greater(t, seen, 500)
		assert.Contains(t, s.notices(), "moon")
		requireSameEverywhere(t, folder)
	})
}
