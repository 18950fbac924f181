package api_test

import (
	"compress/gzip"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/api"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/trace"
	"benchproof.example/monitor/unit"
)

// moved are traces out of memory alone; it has no recording, and says so of what is older than it.
type moved struct {
	*trace.Memory
	fold  *trace.Fold
	frame bus.Frame
}

func (m *moved) Span(_ context.Context, s trace.Span) (*trace.Answer, error) {
	if s.From > unit.Time(unit.Minute) {
		return nil, errors.New("the recording does not answer")
	}
	a := s.Answer()
	from, to := a.Bounds()
	m.Each(from, to, a)
	return a, nil
}

func newMoved(t testing.TB) *moved {
	s, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	m := &moved{Memory: trace.NewMemory()}
	m.fold = trace.NewFold(s, m.Memory)
	m.fold.See(&event.Observation{Kind: event.InputBegin, Data: []byte(`{"taps":[{"name":"main","kind":"bus"}]}`)})
	return m
}

// moves is a frame at a number of ms.
func (m *moved) moves(at int) {
	m.frame.Counts[0] = uint32(172 + at%1600)
	m.fold.See(&event.Observation{Kind: event.FrameSeen, Tap: 1, Wire: unit.Time(at) * unit.Time(unit.Millisecond), Frame: &m.frame})
}

func TestTraceOfAStretch(t *testing.T) {
	m := newMoved(t)
	for at := range 2000 {
		m.moves(at)
	}
	r := start(t, func(o *api.Options) { o.Traces = m })
	doc := described(t, r)
	exchange{"GET", "/api/trace?from_ns=0&to_ns=1000000000&columns=5", "", nil, 200}.try(t, r, doc)
	exchange{"GET", "/api/trace?from_ns=70000000000&to_ns=71000000000", "", nil, 503}.try(t, r, doc)
	got := r.get(t, "/api/trace?from_ns=0&to_ns=1000000000&columns=5")
	assert.Contains(t, got.body, `{"step_ns":200000000,"taps":[{"tap":"main","kind":"bus","first":0,"until":5,"columns":[[0,`)
	for query, want := range map[string]string{
		"":                                  "got no from_ns",
		"from_ns=1":                         "got no to_ns",
		"from_ns=x&to_ns=2":                 `got from_ns \"x\", want a whole number`,
		"from_ns=1&from_ns=1&to_ns=2":       "got from_ns 2 times",
		"from_ns=1&to_ns=2&moon=1":          `got the parameter \"moon\"`,
		"from_ns=5&to_ns=2":                 "a later one",
		"from_ns=1&to_ns=2&columns=9999":    "want 1 to 4800",
		"from_ns=0&to_ns=9000000000000":     "want 2 h at most",
		"from_ns=9223372036854775807&to_ns": "want a whole number",
	} {
		got := r.get(t, "/api/trace?"+query)
		assert.Equal(t, 400, got.code, query)
		assert.Contains(t, got.body, want, query)
	}

	request, err := http.NewRequestWithContext(t.Context(), http.MethodGet, r.url+"/api/trace?from_ns=0&to_ns=1900000000&columns=4800", nil)
	require.NoError(t, err)
	request.Header.Set("Accept-Encoding", "gzip")
	answer, err := r.http.Do(request)
	require.NoError(t, err)
	defer func() { _ = answer.Body.Close() }()
	require.Equal(t, "gzip", answer.Header.Get("Content-Encoding"))
	z, err := gzip.NewReader(answer.Body)
	require.NoError(t, err)
	text, err := io.ReadAll(z)
	require.NoError(t, err)
	assert.Equal(t, r.get(t, "/api/trace?from_ns=0&to_ns=1900000000&columns=4800").body, string(text))
}

// told is the columns of a message.
func told(t testing.TB, data string) (first, until int64, columns int) {
	var got struct {
		Taps []struct {
			First, Until int64
			Columns      [][]int64
		}
	}
	require.NoError(t, json.Unmarshal([]byte(data), &got), data)
	require.Len(t, got.Taps, 1)
	return got.Taps[0].First, got.Taps[0].Until, len(got.Taps[0].Columns)
}

// Each page gets each column once, from when it came; what came before, and while nobody looked, is
// not sent.
func TestAPageIsToldWhatMoves(t *testing.T) {
	m := newMoved(t)
	r := start(t, func(o *api.Options) { o.Traces = m })
	at := 0
	moves := func(ms int) {
		for end := at + ms; at < end; at++ {
			m.moves(at)
		}
		r.Pictured()
	}
	moves(500)
	one := r.look(t, "")
	one.until("now", whatever)
	next, until := int64(9), int64(9)
	reads := func(l *looker, upTo int64) {
		for until < upTo {
			list := l.until("trace", whatever)
			first, behind, columns := told(t, list[len(list)-1].data)
			require.Equal(t, next, first)
			require.EqualValues(t, behind-first, columns)
			next, until = behind, behind
		}
	}
	moves(300)
	reads(one, 15)
	two := r.look(t, "")
	two.until("now", whatever)
	moves(200)
	reads(one, 19)
	next, until = 15, 15
	reads(two, 19)
	for _, l := range []*looker{one, two} {
		l.end()
	}
	require.Eventually(t, func() bool { return r.Streams() == 0 }, 10*time.Second, time.Millisecond)
	moves(60_000)
	three := r.look(t, "")
	for _, before := range three.until("now", whatever) {
		assert.NotEqual(t, "trace", before.name)
	}
	moves(100)
	list := three.until("trace", whatever)
	_, _, columns := told(t, list[len(list)-1].data)
	assert.Less(t, columns, 4)
	assert.NotContains(t, strings.Join(namesOf(list), " "), "trace trace trace")
}

func namesOf(list []message) (names []string) {
	for _, m := range list {
		names = append(names, m.name)
	}
	return names
}
