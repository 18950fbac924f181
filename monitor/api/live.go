package api

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"path/filepath"
	"time"

	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// How often a page that looks is told of the present: at most, so that a screen of 30 pictures
// a second is served, and at least, so that it notices within a second that nothing comes.
const (
	liveEvery = 30 * time.Millisecond
	liveBeat  = 400 * time.Millisecond
)

// live is the one stream of the live page: what this visitor may do, then the present, the
// claims that changed and the events of the timeline, as they come. Nothing is sent for each
// visitor that all of them get: the present is encoded once.
func (d *door) live(w http.ResponseWriter, r *http.Request) {
	c, ok := d.open(w, r)
	if !ok {
		return
	}
	defer func() { <-d.streams }()
	may := d.mayDo(w, r)
	c.begin()
	if r.Method == http.MethodHead {
		return
	}
	d.present.looks(d.opt.Watched, 1)
	defer d.present.looks(d.opt.Watched, -1)
	from := d.traces.enter(d.opt.Traces)
	defer d.traces.leave()
	v := viewer{stream: c, traces: from}
	if v.greet(d.hello(may, v.after)) == nil {
		d.show(r.Context(), &v)
	}
}

// hello is what a page learns once, at the beginning of a stream.
type hello struct {
	Build   string    `json:"build"`
	Model   string    `json:"model"`
	Session string    `json:"session"` // the name of its folder
	Runs    int64     `json:"runs"`
	After   int64     `json:"after"` // events behind this one follow
	NowNS   unit.Time `json:"now_ns"`
	WallNS  int64     `json:"wall_ns"`
	Change  bool      `json:"change"` // this visitor may change things
	Token   bool      `json:"token"`  // with the token it may more
}

func (d *door) hello(may mayAnswer, after int64) []byte {
	s := d.opt.State()
	text, _ := json.Marshal(hello{ // of plain fields: it can't fail
		Build: s.Build, Model: s.Model, Session: sessionName(&s), Runs: s.Runs, After: after, NowNS: s.NowNS, WallNS: s.WallNS,
		Change: may.Change, Token: may.Token,
	})
	return text
}

// viewer is a page that looks.
type viewer struct {
	stream
	claims int64 // the version of the claims that it has
	next   int64 // and of what to do next
	traces int64 // the latest message of columns that it has
	draft  int64 // and of the draft; 0: none yet
}

// retry is how long a browser waits before it asks anew where the stream broke off: its own 3 to
// 5 s are long at a bench.
const retry = time.Second

// greet sends the first event. It has the number behind which events follow: a browser whose
// stream breaks before one came names that, and is not told only what comes later.
func (v *viewer) greet(data []byte) error {
	frame := fmt.Appendf(nil, "retry: %d\nid: %d\nevent: hello\ndata: %s\n\n", retry.Milliseconds(), v.after, data)
	return v.write(1, func(int) []byte { return frame })
}

// send sends one event of the stream that has no number.
func (v *viewer) send(name string, data []byte) error {
	frame := make([]byte, 0, len(name)+len(data)+len("event: \ndata: \n\n"))
	frame = append(append(append(frame, "event: "...), name...), "\ndata: "...)
	frame = append(append(frame, data...), "\n\n"...)
	return v.write(1, func(int) []byte { return frame })
}

// show sends what comes until the client or the server ends.
func (s *Server) show(ctx context.Context, v *viewer) {
	for ctx.Err() == nil {
		news, pictures, drafted := s.news.wait(), s.pictures.wait(), s.draftChanges()
		if s.tell(ctx, v) != nil {
			return
		}
		s.opt.Await(ctx, liveEvery)
		s.opt.Await(ctx, liveBeat-liveEvery, news, pictures, drafted)
	}
	s.last(&v.stream)
}

// tell sends all that is new to a viewer: first what happened, then what is so now.
func (s *Server) tell(ctx context.Context, v *viewer) error {
	if err := s.tellEvents(ctx, v); err != nil {
		return err
	}
	m := s.present.moment(s)
	if m.version != v.claims {
		if err := v.send("claims", m.since(v.claims)); err != nil {
			return err
		}
		v.claims = m.version
	}
	if m.stepped != v.next {
		if err := v.send("next", m.next); err != nil {
			return err
		}
		v.next = m.stepped
	}
	traces, latest := s.traces.since(s.opt.Traces, v.traces)
	v.traces = latest
	for _, columns := range traces {
		if err := v.send("trace", columns); err != nil {
			return err
		}
	}
	if err := s.tellDraft(v); err != nil {
		return err
	}
	return v.send("now", m.now)
}

// tellEvents sends what happened since.
func (s *Server) tellEvents(ctx context.Context, v *viewer) error {
	for {
		list, err := s.page(ctx, v.room, v.after, streamPage)
		if err != nil || s.ahead(v.after) {
			return errOtherSession
		}
		if len(list) == 0 {
			return nil
		}
		if err := v.stream.send(list); err != nil {
			return err
		}
	}
}

// sessionName is the name of a session's folder.
func sessionName(s *state.State) string {
	if s.Recorder.Folder == "" {
		return ""
	}
	return filepath.Base(s.Recorder.Folder)
}
