package api_test

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api"
	"benchproof.example/monitor/state"
)

const (
	reportStyle = "p{color:red}\n.a{}"
	somePage    = `<!DOCTYPE html><style>` + reportStyle + `</style><script>alert(1)</script><p style="color:blue">A report`
)

// somePast has two sessions, of which one has been made a record of.
type somePast struct{}

func (somePast) List(context.Context) ([]api.PastSession, int, error) {
	begun := time.Unix(0, wall).UTC()
	return []api.PastSession{
		{Name: "2026-05-09-110000", Model: "Reedwing 1400", Begun: begun, Running: true},
		{Name: "2026-05-02-110000", Model: "Reedwing 1400", Begun: begun, LengthNS: 60e9, Count: &state.VerdictCount{Right: 3, Wrong: 1}, Report: true},
	}, 7, nil
}

func (somePast) Report(_ context.Context, name string) ([]byte, error) {
	switch name {
	case "moon":
		return nil, fmt.Errorf("look for it: %w", api.ErrNoSession)
	case "broken":
		return nil, errors.New("its sheet can't be read")
	}
	return []byte(somePage), nil
}

// noPast is a folder that can't be read.
type noPast struct{ somePast }

func (noPast) List(context.Context) ([]api.PastSession, int, error) {
	return nil, 0, errors.New("it is gone")
}

func TestSessionsBeside(t *testing.T) {
	r := start(t, nil)
	assert.JSONEq(t, `{"more":7,"sessions":[
		{"name":"2026-05-09-110000","model":"Reedwing 1400","begun":"2026-05-02T09:14:03Z","report":false,"running":true},
		{"name":"2026-05-02-110000","model":"Reedwing 1400","begun":"2026-05-02T09:14:03Z","report":true,"running":false,"length_ns":60000000000,
			"count":{"seen_right":3,"seen_wrong":1,"open":0,"stale":0,"open_looked_at":0}}]}`, r.get(t, "/api/sessions").body)
	alone := start(t, func(o *api.Options) { o.Past = nil })
	assert.JSONEq(t, `{"sessions":[],"more":0}`, alone.get(t, "/api/sessions").body)
	assert.Equal(t, 404, alone.get(t, "/sessions/a/report").code)
	assert.Contains(t, sentence(t, r.get(t, "/sessions/broken/report")), "its sheet can't be read")
	assert.Equal(t, 404, r.get(t, "/sessions/moon/report").code)
}

// Whoever wrote a report, it shows its style and its drawings, and does nothing.
func TestAReportIsShutIn(t *testing.T) {
	got := start(t, nil).get(t, "/sessions/a/report")
	require.Equal(t, 200, got.code)
	assert.Equal(t, somePage, got.body)
	policy := strings.Split(got.header.Get("Content-Security-Policy"), "; ")
	sum := sha256.Sum256([]byte(reportStyle))
	assert.ElementsMatch(t, []string{"default-src 'none'", "base-uri 'none'", "form-action 'none'", "frame-ancestors 'none'", "sandbox allow-same-origin",
		"style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"}, policy)
	assert.Equal(t, "nosniff", got.header.Get("X-Content-Type-Options"))
}

// slowPast makes a report when it is told to.
type slowPast struct {
	somePast
	asked chan string
	goOn  chan struct{}
}

func (p slowPast) Report(ctx context.Context, name string) ([]byte, error) {
	p.asked <- name
	select {
	case <-p.goOn:
		return []byte(name), nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// One report is made at a time; who asks meanwhile waits for a turn, and all else is answered.
func TestReportsAreMadeOneAtATime(t *testing.T) {
	past := slowPast{asked: make(chan string, 2), goOn: make(chan struct{})}
	r := start(t, func(o *api.Options) { o.Past = past })
	answers := make(chan string, 2)
	for _, name := range []string{"one", "two"} {
		go func() { answers <- r.get(t, "/sessions/"+name+"/report").body }()
	}
	first := <-past.asked
	assert.Equal(t, 200, r.get(t, "/api/state").code)
	assert.Equal(t, 200, r.get(t, "/api/sessions").code)
	select {
	case second := <-past.asked:
		assert.Fail(t, "two at once", second)
	default:
	}
	past.goOn <- struct{}{}
	assert.Equal(t, first, <-answers)
	second := <-past.asked
	past.goOn <- struct{}{}
	assert.Equal(t, second, <-answers)
	assert.NotEqual(t, first, second)
}

// Who went away keeps nobody from a report.
func TestAReportThatNobodyWaitsForIsNotMade(t *testing.T) {
	past := slowPast{asked: make(chan string, 2), goOn: make(chan struct{})}
	r := start(t, func(o *api.Options) { o.Past = past })
	conn, _ := r.open(t, "/sessions/one/report")
	assert.Equal(t, "one", <-past.asked)
	require.NoError(t, conn.Close())
	answers := make(chan string)
	go func() { answers <- r.get(t, "/sessions/two/report").body }()
	assert.Equal(t, "two", <-past.asked)
	past.goOn <- struct{}{}
	assert.Equal(t, "two", <-answers)
}
