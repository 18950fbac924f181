package days

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"time"

	"benchproof.example/monitor/api"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill/course"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/metrics"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/operator"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/view"
)

// served is what is served of a sheet, in all lives of all days.
type served struct {
	claims claim.Index
	sheet  *state.Sheet
}

func servedOf(text string, s *sheet.Sheet) func() served {
	return sync.OnceValue(func() served { return served{claim.NewIndex(s), view.Sheet("day", []byte(text), s)} })
}

// serve has the session answer over HTTP, and shows what the program shows.
func (l *life) serve() error {
	drills, served := course.New(l.sheet), l.served()
	server, err := api.New(api.Options{
		State: l.live.State, Metrics: metrics.Handler(l.live.State), Drills: drills, Topics: claim.Topics(l.sheet),
		Sheet: served.sheet, Watched: l.live.LookClosely,
		Headline: func(now *state.State) []state.Part { return view.Headline(now, l.sheet) },
		Next:     func(now *state.State) []state.Next { return view.Next(now, served.claims) },
		Put: func(kind event.InputKind, data []byte) (int64, bool) {
			if l.over || !l.hears {
				return 0, false
			}
			return l.put(event.BenchTap, kind, data)
		},
		Await: l.await,
	})
	if err != nil {
		return err
	}
	l.live.Subscribe(session.Subscriber{
		Shown: func(e session.Shown) {
			drills.Take(&e.Event)
			server.Publish(e.Event.Seq, e.Line)
			server.Wake()
			server.Caused(e.Input, &e.Event)
		},
		AllShown: server.AllCaused, Pictured: server.Pictured,
	})
	l.handler = server.OwnerHandler()
	return nil
}

// await waits by the clock of the day.
func (l *life) await(ctx context.Context, most time.Duration, known ...<-chan struct{}) {
	for until := l.now + int64(most); l.now < until && ctx.Err() == nil && !l.over && !slices.ContainsFunc(known, closed); {
		if !l.sleep(min(until, l.now+5*millisecond)) {
			return
		}
	}
}

func closed(one <-chan struct{}) bool {
	select {
	case <-one:
		return true
	default:
		return false
	}
}

// request asks over HTTP, in a routine. gone: nobody answers, or who asked does not wait.
func (d *day) request(method, path, body string, patience int64) (text string, code int, gone bool) {
	l := d.life
	if l == nil || l.handler == nil || l.over {
		return "", 0, true
	}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	if patience > 0 {
		d.start(l, d.now+patience, func() { cancel() })
	}
	r := httptest.NewRequestWithContext(ctx, method, "http://localhost"+path, strings.NewReader(body))
	if body == "" {
		r.Body = http.NoBody
	} else {
		r.Header.Set("Content-Type", "application/json")
	}
	w := httptest.NewRecorder()
	l.handler.ServeHTTP(w, r)
	return w.Body.String(), w.Code, l.over || ctx.Err() != nil
}

// answer is what comes back for what was put in.
type answer struct {
	Accepted bool   `json:"accepted"`
	Seq      int64  `json:"seq"`
	Recorded bool   `json:"recorded"`
	Error    string `json:"error"`
}

// post puts something in, and notes what was promised of it.
func (d *day) post(path, body string, patience int64, in put) (a answer, gone bool) {
	l, began := d.life, d.now
	text, code, gone := d.request(http.MethodPost, path, body, patience)
	if gone {
		return a, true
	}
	if err := json.Unmarshal([]byte(text), &a); err != nil || a.Accepted != (a.Error == "") {
		d.failed = fmt.Errorf("%s neither takes %s nor refuses it in words: %d and %q", path, body, code, text)
	}
	switch {
	case a.Recorded:
		d.answered = append(d.answered, in)
	case a.Accepted && l.hears && d.wellSince(began) && l.still < began:
		d.failed = fmt.Errorf("%s of %s was not answered as recorded, on a disk that is well: %s", path, body, text)
	}
	return a, false
}

// wellSince reports whether the disk was well since some seconds before a time.
func (d *day) wellSince(began int64) bool {
	return !d.tampered && d.faults.last+5*second < began && d.faults.left == 0 && d.clogged < began
}

func (d *day) mark(h *Happening) {
	body, _ := json.Marshal(map[string]string{"text": h.Text})
	_, _ = d.post("/api/mark", string(body), h.For, put{kind: event.InputMark, data: h.Text})
}

// look asks for all that is shown.
func (d *day) look(h *Happening) {
	for range h.Count {
		for _, path := range []string{
			"/api/state", "/api/claims", "/api/next", "/api/drills", "/api/timeline?after=0&limit=1000", "/api/sheet", "/api/reopen", "/api/sessions",
			"/metrics", "/healthz", "/api/draft", "/api/draft/sheet",
		} {
			text, code, gone := d.request(http.MethodGet, path, "", 0)
			if gone {
				return
			}
			if !looksRight(path, text, code) {
				d.failed = fmt.Errorf("GET %s answers with %d and %q", path, code, text)
			}
		}
		if !d.sleep(d.now + 700*millisecond) {
			return
		}
	}
}

// looksRight reports whether an answer has what was asked for, or says why not.
func looksRight(path, text string, code int) bool {
	if strings.HasPrefix(path, "/api/draft") { // there is a sheet
		return code == http.StatusNotFound && strings.Contains(text, `"error"`)
	}
	return code == http.StatusOK || code == http.StatusServiceUnavailable && text != ""
}

// drill follows a drill, carelessly, also over the ends of lives.
func (d *day) drill(h *Happening, luck *rand.Rand) {
	c := &careless{day: d, name: h.Text, left: h.Count, luck: luck, hands: operator.Operator{
		Sheet: d.sheet, Rand: luck, ConfirmsTilts: true, Bus: "main",
		Home: []string{"inner back", "outer back", "stick gain 1756 over 400ms", "cut off"},
	}}
	c.says(event.StepBegin, "")
	for following := true; following; {
		following = d.sleep(d.now+300*millisecond) && c.follows()
	}
}

// careless is who follows a drill.
type careless struct {
	*day
	name  string
	hands operator.Operator
	luck  *rand.Rand
	left  int // prompts until nothing is heard of it any more, 0: no end
	last  string
}

func (c *careless) says(do, at string) {
	data, _ := json.Marshal(&event.DrillStep{Drill: c.name, Do: do, Prompt: at})
	in := put{kind: event.InputDrillStep, data: string(data)}
	_, _ = c.post("/api/drill", string(data), 0, in)
}

// follows does what the prompt that stands asks for; false: it is over.
func (c *careless) follows() bool {
	text, _, gone := c.request(http.MethodGet, "/api/drills", "", 0)
	if gone {
		return true // it is asked again
	}
	var shown course.Shown
	if err := json.Unmarshal([]byte(text), &shown); err != nil {
		c.failed = fmt.Errorf("/api/drills answers with %q", text)
		return false
	}
	switch run := shown.Running; {
	case run == nil:
		return c.again()
	case run.Drill != c.name:
		return false
	case !run.Confirmed:
		c.says(event.StepConfirm, "")
	case run.Prompt != nil:
		if c.last != run.Prompt.ID && c.left > 0 {
			if c.left--; c.left == 0 {
				return false
			}
		}
		c.last = run.Prompt.ID
		c.does(run.Prompt.ID)
	}
	return true
}

// again begins anew what an end of a life interrupted.
func (c *careless) again() bool {
	if c.luck.IntN(3) == 0 {
		return false
	}
	c.says(event.StepBegin, "")
	return true
}

func (c *careless) does(prompt string) {
	steps := c.hands.Follow(prompt)
	if c.luck.IntN(4) == 0 {
		slips := operator.Slips()
		steps, _ = c.hands.FollowWithSlip(prompt, slips[c.luck.IntN(len(slips))])
	}
	for _, s := range steps {
		if s.Wait > 0 && !c.sleep(c.now+int64(s.Wait)) {
			return
		}
		if s.Do != "" {
			_ = c.bench.Say(max(c.now, c.bench.Now()), s.Do) // a stick that is held away can't be told so twice
		}
		switch {
		case s.Enter:
			c.says(event.StepDone, prompt)
		case s.Key != "":
			c.says(s.Key, prompt)
		}
	}
	if c.sleep(c.now + 1500*millisecond) {
		c.says(event.StepDone, prompt)
	}
}
