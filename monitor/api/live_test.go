package api_test

import (
	"bufio"
	"context"
	"encoding/json"
	"net/http"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api"
	"benchproof.example/monitor/state"
)

// looker reads the stream of the live page.
type looker struct {
	t    testing.TB
	from *bufio.Scanner
	end  context.CancelFunc
}

// message is one event of the stream: its name, "" for one of the timeline, and its data.
type message struct{ name, id, data string }

func (r *rig) look(t testing.TB, query string, headers ...string) *looker {
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	t.Cleanup(cancel)
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, r.url+"/api/live"+query, nil)
	require.NoError(t, err)
	for _, h := range headers {
		name, value, _ := strings.Cut(h, ": ")
		request.Header.Set(name, value)
	}
	answer, err := r.http.Do(request)
	require.NoError(t, err)
	require.Equal(t, 200, answer.StatusCode)
	t.Cleanup(func() { _ = answer.Body.Close() })
	s := bufio.NewScanner(answer.Body)
	s.Buffer(nil, 1<<20)
	return &looker{t, s, cancel}
}

func (l *looker) next() (m message) {
	for l.from.Scan() {
		name, value, _ := strings.Cut(l.from.Text(), ": ")
		switch name {
		case "event":
			m.name = value
		case "id":
			m.id = value
		case "data":
			m.data = value
		case "":
			return m
		}
	}
	require.FailNow(l.t, "the stream ended")
	return m
}

// until reads on to the next message of a name that holds.
func (l *looker) until(name string, holds func(data string) bool) (before []message) {
	for {
		m := l.next()
		if m.name == name && holds(m.data) {
			return append(before, m)
		}
		before = append(before, m)
	}
}

func whatever(string) bool { return true }

// A page learns who it is to the server, then the claims, then the present, which comes again
// although nothing happens.
func TestAPageIsToldThePresent(t *testing.T) {
	watched := make(chan bool, 9)
	r := start(t, func(o *api.Options) {
		o.Watched = func(yes bool) { watched <- yes }
		o.Headline = func(*state.State) []state.Part {
			return []state.Part{{Part: "link", Text: "main live", Grade: "plain"}}
		}
	})
	l := r.look(t, "")
	m := l.next()
	require.Equal(t, "hello", m.name)
	assert.Equal(t, "0", m.id, "a stream that breaks now goes on behind it")
	assert.JSONEq(t, `{"build":"test","model":"Reedwing 1400","session":"reedwing","runs":1,"after":0,`+
		`"now_ns":10000000000,"wall_ns":1777713243000000000,"change":false,"token":true}`, m.data)
	m = l.next()
	require.Equal(t, "claims", m.name)
	assert.Contains(t, m.data, `"claim":"mode/damping/back"`)
	assert.Contains(t, m.data, `"claim":"neutral/aileron"`)
	m = l.next()
	require.Equal(t, "next", m.name)
	assert.JSONEq(t, `{"next":[{"do":"put aid to third","drill":"","claims":["position/aid/third"],`+
		`"settings":[{"channel":"aid","place":"third"}],"waits":false}]}`, m.data)
	assert.JSONEq(t, m.data, r.get(t, "/api/next").body)
	for range 3 {
		m = l.next()
		require.Equal(t, "now", m.name, "and neither claims nor what is next, since none changed")
		assert.Contains(t, m.data, `"headline":[{"part":"link","text":"main live","grade":"plain"}]`)
	}
	assert.True(t, <-watched)
	l.end()
	assert.False(t, <-watched)
}

// Who has the token is told so.
func TestAPageIsToldWhatItMayDo(t *testing.T) {
	r := start(t, nil)
	assert.Contains(t, r.look(t, "", bearer).next().data, `"change":true`)
	assert.Contains(t, r.look(t, "", "Authorization: Bearer wrong-wrong-wrong").next().data, `"change":false`)
	only := start(t, func(o *api.Options) { o.Put = nil })
	assert.Contains(t, only.look(t, "", bearer).next().data, `"change":false,"token":false`)
}

// Of the claims only those come that changed, and what a picture brings comes at once.
func TestAPageIsToldWhatChanged(t *testing.T) {
	r := start(t, nil)
	l := r.look(t, "")
	l.until("now", whatever)
	now := well()
	now.Claims[1].Verdict = "seen right"
	r.now.Store(&now)
	r.Pictured()
	m := l.until("claims", whatever)
	var got struct{ Claims []state.Claim }
	require.NoError(t, json.Unmarshal([]byte(m[len(m)-1].data), &got))
	require.Len(t, got.Claims, 1)
	assert.Equal(t, "neutral/aileron", got.Claims[0].ID)
	assert.Equal(t, "seen right", got.Claims[0].Verdict)
	assert.Equal(t, "now", l.next().name, "what is to be done next is as it was")

	late := r.look(t, "")
	m = late.until("claims", whatever)
	require.NoError(t, json.Unmarshal([]byte(m[len(m)-1].data), &got))
	assert.Len(t, got.Claims, 2, "who comes later gets all")
}

// A page that comes back gets what it missed, each event once, in order, before the present.
func TestAPageMissesNothingOverABreak(t *testing.T) {
	r := start(t, nil)
	r.publish(t, 1, 5)
	l := r.look(t, "?after=2", "Last-Event-ID: 3")
	var ids []string
	for _, m := range l.until("now", whatever) {
		if m.name == "" {
			ids = append(ids, m.id)
		}
	}
	assert.Equal(t, []string{"4", "5"}, ids)
	r.publish(t, 6, 8)
	for len(ids) < 5 {
		if m := l.next(); m.name == "" {
			ids = append(ids, m.id)
			assert.Equal(t, string(line(t, int64(len(ids)+3))), m.data+"\n")
		}
	}
	assert.Equal(t, []string{"4", "5", "6", "7", "8"}, ids)
}

// However many look, the present is worked out once for all of them.
func TestThePresentIsMadeOnceForAll(t *testing.T) {
	var made atomic.Int64
	r := start(t, func(o *api.Options) {
		o.Headline = func(*state.State) []state.Part { made.Add(1); return nil }
	})
	var all []*looker
	for range 20 {
		all = append(all, r.look(t, ""))
	}
	for _, l := range all {
		l.until("now", whatever)
	}
	before := made.Load()
	now := well()
	now.Seq, now.Model = 77, "x"
	r.now.Store(&now)
	r.Pictured()
	for _, l := range all {
		l.until("now", func(data string) bool { return strings.Contains(data, `"seq":77`) })
	}
	assert.LessOrEqual(t, made.Load()-before, int64(5), "beats of the time that it took among them")
}

// The page of a session that listens has its draft from the start, and each change of it.
func TestAPageIsToldTheDraft(t *testing.T) {
	r := start(t, func(o *api.Options) { o.Draft = drafted(t) })
	l := r.look(t, "")
	m := l.until("draft", whatever)
	assert.Contains(t, m[len(m)-1].data, `"state":"done"`)
	require.Equal(t, 200, r.ask(t, "POST", "/api/draft", `{"do":"begin"}`, asJSON, bearer).code)
	l.until("draft", func(data string) bool { return strings.Contains(data, `"id":"cautions"`) })
	without := start(t, nil).look(t, "")
	for range 5 {
		assert.NotEqual(t, "draft", without.next().name)
	}
}
