package api_test

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api"
)

// half sends a request and half of its body over a connection of its own.
func (r *rig) half(t testing.TB, method, path string, headers ...string) (net.Conn, *bufio.Reader) {
	conn, err := net.Dial("tcp", r.addr)
	require.NoError(t, err)
	t.Cleanup(func() { _ = conn.Close() })
	require.NoError(t, conn.SetDeadline(time.Now().Add(60*time.Second)))
	head := method + " " + path + " HTTP/1.1\r\nHost: localhost\r\nContent-Length: 100\r\n"
	for _, h := range headers {
		head += h + "\r\n"
	}
	_, err = io.WriteString(conn, head+"\r\n"+`{"text":"`)
	require.NoError(t, err)
	return conn, bufio.NewReader(conn)
}

// Who sends half of a body and then nothing takes no place from the one who asks how all is.
func TestHalfABodyStarvesNobody(t *testing.T) {
	for name, headers := range map[string][]string{"with the token": {bearer, asJSON}, "without": nil} {
		r := start(t, func(o *api.Options) { o.Connections = 64 })
		for i := range 400 {
			r.half(t, "POST", "/api/mark", headers...)
			if i%10 > 0 {
				continue
			}
			begun := time.Now()
			conn, from := r.open(t, "/healthz")
			answer, err := http.ReadResponse(from, nil)
			require.NoError(t, err, name)
			assert.Equal(t, 200, answer.StatusCode, name)
			assert.Less(t, time.Since(begun), time.Second, name)
			require.NoError(t, conn.Close())
		}
	}
}

// A head that stays unfinished takes none either.
func TestHalfAHeadStarvesNobody(t *testing.T) {
	r := start(t, func(o *api.Options) { o.Connections = 8 })
	for range 200 {
		conn, err := net.Dial("tcp", r.addr)
		require.NoError(t, err)
		t.Cleanup(func() { _ = conn.Close() })
		_, err = io.WriteString(conn, "POST /api/mark HT")
		require.NoError(t, err)
	}
	_, from := r.open(t, "/healthz")
	answer, err := http.ReadResponse(from, nil)
	require.NoError(t, err)
	assert.Equal(t, 200, answer.StatusCode)
}

// A stream keeps its place, whoever else wants one.
func TestAStreamIsNotDisplaced(t *testing.T) {
	r := start(t, func(o *api.Options) { o.Connections = 8 })
	f := r.follow(t, "")
	require.Eventually(t, func() bool { return r.Streams() == 1 }, 10*time.Second, time.Millisecond)
	for range 200 {
		r.half(t, "POST", "/api/mark", bearer, asJSON)
	}
	r.publish(t, 1, 3)
	f.wants(t, 1, 3)
}

// Whatever is refused before its body is read is answered and closed, not waited for.
func TestWhatIsRefusedIsClosedAtOnce(t *testing.T) {
	r := start(t, nil)
	for _, c := range []struct {
		method, path string
		want         int
		headers      []string
	}{
		{"POST", "/api/mark", 401, nil},
		{"POST", "/api/mark", 415, []string{bearer}},
		{"POST", "/nowhere", 404, []string{bearer}},
		{"POST", "/healthz", 405, []string{bearer}},
		{"POST", "/api/mark", 403, []string{"Origin: http://evil.example"}},
		{"POST", "/api/mark", 421, []string{"X-Forwarded-Host: a"}},
		{"GET", "/healthz", 400, nil},
		{"GET", "/api/events", 400, nil},
		{"GET", "/api/timeline", 400, nil},
	} {
		about := fmt.Sprint(c)
		begun := time.Now()
		var conn net.Conn
		var from *bufio.Reader
		if c.want == 421 {
			var err error
			conn, err = net.Dial("tcp", r.addr)
			require.NoError(t, err)
			t.Cleanup(func() { _ = conn.Close() })
			_, err = io.WriteString(conn, "POST /api/mark HTTP/1.1\r\nHost: evil.example\r\nContent-Length: 9\r\n\r\n{")
			require.NoError(t, err)
			from = bufio.NewReader(conn)
		} else {
			_, from = r.half(t, c.method, c.path, c.headers...)
		}
		answer, err := http.ReadResponse(from, nil)
		require.NoError(t, err, about)
		assert.Equal(t, c.want, answer.StatusCode, about)
		_, err = io.ReadAll(from)
		require.NoError(t, err, "the server closes it: "+about)
		assert.Less(t, time.Since(begun), 8*api.RefusedPatience, about)
	}
}

// A whole body that nobody wants costs nobody the connection or the answer.
func TestAWholeBodyThatNobodyWants(t *testing.T) {
	r := start(t, nil)
	for range 3 {
		assert.Equal(t, 200, r.ask(t, "GET", "/healthz", "{}").code)
		assert.Equal(t, 401, r.ask(t, "POST", "/api/mark", `{"text":"x"}`, asJSON).code)
	}
}

func TestWrongTokensWaitEverLonger(t *testing.T) {
	const ms = time.Millisecond
	assert.Equal(t, []time.Duration{125 * ms, 250 * ms, 500 * ms, 1000 * ms, 2000 * ms, 4000 * ms, api.MostDelay, api.MostDelay},
		api.Delays(0, 0, 0, 0, 0, 0, 0, 0))
	assert.Equal(t, []time.Duration{125 * ms, 250 * ms, 250 * ms, 125 * ms}, api.Delays(0, 9*time.Second, 10*time.Second, time.Hour),
		"and shorter again while none comes")
}

func TestWrongTokensAreCounted(t *testing.T) {
	var count atomic.Int64
	r := start(t, func(o *api.Options) { o.WrongTokens = &count })
	for i, wrong := range [][]string{
		{"Authorization: Bearer wrong-wrong-wrong"}, {"Cookie: " + cookieOf(r) + "=" + token}, {"Authorization: Bearer " + token + "x"},
	} {
		assert.Equal(t, 401, r.ask(t, "POST", "/api/reopen", `{"what":"inner"}`, append(wrong, asJSON)...).code)
		assert.EqualValues(t, i+1, count.Load())
	}
	assert.Equal(t, 401, r.ask(t, "POST", "/api/token", `{"token":"guess"}`, asJSON).code)
	assert.EqualValues(t, 4, count.Load())
	waited := r.waited.Load()
	assert.EqualValues(t, (125+250+500+1000)*time.Millisecond, waited)

	assert.Equal(t, 202, r.ask(t, "POST", "/api/reopen", `{"what":"inner"}`, bearer, asJSON).code)
	assert.Equal(t, 401, r.ask(t, "POST", "/api/reopen", `{"what":"inner"}`, asJSON).code, "none at all is no guess")
	assert.EqualValues(t, 4, count.Load())
	assert.Equal(t, waited, r.waited.Load(), "a right one waits for nothing")
}
