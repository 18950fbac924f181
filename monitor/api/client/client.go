// Package client is how the commands reach a daemon that runs: HTTP over the socket in
// the session's folder, which needs no token.
package client

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"time"

	"benchproof.example/monitor/api/socket"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

const (
	// base is any name of this machine that the daemon answers to: the way is the socket.
	base = "http://localhost"
	// patience is for one answer; the daemon waits for an event for three seconds.
	patience  = 10 * time.Second
	maxAnswer = 64 << 20 // bytes
)

// ErrNobody says that no daemon answers.
var ErrNobody = errors.New("no running session answers")

// ErrEnded says that the daemon stopped, or cut the connection.
var ErrEnded = errors.New("the daemon has ended the connection")

// Refused is why a daemon did not do what it was asked.
type Refused struct {
	Sentence string
	Code     int   // HTTP status
	Seq      int64 // number of the event that says so, 0 where none does
}

func (r *Refused) Error() string { return r.Sentence }

// Client asks the daemon of one session. It may be used by several goroutines.
type Client struct {
	Folder string // of the session
	http   *http.Client
}

// Dial makes a client for the daemon of a session's folder, which must answer.
func Dial(folder string) (*Client, error) {
	if _, err := socket.Path(folder); err != nil {
		return nil, err
	}
	conn, err := socket.Dial(context.Background(), folder)
	if err != nil {
		return nil, fmt.Errorf("%w in %s: start one with benchproof watch, or name another folder with --session", ErrNobody, folder)
	}
	_ = conn.Close()
	dial := func(ctx context.Context, _, _ string) (net.Conn, error) { return socket.Dial(ctx, folder) }
	return &Client{Folder: folder, http: &http.Client{Transport: &http.Transport{DialContext: dial, ResponseHeaderTimeout: patience}}}, nil
}

// Close lets go of the connections that are not in use.
func (c *Client) Close() { c.http.CloseIdleConnections() }

// Accepted is what a daemon answers to what it took.
type Accepted struct {
	Seq      int64 `json:"seq"`      // number of its event, 0 where there is none or it is not known yet
	Recorded bool  `json:"recorded"` // no power cut takes it any more; false: it was heard and is not recorded, or not yet
}

// Mark puts a dated remark in.
func (c *Client) Mark(ctx context.Context, text string) (Accepted, error) {
	return c.change(ctx, "/api/mark", map[string]string{"text": text})
}

// Strike takes back the words of a mark, by the number of its event; it stays, struck through.
// why is "" where nobody says.
func (c *Client) Strike(ctx context.Context, seq int64, why string) (Accepted, error) {
	body := map[string]any{"strikes": seq}
	if why != "" {
		body["text"] = why
	}
	return c.change(ctx, "/api/mark", body)
}

// Reopen says that something was changed and is to be seen anew.
func (c *Client) Reopen(ctx context.Context, what string) (Accepted, error) {
	return c.change(ctx, "/api/reopen", map[string]string{"what": what})
}

// Papers puts an entry of the model's papers in.
func (c *Client) Papers(ctx context.Context, entry *event.Paper) (Accepted, error) {
	return c.change(ctx, "/api/papers", entry)
}

// Drill takes a step of a drill. A step that answers nothing yet, since its prompt is
// held, has no event.
func (c *Client) Drill(ctx context.Context, step *event.DrillStep) (Accepted, error) {
	return c.change(ctx, "/api/drill", step)
}

func (c *Client) change(ctx context.Context, path string, body any) (a Accepted, err error) {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	text, err := json.Marshal(body)
	if err != nil {
		return a, fmt.Errorf("ask the daemon: %w", err)
	}
	answer, err := c.ask(ctx, http.MethodPost, path, bytes.NewReader(text))
	if err != nil {
		return a, err
	}
	defer func() { _ = answer.Body.Close() }()
	if err := json.NewDecoder(io.LimitReader(answer.Body, maxAnswer)).Decode(&a); err != nil {
		return a, fmt.Errorf("the daemon says what is not readable: %w", err)
	}
	return a, nil
}

// ask sends a request. An answer that is none of what was asked for is a *Refused.
func (c *Client) ask(ctx context.Context, method, path string, body io.Reader) (*http.Response, error) {
	request, err := http.NewRequestWithContext(ctx, method, base+path, body)
	if err != nil {
		return nil, fmt.Errorf("ask the daemon: %w", err)
	}
	if body != nil {
		request.Header.Set("Content-Type", "application/json")
	}
	answer, err := c.http.Do(request)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrEnded, cause(err))
	}
	if answer.StatusCode < http.StatusBadRequest {
		return answer, nil
	}
	defer func() { _ = answer.Body.Close() }()
	refused := &Refused{Code: answer.StatusCode}
	var problem struct {
		Error string `json:"error"`
		Seq   int64  `json:"seq"`
	}
	if err := json.NewDecoder(io.LimitReader(answer.Body, maxAnswer)).Decode(&problem); err != nil || problem.Error == "" {
		return nil, fmt.Errorf("the daemon says what is not readable: it answered with %s", answer.Status)
	}
	refused.Sentence, refused.Seq = problem.Error, problem.Seq
	return nil, refused
}

// cause is an error of net/http without the address in front, which says nothing here.
func cause(err error) error {
	if inner := errors.Unwrap(err); inner != nil {
		return inner
	}
	return err
}

// Drilling names the drill that is under way, "" for none.
func (c *Client) Drilling(ctx context.Context) (name string, err error) {
	var now struct {
		Drill string `json:"drill"`
	}
	err = c.state(ctx, &now)
	return now.Drill, err
}

// Waiting is how far a drill is that waits for the builder.
type Waiting struct {
	ID      string        `json:"id"` // of the prompt that stands
	LeftNS  unit.Duration `json:"left_ns"`
	Warning string        `json:"warning"`
	Waits   []struct {
		Met  bool   `json:"met"`
		Text string `json:"text"`
	} `json:"waits"`
}

// Waiting says what the drill under way waits for, nil where none is.
func (c *Client) Waiting(ctx context.Context) (*Waiting, error) {
	var now struct {
		Prompt *Waiting `json:"prompt"`
	}
	err := c.state(ctx, &now)
	return now.Prompt, err
}

// Tap is a tap of the session, as far as commands ask for it.
type Tap struct {
	Name      string               `json:"name"`
	Kind      string               `json:"kind"` // "bus" or "pulses"
	Up        bool                 `json:"up"`   // its port is open
	Port      event.Port           `json:"port"`
	Why       string               `json:"why"`        // why it is not open
	Live      bool                 `json:"live"`       // frames come
	LineFault *event.LineFaultData `json:"line_fault"` // nil where something can be read, or nobody knows
}

// Taps are those of the session.
func (c *Client) Taps(ctx context.Context) ([]Tap, error) {
	var now struct {
		Taps []Tap `json:"taps"`
	}
	err := c.state(ctx, &now)
	return now.Taps, err
}

// Claim is a claim as it is judged now. While it is open its sentence says what is lacking, as far as that is known.
type Claim struct {
	ID       string `json:"claim"`
	Verdict  string `json:"verdict"`
	Sentence string `json:"sentence"`
}

// Claims are those of the sheet.
func (c *Client) Claims(ctx context.Context) ([]Claim, error) {
	var now struct {
		Claims []Claim `json:"claims"`
	}
	err := c.get(ctx, "/api/claims", &now)
	return now.Claims, err
}

// state reads what is wanted of the present.
func (c *Client) state(ctx context.Context, into any) error { return c.get(ctx, "/api/state", into) }

func (c *Client) get(ctx context.Context, path string, into any) error {
	answer, err := c.ask(ctx, http.MethodGet, path, nil)
	if err != nil {
		return err
	}
	defer func() { _ = answer.Body.Close() }()
	return json.NewDecoder(io.LimitReader(answer.Body, maxAnswer)).Decode(into)
}
