package api

import (
	_ "embed" // openapi.json
	"fmt"
	"html/template"
	"net/http"
	"strings"
	"time"

	"benchproof.example/monitor/text"
)

const tokenPath = "/api/token"

// route is one path and what it answers to.
type route struct {
	path  string
	get   http.HandlerFunc // also answers HEAD; nil: neither
	post  http.HandlerFunc
	about string // for the index
	open  bool   // shows nothing of the session: where reading needs the token, this does not
}

func (d *door) routes() []route {
	return []route{
		{path: "/", get: pageFile("index.html"), about: "the live page", open: true},
		{path: "/page/{file}", get: pageAsset, about: "what the live page is made of", open: true},
		{path: "/api", get: d.index, about: "this list"},
		{path: "/guide", get: guideTopics, about: "the guide that travels with this program"},
		{path: "/guide/{page}", get: guideTopic, about: "a topic of it, or a picture"},
		{path: "/healthz", get: d.health, about: "200, or 503 and which tap or disk is unwell", open: true},
		{path: "/metrics", get: d.metrics, about: "Prometheus metrics"},
		{path: "/api/state", get: d.state, about: "the present moment: taps, channels, claims, recorder"},
		{path: "/api/sheet", get: d.sheet, about: "the lines of the set-up sheet, and the claims that each of them states"},
		{path: "/api/next", get: d.next, about: "what is to be done next, and the claims that it would settle"},
		{path: "/api/claims", get: d.claims, about: "the claims as judged so far"},
		{path: "/api/timeline", get: d.timeline, about: "events as JSON Lines: ?after=NUMBER&limit=COUNT"},
		{path: "/api/events", get: d.events, about: "events as they come, as server-sent events: ?after=NUMBER"},
		{path: "/api/live", get: d.live, about: "all that the live page shows, as server-sent events: ?after=NUMBER"},
		{path: "/api/trace", get: d.trace, about: "what moved in a stretch, in columns: ?from_ns=&to_ns=&columns=COUNT"},
		{path: "/api/openapi.json", get: description, about: "all of this, described for programs"},
		{path: "/api/mark", post: d.mark, about: "a dated remark; over the network it needs the token"},
		{path: "/api/drills", get: d.drills, about: "the drills that the sheet allows, and how far the one under way is"},
		{path: "/api/reopen", get: d.topics, post: d.reopen, about: "what was changed is to be seen anew; needs the token too"},
		{path: "/api/papers", post: d.papers, about: "an entry of the model's papers changed; needs the token too"},
		{path: "/api/drill", post: d.drill, about: "a step of a drill; needs the token too"},
		{path: "/api/tilt", post: d.tilt, about: "sentences of a phone that lies on the model; needs the token too"},
		{path: "/api/draft", get: d.draft, post: d.draftStep, about: "a first sheet by doing, where the session listens without one; a step needs the token too"},
		{path: "/api/draft/sheet", get: d.draftSheet, about: "the sheet that was drafted last"},
		{path: "/api/sessions", get: d.sessions, about: "sessions beside this one, the latest first"},
		{path: "/sessions/{name}/report", get: d.report, about: "the bench report of one of them"},
		{path: tokenPath, get: d.may, post: d.takeToken, about: "what you may do here; POST gives a page a cookie for the token", open: true},
	}
}

// handler is everything, outermost first: what each answer carries, whose name
// it is, where it comes from, who may change things, what is asked for.
func (d *door) handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		refuse(w, http.StatusNotFound, fmt.Sprintf("there is no %s here: /api lists what there is", shorten(r.URL.Path)))
	})
	for _, route := range d.routes() {
		pattern := route.path
		if pattern == "/" {
			pattern = "/{$}"
		}
		mux.Handle(pattern, d.checkReader(route))
	}
	return d.prepare(d.checkHost(d.checkOrigin(d.checkToken(mux))))
}

// ServeHTTP answers to the methods that the path has.
func (route route) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	var allowed []string
	if route.get != nil {
		allowed = append(allowed, http.MethodGet, http.MethodHead)
	}
	if route.post != nil {
		allowed = append(allowed, http.MethodPost)
	}
	switch {
	case route.get != nil && reads(r):
		route.get(w, r)
	case route.post != nil && r.Method == http.MethodPost:
		route.post(w, r)
	default:
		w.Header().Set("Allow", strings.Join(allowed, ", "))
		refuse(w, http.StatusMethodNotAllowed, fmt.Sprintf("got %s, want %s", shorten(r.Method), strings.Join(allowed, " or ")))
	}
}

// prepare sets what every answer carries, and its deadline.
func (d *door) prepare(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Cache-Control", "no-store")
		h.Set("Content-Security-Policy", "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("X-Content-Type-Options", "nosniff")
		if d.crowded() {
			h.Set("Connection", "close")
		}
		// A deadline for the whole server would cut streams off, which set their own.
		_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(writePatience))
		d.bodyInTime(next, w, r)
	})
}

func (s *Server) metrics(w http.ResponseWriter, r *http.Request) {
	if s.opt.Metrics == nil {
		refuse(w, http.StatusNotFound, "this server has no metrics")
		return
	}
	s.opt.Metrics.ServeHTTP(w, r)
}

//go:embed openapi.json
var openAPI []byte

func description(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "application/json")
	_, _ = w.Write(openAPI)
}

var indexPage = template.Must(template.New("index").Parse(`<!DOCTYPE html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>benchproof: {{.Model}}</title>
<h1>benchproof: {{.Model}}</h1>
<dl>
{{- range .Routes}}
<dt>{{if .Link}}<a href="{{.Path}}">{{.Path}}</a>{{else}}{{.Method}} {{.Path}}{{end}}</dt>
<dd>{{.About}}</dd>
{{- end}}
</dl>
`))

func (d *door) index(w http.ResponseWriter, _ *http.Request) {
	type row struct {
		Link                bool
		Method, Path, About string
	}
	var rows []row
	for _, route := range d.routes() {
		method := http.MethodGet
		if route.get == nil {
			method = http.MethodPost
		}
		rows = append(rows, row{route.get != nil && !strings.Contains(route.path, "{"), method, route.path, route.about})
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_ = indexPage.Execute(&text.Writer{To: w}, map[string]any{"Model": d.opt.State().Model, "Routes": rows})
}
