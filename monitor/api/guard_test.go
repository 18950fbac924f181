package api_test

import (
	"bufio"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api"
)

// sentence is the error of an answer; every error has one.
func sentence(t testing.TB, g got) string {
	require.Equal(t, "application/json", g.header.Get("Content-Type"), g.body)
	var members map[string]string
	require.NoError(t, json.Unmarshal([]byte(g.body), &members), g.body)
	require.Len(t, members, 1)
	require.NotEmpty(t, members["error"])
	return members["error"]
}

func TestHosts(t *testing.T) {
	r := start(t, func(o *api.Options) { o.Hosts = []string{"Bench.example."} })
	own, err := os.Hostname()
	require.NoError(t, err)
	for host, want := range map[string]int{
		"127.0.0.1": 200, "127.8.8.8:99": 200, "localhost": 200, "LOCALHOST.:8080": 200, "[::1]:80": 200, "[::1]": 200,
		"192.168.1.7:8080": 200, "10.0.0.1": 200, "172.16.0.1": 200, "169.254.3.4": 200, "[fe80::1]:8080": 200, "[fd00::2]": 200,
		"[::ffff:192.168.1.7]": 200,
		own:                    200, own + ".local:8080": 200, "bench.example": 200, "bench.example:8080": 200,
		"evil.example": 421, "evil.example:8080": 421, "bench.example.evil.example": 421, "localhost.evil.example": 421,
		"203.0.113.5": 421, "[2001:db8::1]:80": 421, "172.32.0.1": 421, "0.0.0.0": 421, "2130706433": 421, "127.0.0.1.evil.example": 421,
	} {
		for _, path := range []string{"/", "/metrics", "/api/state", "/nowhere"} {
			got := r.ask(t, "GET", path, "", "Host: "+host)
			if want == 421 {
				assert.Equal(t, 421, got.code, host)
				assert.Contains(t, sentence(t, got), "configure that name")
			} else {
				assert.NotEqual(t, 421, got.code, host)
			}
		}
	}
}

func TestNamesToAnswerTo(t *testing.T) {
	for _, name := range []string{"", ".", "http://bench", "bench:8080", "*.example", "a b"} {
		_, err := api.New(api.Options{Hosts: []string{name}})
		assert.ErrorContains(t, err, "want a host name", name)
	}
}

func TestOrigins(t *testing.T) {
	r := start(t, nil)
	mark := `{"text":"here"}`
	for _, c := range []struct {
		headers    []string
		read, post int
	}{
		{nil, 200, 202},
		{[]string{"Origin: " + r.url}, 200, 202},
		{[]string{"Origin: " + r.url, "Sec-Fetch-Site: same-origin"}, 200, 202},
		{[]string{"Sec-Fetch-Site: none"}, 200, 202},
		{[]string{"Sec-Fetch-Site: cross-site"}, 200, 403}, // a link to us from elsewhere
		{[]string{"Sec-Fetch-Site: same-site"}, 200, 403},
		{[]string{"Origin: http://evil.example"}, 403, 403},
		{[]string{"Origin: http://evil.example", "Sec-Fetch-Site: cross-site"}, 403, 403},
		{[]string{"Origin: http://localhost:1"}, 403, 403},
		{[]string{"Origin: null"}, 403, 403},
		{[]string{"Origin: ://"}, 403, 403},
	} {
		about := fmt.Sprint(c.headers)
		read := r.ask(t, "GET", "/api/state", "", c.headers...)
		assert.Equal(t, c.read, read.code, about)
		write := r.ask(t, "POST", "/api/mark", mark, append(c.headers, bearer, asJSON)...)
		assert.Equal(t, c.post, write.code, about)
		for _, got := range []got{read, write} {
			if got.code == 403 {
				assert.Contains(t, sentence(t, got), "another origin")
			}
			assert.Empty(t, got.header.Get("Access-Control-Allow-Origin"))
		}
		if c.post == 202 {
			assert.Equal(t, "mark here", <-r.put)
		}
	}
	assert.Empty(t, r.put)
}

func TestTheTokenLetsChange(t *testing.T) {
	r := start(t, nil)
	cookie := r.ask(t, "POST", "/api/token", `{"token":"`+token+`"}`, asJSON)
	require.Equal(t, 204, cookie.code, cookie.body)
	set := cookie.header.Get("Set-Cookie")
	assert.Contains(t, set, "; Path=/; HttpOnly; SameSite=Strict")
	assert.NotContains(t, set, token)
	value, _, _ := strings.Cut(set, ";")
	for _, c := range []struct {
		headers []string
		want    int
	}{
		{[]string{bearer}, 202},
		{[]string{"Authorization: bearer " + token}, 202},
		{[]string{"Cookie: " + value}, 202},
		{[]string{"Cookie: other=1; " + value}, 202},
		{nil, 401},
		{[]string{"Authorization: Bearer " + token + "x"}, 401},
		{[]string{"Authorization: Bearer "}, 401},
		{[]string{"Authorization: Basic " + token}, 401},
		{[]string{"Authorization: " + token}, 401},
		{[]string{"Authorization: Bearer wrong-wrong-wrong", "Cookie: " + value}, 401},
		{[]string{"Cookie: " + cookieOf(r) + "=" + token}, 401},
		{[]string{"Cookie: " + cookieOf(r) + "="}, 401},
		{[]string{"Cookie: benchproof_token_1=" + strings.Split(value, "=")[1]}, 401}, // of another port
	} {
		got := r.ask(t, "POST", "/api/reopen", `{"what":"inner"}`, append(c.headers, asJSON)...)
		assert.Equal(t, c.want, got.code, c.headers)
		if c.want == 202 {
			assert.JSONEq(t, fmt.Sprintf(`{"accepted":true,"seq":%d,"recorded":true}`, 100+r.input.Load()), got.body)
			assert.Equal(t, "reopen inner", <-r.put)
		} else {
			assert.Contains(t, sentence(t, got), "needs the token")
			assert.Contains(t, got.header.Get("WWW-Authenticate"), "Bearer")
		}
	}
	wrong := r.ask(t, "POST", "/api/token", `{"token":"guess"}`, asJSON)
	assert.Equal(t, 401, wrong.code)
	assert.Empty(t, wrong.header.Get("Set-Cookie"))
	assert.Empty(t, r.put)
}

func TestNothingChangesWithoutAToken(t *testing.T) {
	for want, change := range map[string]func(*api.Options){
		"while no token is set":  func(o *api.Options) { o.Token = "" },
		"this server only shows": func(o *api.Options) { o.Put = nil },
	} {
		r := start(t, change)
		for path, body := range map[string]string{"/api/mark": `{"text":"x"}`, "/api/reopen": `{"what":"x"}`, "/api/token": `{"token":""}`, "/": ""} {
			got := r.ask(t, "POST", path, body, asJSON, "Authorization: Bearer ")
			assert.Equal(t, 403, got.code, path)
			assert.Contains(t, sentence(t, got), want)
			assert.Empty(t, got.header.Get("Set-Cookie"))
		}
		assert.Empty(t, r.put)
	}
}

func TestTokensThatWouldNotDo(t *testing.T) {
	require.NoError(t, api.CheckToken(token))
	for bad, want := range map[string]string{
		"short": "got 5 characters, want 16 or more", "0123456789abcde f": "signs in it", "0123456789abcdefé": "signs in it", "0123456789abcdef\n": "signs in it",
	} {
		require.ErrorContains(t, api.CheckToken(bad), want)
		_, err := api.New(api.Options{Token: bad})
		require.ErrorContains(t, err, want)
	}
}

func TestBodies(t *testing.T) {
	r := start(t, nil)
	r.publish(t, 1, 2)
	r.Publish(3, []byte(`{"seq":3,"t_ns":3,"kind":"reopened","data":{"text":"what"}}`))
	for _, c := range []struct {
		path, body, kind string
		code             int
		want             string
	}{
		{"/api/mark", `{"text":"I changed something"}`, asJSON, 202, "mark I changed something"},
		{"/api/mark", ` {"text":"a"} `, "Content-Type: application/json; charset=utf-8", 202, "mark a"},
		{"/api/mark", `{"text":"a"}`, "Content-Type: text/plain", 415, "want application/json"},
		{"/api/mark", `{"text":"a"}`, "Content-Type: ", 415, "want application/json"},
		{"/api/mark", `{"text":"` + strings.Repeat("x", 9000) + `"}`, asJSON, 413, "at most 8192 bytes"},
		{"/api/mark", `{}`, asJSON, 400, `lacks "text"`},
		{"/api/mark", `{"text":null}`, asJSON, 400, `lacks "text"`},
		{"/api/mark", `{"text":1}`, asJSON, 400, "not readable"},
		{"/api/mark", `{"text":"a","what":"b"}`, asJSON, 400, "not readable"},
		{"/api/mark", `{"strikes":2}`, asJSON, 202, `strike {"mark_ns":2000000,"text":"wide \u003copen\u003e \u0026 \"closed\""}`},
		{"/api/mark", `{"strikes":1,"text":"the other one"}`, asJSON, 202,
			`strike {"mark_ns":1000000,"text":"wide \u003copen\u003e \u0026 \"closed\"","why":"the other one"}`},
		{"/api/mark", `{"strikes":3}`, asJSON, 422, "event 3 is no mark, so there is nothing to strike"},
		{"/api/mark", `{"strikes":9}`, asJSON, 422, "event 9 is no mark"},
		{"/api/mark", `{"strikes":0}`, asJSON, 422, "event 0 is no mark"},
		{"/api/mark", `{"strikes":-4}`, asJSON, 422, "event -4 is no mark"},
		{"/api/mark", `{"strikes":2,"text":"a\u0000"}`, asJSON, 422, "control characters"},
		{"/api/mark", `{"strikes":"2"}`, asJSON, 400, "not readable"},
		{"/api/mark", `{"text":"a"}{"text":"b"}`, asJSON, 400, "not one JSON value"},
		{"/api/mark", `["text"]`, asJSON, 400, "no JSON object"},
		{"/api/mark", `null`, asJSON, 400, "no JSON object"},
		{"/api/mark", ``, asJSON, 400, "not one JSON value"},
		{"/api/reopen", `{"what":"moon"}`, asJSON, 422, errNonsense.Error()},
		{"/api/reopen", `{"text":"a"}`, asJSON, 400, "not readable"},
		{"/api/reopen", `{}`, asJSON, 400, `lacks "what"`},
		{"/api/token", `[]`, asJSON, 400, "no JSON object"},
	} {
		got := r.ask(t, "POST", c.path, c.body, c.kind, bearer)
		assert.Equal(t, c.code, got.code, c.body)
		if c.code == 202 {
			assert.Equal(t, c.want, <-r.put)
		} else {
			assert.Contains(t, sentence(t, got), c.want, c.body)
		}
	}
	assert.Empty(t, r.put)
}

func TestPathsAndMethods(t *testing.T) {
	r := start(t, nil)
	for _, c := range []struct {
		method, path string
		code         int
		want         string
	}{
		{"GET", "/nowhere", 404, "there is no /nowhere here"},
		{"GET", "/api/moon", 404, "there is no /api/moon here"},
		{"GET", "/api/state/", 404, "there is no"},
		{"GET", "/api/mark", 405, "got GET, want POST"},
		{"POST", "/api/state", 405, "got POST, want GET or HEAD"},
		{"DELETE", "/api/state", 405, "got DELETE, want GET or HEAD"},
		{"OPTIONS", "/api/mark", 405, "want POST"},
	} {
		got := r.ask(t, c.method, c.path, "", bearer)
		assert.Equal(t, c.code, got.code, c.path)
		assert.Contains(t, sentence(t, got), c.want)
		if c.code == 405 {
			assert.Contains(t, c.want, strings.Split(got.header.Get("Allow"), ",")[0])
		}
	}
	for _, path := range []string{"/", "/healthz", "/api/state", "/api/timeline", "/api/events", "/metrics"} {
		head := r.ask(t, "HEAD", path, "")
		assert.Equal(t, 200, head.code, path)
		assert.Empty(t, head.body)
	}
	assert.Equal(t, 404, start(t, func(o *api.Options) { o.Metrics = nil }).get(t, "/metrics").code)
}

func TestEveryAnswerIsStrict(t *testing.T) {
	r := start(t, nil)
	for _, path := range []string{"/api", "/api/state", "/nowhere", "/metrics"} {
		h := r.get(t, path).header
		assert.Contains(t, h.Get("Content-Security-Policy"), "default-src 'none'", path)
		assert.Equal(t, "nosniff", h.Get("X-Content-Type-Options"))
		assert.Equal(t, "no-referrer", h.Get("Referrer-Policy"))
		assert.Equal(t, "same-origin", h.Get("Cross-Origin-Resource-Policy"))
		assert.Equal(t, "no-store", h.Get("Cache-Control"))
	}
	index := r.get(t, "/api")
	assert.Equal(t, "text/html; charset=utf-8", index.header.Get("Content-Type"))
	for _, route := range r.Routes() {
		_, path, _ := strings.Cut(route, " ")
		assert.Contains(t, index.body, path+"<")
	}
}

// The page may have what this server sends and nothing else, and its files are sent once.
func TestThePageIsStrict(t *testing.T) {
	r := start(t, nil)
	for _, path := range []string{"/api/sheet", "/api/drills"} {
		assert.Equal(t, "gzip", r.ask(t, "GET", path, "", "Accept-Encoding: gzip").header.Get("Content-Encoding"), path)
	}
	for _, path := range []string{"/", "/page/app.js", "/page/app.css"} {
		got := r.ask(t, "GET", path, "")
		policy := got.header.Get("Content-Security-Policy")
		assert.Contains(t, policy, "default-src 'none'")
		assert.Contains(t, policy, "require-trusted-types-for 'script'")
		assert.NotContains(t, policy, "unsafe")
		assert.Equal(t, "nosniff", got.header.Get("X-Content-Type-Options"))
		assert.Equal(t, 304, r.ask(t, "GET", path, "", "If-None-Match: "+got.header.Get("ETag")).code, path)
		packed := r.ask(t, "GET", path, "", "Accept-Encoding: gzip")
		assert.Equal(t, "gzip", packed.header.Get("Content-Encoding"))
		assert.NotEmpty(t, got.body)
	}
}

func TestHeadersAreBounded(t *testing.T) {
	r := start(t, nil)
	conn, err := net.Dial("tcp", r.addr)
	require.NoError(t, err)
	defer func() { _ = conn.Close() }()
	require.NoError(t, conn.SetDeadline(time.Now().Add(20*time.Second)))
	go func() {
		_, _ = fmt.Fprintf(conn, "GET / HTTP/1.1\r\nHost: localhost\r\nX: %s\r\n\r\n", strings.Repeat("x", 100_000))
	}()
	answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
	require.NoError(t, err)
	assert.Equal(t, 431, answer.StatusCode)
	_ = answer.Body.Close()
}
