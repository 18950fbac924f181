package browser

import (
	"context"
	"encoding/json"
	"fmt"
	"sync"

	"github.com/coder/websocket"
)

// bidi is a connection that speaks WebDriver BiDi (W3C): commands with a number, answers with the
// same number, and events.
type bidi struct {
	conn *websocket.Conn

	mu      sync.Mutex
	latest  int
	waiting map[int]chan answer
	heard   map[string]func(logEntry) // by browsing context
	ended   error
}

// answer is what came of a command.
type answer struct {
	result json.RawMessage
	err    error
}

// message is what the browser sends.
type message struct {
	Type    string          `json:"type"` // success, error or event
	ID      int             `json:"id"`
	Result  json.RawMessage `json:"result"`
	Error   string          `json:"error"`
	Message string          `json:"message"`
	Method  string          `json:"method"`
	Params  json.RawMessage `json:"params"`
}

// logEntry is what log.entryAdded tells.
type logEntry struct {
	Level  string `json:"level"`
	Text   string `json:"text"`
	Source struct {
		Context string `json:"context"`
	} `json:"source"`
}

// mostMessage is how long a message may be: pictures are long.
const mostMessage = 64 << 20

// dial connects to the address that the browser tells.
func dial(ctx context.Context, address string) (*bidi, error) {
	conn, _, err := websocket.Dial(ctx, address+"/session", nil)
	if err != nil {
		return nil, err
	}
	conn.SetReadLimit(mostMessage)
	b := &bidi{conn: conn, waiting: map[int]chan answer{}, heard: map[string]func(logEntry){}}
	go b.read()
	return b, nil
}

// read hands on what comes until the connection ends.
func (b *bidi) read() {
	for {
		_, text, err := b.conn.Read(context.Background())
		if err != nil {
			b.end(err)
			return
		}
		var m message
		if err := json.Unmarshal(text, &m); err != nil {
			b.end(err)
			return
		}
		b.hand(&m)
	}
}

func (b *bidi) hand(m *message) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if m.Type == "event" {
		var e logEntry
		if json.Unmarshal(m.Params, &e) == nil && b.heard[e.Source.Context] != nil {
			b.heard[e.Source.Context](e)
		}
		return
	}
	to := b.waiting[m.ID]
	delete(b.waiting, m.ID)
	switch {
	case to == nil:
	case m.Type == "error":
		to <- answer{err: fmt.Errorf("%s: %s", m.Error, m.Message)}
	default:
		to <- answer{result: m.Result}
	}
}

// end answers to all that wait.
func (b *bidi) end(err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.ended = fmt.Errorf("the browser's connection ended: %w", err)
	for _, to := range b.waiting {
		to <- answer{err: b.ended}
	}
	clear(b.waiting)
}

// call gives a command and reads its result, where into is not nil.
func (b *bidi) call(ctx context.Context, method string, params, into any) error {
	b.mu.Lock()
	if b.ended != nil {
		b.mu.Unlock()
		return b.ended
	}
	b.latest++
	id, to := b.latest, make(chan answer, 1)
	b.waiting[id] = to
	b.mu.Unlock()
	text, err := json.Marshal(map[string]any{"id": id, "method": method, "params": params})
	if err != nil {
		return err
	}
	if err := b.conn.Write(ctx, websocket.MessageText, text); err != nil {
		return fmt.Errorf("%s: %w", method, err)
	}
	select {
	case <-ctx.Done():
		return fmt.Errorf("%s: %w", method, ctx.Err())
	case got := <-to:
		if got.err != nil {
			return fmt.Errorf("%s: %w", method, got.err)
		}
		if into == nil {
			return nil
		}
		return json.Unmarshal(got.result, into)
	}
}

// listen has the log of a browsing context told; nil ends that.
func (b *bidi) listen(browsing string, told func(logEntry)) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if told == nil {
		delete(b.heard, browsing)
		return
	}
	b.heard[browsing] = told
}
