package api_test

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"mime"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
)

// tighten lets no object have members that its schema does not name. The
// description itself allows them, for programs that meet a newer benchproof.
func tighten(node any) {
	switch n := node.(type) {
	case map[string]any:
		if _, ok := n["properties"].(map[string]any); ok && n["additionalProperties"] == nil {
			n["additionalProperties"] = false
		}
		for _, below := range n {
			tighten(below)
		}
	case []any:
		for _, below := range n {
			tighten(below)
		}
	}
}

// described is the description as it is served, tightened, in the hands of a
// general validator of others.
func described(t testing.TB, r *rig) *openapi3.T {
	served := r.get(t, "/api/openapi.json")
	require.Equal(t, 200, served.code)
	var all map[string]any
	require.NoError(t, json.Unmarshal([]byte(served.body), &all))
	tighten(all)
	tight, err := json.Marshal(all)
	require.NoError(t, err)
	doc, err := openapi3.NewLoader().LoadFromData(tight)
	require.NoError(t, err)
	require.NoError(t, doc.Validate(context.Background(), openapi3.IsOpenAPI31OrLater()))
	return doc
}

// withParameter are the paths of the description that have a parameter in them.
var withParameter = []struct {
	path, name string
	is         *regexp.Regexp
}{
	{"/guide/{page}", "page", regexp.MustCompile(`^/guide/(.+)$`)},
	{"/page/{file}", "file", regexp.MustCompile(`^/page/(.+)$`)},
	{"/sessions/{name}/report", "name", regexp.MustCompile(`^/sessions/([^/]+)/report$`)},
}

// describedPath is the path of the description that a request goes to.
func describedPath(request *http.Request) (path string, parameters map[string]string) {
	for _, p := range withParameter {
		if m := p.is.FindStringSubmatch(request.URL.Path); m != nil {
			return p.path, map[string]string{p.name: m[1]}
		}
	}
	return request.URL.Path, nil
}

// asked is a request as the validator wants it.
func asked(doc *openapi3.T, request *http.Request) *openapi3filter.RequestValidationInput {
	path, parameters := describedPath(request)
	item := doc.Paths.Value(path)
	return &openapi3filter.RequestValidationInput{
		Request: request, QueryParams: request.URL.Query(), PathParams: parameters,
		Route:   &routers.Route{Spec: doc, Path: path, PathItem: item, Method: request.Method, Operation: item.GetOperation(request.Method)},
		Options: &openapi3filter.Options{AuthenticationFunc: openapi3filter.NoopAuthenticationFunc, IncludeResponseStatus: true},
	}
}

// objection is what the validator has against an answer, or nil.
func objection(doc *openapi3.T, request *http.Request, code int, header http.Header, body string) error {
	in := asked(doc, request)
	described := in.Route.Operation.Responses.Status(code)
	if described == nil {
		return fmt.Errorf("%s %s: the code %d is not described", request.Method, request.URL.Path, code)
	}
	kind, _, err := mime.ParseMediaType(header.Get("Content-Type"))
	if code != http.StatusNoContent && (err != nil || described.Value.Content[kind] == nil) {
		return fmt.Errorf("%s %s: the content type %q is not described", request.Method, request.URL.Path, kind)
	}
	in.Options.ExcludeResponseBody = kind != "application/json" // it reads no other
	return openapi3filter.ValidateResponse(context.Background(), &openapi3filter.ResponseValidationInput{
		RequestValidationInput: in, Status: code, Header: header, Body: io.NopCloser(strings.NewReader(body)), Options: in.Options,
	})
}

// rich is a moment in which every member has something in it.
func rich() *state.State {
	now := well()
	now.Drill, now.Runs, now.Faults, now.Seq = "order", 2, 1, 12
	now.Taps = append(now.Taps, state.Tap{Name: "second", Kind: "bus", Why: "unplugged", LastNS: -1, Port: event.Port{Port: "x"}})
	now.Taps[0].Periods.Add(7_000_000)
	now.Recorder.Trouble = "no space left on device"
	return &now
}

type exchange struct {
	method, path, body string
	headers            []string
	code               int
}

// Exchanges for every path that is described: what is asked, and the code that
// must come.
var exchanges = []exchange{
	{"GET", "/", "", nil, 200},
	{"GET", "/page/app.js", "", nil, 200},
	{"GET", "/page/app.css", "", nil, 200},
	{"GET", "/page/icon.svg", "", nil, 200},
	{"GET", "/page/moon", "", nil, 404},
	{"GET", "/api", "", nil, 200},
	{"GET", "/guide", "", nil, 200},
	{"GET", "/guide/wiring", "", nil, 200},
	{"GET", "/guide/wiring.svg", "", nil, 200},
	{"GET", "/guide/timeline.schema.json", "", nil, 200},
	{"GET", "/guide/moon", "", nil, 404},
	{"GET", "/healthz", "", nil, 503},
	{"GET", "/metrics", "", nil, 200},
	{"GET", "/api/state", "", nil, 200},
	{"GET", "/api/claims", "", nil, 200},
	{"GET", "/api/sheet", "", nil, 200},
	{"GET", "/api/next", "", nil, 200},
	{"GET", "/api/drills", "", nil, 200},
	{"GET", "/api/reopen", "", nil, 200},
	{"GET", "/api/timeline", "", nil, 200},
	{"GET", "/api/timeline?after=3&limit=2", "", nil, 200},
	{"GET", "/api/timeline?after=99", "", nil, 400},
	{"GET", "/api/events?after=3", "", nil, 200},
	{"GET", "/api/events", "", []string{"Last-Event-ID: 4"}, 200},
	{"GET", "/api/events?after=99", "", nil, 400},
	{"GET", "/api/live?after=3", "", nil, 200},
	{"GET", "/api/live", "", []string{"Last-Event-ID: 4"}, 200},
	{"GET", "/api/live?after=99", "", nil, 400},
	{"GET", "/api/trace?from_ns=0&to_ns=100000000", "", nil, 404},
	{"GET", "/api/trace?from_ns=0", "", nil, 400},
	{"GET", "/api/openapi.json", "", nil, 200},
	{"GET", "/api/state", "", []string{"Host: evil.example"}, 421},
	{"GET", "/api/state", "", []string{"Origin: http://evil.example"}, 403},
	{"POST", "/api/mark", `{"text":"a"}`, []string{asJSON, bearer}, 202},
	{"POST", "/api/mark", `{"text":"a"}`, []string{asJSON}, 401},
	{"POST", "/api/mark", `{}`, []string{asJSON, bearer}, 400},
	{"POST", "/api/mark", `a`, []string{"Content-Type: text/plain", bearer}, 415},
	{"POST", "/api/mark", `{"text":" "}`, []string{asJSON, bearer}, 422},
	{"POST", "/api/mark", tooLong, []string{asJSON, bearer}, 413},
	{"POST", "/api/mark", `{"strikes":3,"text":"the other one"}`, []string{asJSON, bearer}, 202},
	{"POST", "/api/mark", `{"strikes":30}`, []string{asJSON, bearer}, 422},
	{"POST", "/api/mark", `{"text":"late"}`, []string{asJSON, bearer}, 503},
	{"POST", "/api/reopen", `{"what":"inner"}`, []string{asJSON, bearer}, 202},
	{"POST", "/api/papers", `{"entry":"bound","is":"","by":"Ann","date":"2026-05-02"}`, []string{asJSON, bearer}, 202},
	{"POST", "/api/papers", `{"entry":"bound","is":"","by":"Ann","date":"May"}`, []string{asJSON, bearer}, 422},
	{"POST", "/api/papers", `{"entry":"bound","is":"","by":"Ann","date":"2026-05-02"}`, []string{asJSON}, 401},
	{"POST", "/api/papers", `{"entry":1}`, []string{asJSON, bearer}, 400},
	{"POST", "/api/papers", tooLong, []string{asJSON, bearer}, 413},
	{"POST", "/api/papers", `a`, []string{"Content-Type: text/plain", bearer}, 415},
	{"POST", "/api/papers", `{"entry":"bound","is":"late","by":"Ann","date":"2026-05-02"}`, []string{asJSON, bearer}, 503},
	{"POST", "/api/reopen", `{"what":"moon"}`, []string{asJSON, bearer}, 422},
	{"POST", "/api/reopen", tooLong, []string{asJSON, bearer}, 413},
	{"POST", "/api/reopen", `{"what":"inner"}`, []string{asJSON}, 401},
	{"POST", "/api/reopen", `{}`, []string{asJSON, bearer}, 400},
	{"POST", "/api/reopen", `a`, []string{"Content-Type: text/plain", bearer}, 415},
	{"POST", "/api/reopen", `{"what":"late"}`, []string{asJSON, bearer}, 503},
	{"POST", "/api/drill", `{"drill":"mode","do":"begin","by":"Ann","asks":true}`, []string{asJSON, bearer}, 202},
	{"POST", "/api/drill", `{"drill":"mode","do":"done","prompt":"mode/damping/second"}`, []string{asJSON, bearer}, 202},
	{"POST", "/api/drill", `{"drill":"dance","do":"begin"}`, []string{asJSON, bearer}, 409},
	{"POST", "/api/drill", `{"drill":"mode"}`, []string{asJSON, bearer}, 400},
	{"POST", "/api/drill", `{"drill":"mode","do":"begin","by":"A\u0000"}`, []string{asJSON, bearer}, 422},
	{"POST", "/api/drill", `{"drill":"mode","do":"begin"}`, []string{asJSON}, 401},
	{"POST", "/api/drill", tooLong, []string{asJSON, bearer}, 413},
	{"POST", "/api/drill", `a`, []string{"Content-Type: text/plain", bearer}, 415},
	{"POST", "/api/drill", `{"drill":"late","do":"begin"}`, []string{asJSON, bearer}, 503},
	{"POST", "/api/tilt", `{"sentences":"$PBTI,1,phone,0,R*00\r\n"}`, []string{asJSON, bearer}, 204},
	{"POST", "/api/tilt", `{"sentences":"$PBTI,1,late,0,R*00\r\n"}`, []string{asJSON, bearer}, 503},
	{"POST", "/api/tilt", `{"sentences":"$PBTI,1,phone,0,R*00"}`, []string{asJSON, bearer}, 422},
	{"POST", "/api/tilt", `{"sentences":"$PBTI\u0007\r\n"}`, []string{asJSON, bearer}, 422},
	{"POST", "/api/tilt", `{"sentences":"` + strings.Repeat(`$\r\n`, 65) + `"}`, []string{asJSON, bearer}, 422},
	{"POST", "/api/tilt", `{"sentences":"$` + strings.Repeat("a", 80) + `\r\n"}`, []string{asJSON, bearer}, 422},
	{"POST", "/api/tilt", `{}`, []string{asJSON, bearer}, 400},
	{"POST", "/api/tilt", `{"sentences":"$\r\n"}`, []string{asJSON}, 401},
	{"POST", "/api/tilt", tooLong, []string{asJSON, bearer}, 413},
	{"POST", "/api/tilt", `a`, []string{"Content-Type: text/plain", bearer}, 415},
	{"GET", "/api/draft", "", nil, 200},
	{"GET", "/api/draft/sheet", "", nil, 200},
	{"POST", "/api/draft", `{"do":"begin"}`, []string{asJSON, bearer}, 200},
	{"POST", "/api/draft", `{"do":"begin"}`, []string{asJSON, bearer}, 409},
	{"POST", "/api/draft", `{"do":"answer","text":"yes","question":"cautions"}`, []string{asJSON, bearer}, 200},
	{"POST", "/api/draft", `{"do":"answer","text":"yes","question":"cautions"}`, []string{asJSON, bearer}, 409},
	{"GET", "/api/draft/sheet", "", nil, 404},
	{"POST", "/api/draft", `{}`, []string{asJSON, bearer}, 400},
	{"POST", "/api/draft", `{"do":"answer","text":"` + strings.Repeat("x", 501) + `"}`, []string{asJSON, bearer}, 422},
	{"POST", "/api/draft", `{"do":"begin"}`, []string{asJSON}, 401},
	{"POST", "/api/draft", tooLong, []string{asJSON, bearer}, 413},
	{"POST", "/api/draft", `a`, []string{"Content-Type: text/plain", bearer}, 415},
	{"GET", "/api/sessions", "", nil, 200},
	{"GET", "/sessions/2026-05-02-110000/report", "", nil, 200},
	{"GET", "/sessions/moon/report", "", nil, 404},
	{"GET", "/sessions/broken/report", "", nil, 503},
	{"GET", "/api/token", "", nil, 200},
	{"POST", "/api/token", `{"token":"` + token + `"}`, []string{asJSON}, 204},
	{"POST", "/api/token", `{"token":"guess"}`, []string{asJSON}, 401},
	{"POST", "/api/token", `{`, []string{asJSON}, 400},
	{"POST", "/api/token", tooLong, []string{asJSON}, 413},
	{"POST", "/api/token", `a`, []string{"Content-Type: text/plain"}, 415},
}

var tooLong = `{"token":"` + strings.Repeat("x", 9000) + `"}`

func (x exchange) request(ctx context.Context, t testing.TB, url string) *http.Request {
	request, err := http.NewRequestWithContext(ctx, x.method, url+x.path, strings.NewReader(x.body))
	require.NoError(t, err)
	for _, h := range x.headers {
		name, value, _ := strings.Cut(h, ": ")
		if name == "Host" {
			request.Host = value
		}
		request.Header.Set(name, value)
	}
	return request
}

// try asks, and holds the answer to the description. It returns "METHOD path code".
func (x exchange) try(t *testing.T, r *rig, doc *openapi3.T) string {
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	request := x.request(ctx, t, r.url)
	answer, err := r.http.Do(request)
	require.NoError(t, err)
	defer func() { _ = answer.Body.Close() }()
	var body []byte
	if answer.Header.Get("Content-Type") != "text/event-stream" { // which does not end
		body, err = io.ReadAll(answer.Body)
		require.NoError(t, err)
	}
	assert.Equal(t, x.code, answer.StatusCode, "%v", x)
	require.NoError(t, objection(doc, request, answer.StatusCode, answer.Header, string(body)), "%v", x)
	if x.code < 400 || x.path == "/healthz" {
		require.NoError(t, openapi3filter.ValidateRequest(ctx, asked(doc, x.request(ctx, t, r.url))), "%v", x)
	}
	path, _ := describedPath(request)
	return fmt.Sprintf("%s %s %d", x.method, path, x.code)
}

// descriptions are "METHOD path code" of all that the description has, and "METHOD path".
func descriptions(doc *openapi3.T) (codes, operations []string) {
	for path, item := range doc.Paths.Map() {
		for method, o := range item.Operations() {
			operations = append(operations, method+" "+path)
			for code := range o.Responses.Map() {
				codes = append(codes, fmt.Sprintf("%s %s %s", method, path, code))
			}
		}
	}
	return codes, operations
}

// Each path and code of the description is the program's, which is tried, and each of the
// program's is described.
func TestAnswersAreAsDescribed(t *testing.T) {
	r := start(t, func(o *api.Options) { o.Draft = drafted(t) })
	r.publish(t, 1, 12)
	r.now.Store(rich())
	doc := described(t, r)
	codes, operations := descriptions(doc)
	assert.ElementsMatch(t, r.Routes(), operations, "what is served is described, and what is described is served")
	tried := map[string]bool{}
	for _, x := range exchanges {
		tried[x.try(t, r, doc)] = true
	}
	for _, o := range operations { // whatever is asked for
		method, path, _ := strings.Cut(o, " ")
		tried[exchange{method, path, "", []string{"Host: evil.example"}, 421}.try(t, r, doc)] = true
		tried[exchange{method, path, "", []string{"Origin: http://evil.example"}, 403}.try(t, r, doc)] = true
	}
	r.now.Store(ptr(well()))
	tried[exchange{"GET", "/healthz", "", nil, 200}.try(t, r, doc)] = true
	full := start(t, func(o *api.Options) { o.Streams, o.Metrics, o.Sheet, o.Drills = 1, nil, nil, nil })
	full.follow(t, "")
	require.Eventually(t, func() bool { return full.Streams() == 1 }, 10*time.Second, time.Millisecond)
	tried[exchange{"GET", "/api/events", "", nil, 503}.try(t, full, doc)] = true
	tried[exchange{"GET", "/api/live", "", nil, 503}.try(t, full, doc)] = true
	tried[exchange{"GET", "/metrics", "", nil, 404}.try(t, full, doc)] = true
	tried[exchange{"GET", "/api/sheet", "", nil, 404}.try(t, full, doc)] = true
	traced := start(t, func(o *api.Options) { o.Traces = newMoved(t) })
	tried[exchange{"GET", "/api/trace?from_ns=0&to_ns=100000000", "", nil, 200}.try(t, traced, doc)] = true
	tried[exchange{"GET", "/api/trace?from_ns=70000000000&to_ns=71000000000", "", nil, 503}.try(t, traced, doc)] = true
	tried[exchange{"GET", "/api/drills", "", nil, 404}.try(t, full, doc)] = true
	tried[exchange{"GET", "/api/draft", "", nil, 404}.try(t, full, doc)] = true
	tried[exchange{"POST", "/api/draft", `{"do":"begin"}`, []string{asJSON, bearer}, 404}.try(t, full, doc)] = true
	without := start(t, func(o *api.Options) { o.Tilt = nil })
	tried[exchange{"POST", "/api/tilt", `{"sentences":"$\r\n"}`, []string{asJSON, bearer}, 404}.try(t, without, doc)] = true
	require.NoError(t, os.Remove(full.file))
	tried[exchange{"GET", "/api/timeline", "", nil, 503}.try(t, full, doc)] = true
	tried[exchange{"GET", "/api/sessions", "", nil, 503}.try(t, start(t, func(o *api.Options) { o.Past = noPast{} }), doc)] = true
	guarded := start(t, func(o *api.Options) { o.ReadToken = true })
	for _, o := range operations {
		if method, path, _ := strings.Cut(o, " "); method == "GET" && !slices.Contains(guarded.OpenRoutes(), path) {
			tried[exchange{method, path, "", nil, 401}.try(t, guarded, doc)] = true
		}
	}
	assert.ElementsMatch(t, codes, slices.Collect(maps.Keys(tried)))
}

func ptr[T any](v T) *T { return &v }

// Codes that are the program's own stand in its source by name.
func TestEveryCodeOfTheSourceIsDescribed(t *testing.T) {
	codes, _ := descriptions(described(t, start(t, nil)))
	everywhere := map[int]bool{ // of what is not on the list of paths
		http.StatusMethodNotAllowed: true, http.StatusInternalServerError: true,
	}
	for _, c := range codes {
		n, err := strconv.Atoi(c[strings.LastIndexByte(c, ' ')+1:])
		require.NoError(t, err)
		everywhere[n] = true
	}
	byText := map[string]int{}
	for n := range 600 {
		byText[strings.NewReplacer(" ", "", "-", "").Replace(http.StatusText(n))] = n
	}
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	found := 0
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, m := range regexp.MustCompile(`http\.Status(\w+)`).FindAllStringSubmatch(string(text), -1) {
			found++
			assert.True(t, everywhere[byText[m[1]]], "%s: %s", file, m[0])
		}
	}
	assert.Greater(t, found, 20)
}

// Before the first byte, and without a token.
func TestEarlyAnswersAreAsDescribed(t *testing.T) {
	r := start(t, func(o *api.Options) { o.Token = "" })
	taps := []state.Tap{{Name: "main", Kind: "bus", LastNS: -1}, {Name: "leads", Kind: "pulses", LastNS: -1, Board: &state.Board{}}}
	r.now.Store(&state.State{Taps: taps, Claims: []state.Claim{{ID: "a", Verdict: "open"}}})
	doc := described(t, r)
	for _, x := range []exchange{
		{"GET", "/api/state", "", nil, 200}, {"GET", "/api/claims", "", nil, 200}, {"GET", "/healthz", "", nil, 503},
		{"GET", "/api/timeline", "", nil, 200}, {"POST", "/api/mark", `{"text":"a"}`, []string{asJSON}, 403},
	} {
		got := r.ask(t, x.method, x.path, x.body, x.headers...)
		assert.Equal(t, x.code, got.code)
		assert.NoError(t, objection(doc, x.request(t.Context(), t, r.url), got.code, got.header, got.body), x.path)
	}
}

func TestLinesAreAsDescribed(t *testing.T) {
	r := start(t, nil)
	r.publish(t, 1, 3)
	event := described(t, r).Components.Schemas["Event"].Value
	visit := func(text string) error {
		var members any
		require.NoError(t, json.Unmarshal([]byte(text), &members))
		return event.VisitJSON(members, openapi3.EnableJSONSchema2020())
	}
	for text := range strings.Lines(r.get(t, "/api/timeline").body) {
		require.NoError(t, visit(text))
		require.Error(t, visit(strings.Replace(text, "{", `{"new":1,`, 1)))
		require.Error(t, visit(strings.Replace(text, `"seq"`, `"number"`, 1)))
	}
}

// The check must be able to catch something.
func TestWhatIsNotDescribedIsFound(t *testing.T) {
	r := start(t, nil)
	r.now.Store(rich())
	doc := described(t, r)
	now := r.get(t, "/api/state")
	request := exchange{"GET", "/api/state", "", nil, 200}.request(t.Context(), t, r.url)
	require.NoError(t, objection(doc, request, 200, now.header, now.body))
	for was, is := range map[string]string{
		`"model":`:                             `"novel":1,"model":`,
		`"name":`:                              `"novel":1,"name":`,
		`"number":`:                            `"novel":1,"number":`,
		`"counts":`:                            `"novel":1,"counts":`,
		`"folder":`:                            `"novel":1,"folder":`,
		`"reason":`:                            `"novel":1,"reason":`,
		`"settle":`:                            `"novel":1,"settle":`,
		`"settings":`:                          `"novel":1,"settings":`,
		`"build":"test",`:                      ``,
		`"seq":12`:                             `"seq":"12"`,
		`"evidence":[{"from_ns":1,"to_ns":2}]`: `"evidence":null`,
		`"verdict":"open"`:                     `"verdict":"closed"`,
	} {
		changed := strings.Replace(now.body, was, is, 1)
		require.NotEqual(t, now.body, changed, was)
		assert.Error(t, objection(doc, request, 200, now.header, changed), was)
	}
	assert.ErrorContains(t, objection(doc, request, 418, now.header, `{"error":"x"}`), "is not described")
	assert.Error(t, objection(doc, request, 421, now.header, `{"error":""}`))
	assert.ErrorContains(t, objection(doc, request, 200, http.Header{"Content-Type": {"text/html"}}, ""), "is not described")
}
