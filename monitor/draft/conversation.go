package draft

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/unit"
)

// Conversation asks and listens. Its zero value is not ready: New makes one.
type Conversation struct {
	Model   Model
	Heard   Hearing
	History []json.RawMessage // the model before each answer, oldest first

	question *Question
	news     []string
	began    bool // the tracks began with the question
	looked   unit.Time
	strayed  bool // the channel that must not move did, which was said
}

// New begins a conversation about a bus of a protocol.
func New(p *bus.Protocol) *Conversation {
	c := &Conversation{Model: newModel(), Heard: Hearing{protocol: p}}
	c.ask()
	return c
}

// kept is what Save keeps.
type saved struct {
	Format  int               `json:"format"`
	Model   Model             `json:"model"`
	Heard   Hearing           `json:"heard"`
	History []json.RawMessage `json:"history"`
}

const savedFormat = 1

// Save is all that Resume needs to go on later.
func (c *Conversation) Save() ([]byte, error) {
	return json.Marshal(saved{savedFormat, c.Model, c.Heard, c.History})
}

// Resume goes on with a conversation that was saved. The question that stood is asked again; the cautions too,
// since the bench may be another one.
func Resume(p *bus.Protocol, text []byte) (*Conversation, error) {
	s := saved{Model: newModel()}
	if err := json.Unmarshal(text, &s); err != nil {
		return nil, fmt.Errorf("a draft that was broken off: %w", err)
	}
	if s.Format != savedFormat {
		return nil, fmt.Errorf("a draft that was broken off: got format %d, want %d", s.Format, savedFormat)
	}
	c := &Conversation{Model: s.Model, Heard: s.Heard, History: s.History}
	c.Heard.goOn(p)
	delete(c.Model.Done, "cautions")
	c.ask()
	return c, nil
}

// Asks is the question that stands; nil: everything was asked.
func (c *Conversation) Asks() *Question { return c.question }

// News are the sentences since it was last called: what was found, what was not as it was asked for.
func (c *Conversation) News() []string {
	list := c.news
	c.news = nil
	return list
}

func (c *Conversation) say(format string, args ...any) {
	c.news = append(c.news, fmt.Sprintf(format, args...))
}

// ask goes on to the question that is next.
func (c *Conversation) ask() {
	c.question, c.began, c.strayed = c.Model.next(), false, false
	c.Heard.steers = c.question != nil && c.question.Act == ActStroke && steering(c.question.Control)
}

// Repeat asks the question that stands anew: what moved since it was asked counts no more.
func (c *Conversation) Repeat() { c.ask() }

// Skip leaves the question out. What the sheet needs no answer for is left out of it.
func (c *Conversation) Skip() {
	switch q := c.question; {
	case q == nil:
	case q.NoSkip:
		c.say("This can't be skipped.")
	default:
		c.keep()
		c.Model.Done[q.ID] = true
		c.ask()
	}
}

// Back takes the latest answer back, and asks for it again.
func (c *Conversation) Back() {
	n := len(c.History)
	if n == 0 {
		c.say("There is nothing before this.")
		return
	}
	before := newModel()
	_ = json.Unmarshal(c.History[n-1], &before) // our own of a moment ago
	c.Model, c.History = before, c.History[:n-1]
	c.ask()
}

// keep keeps the model as it is, for Back.
func (c *Conversation) keep() {
	text, _ := json.Marshal(c.Model) // of plain fields: it can't fail
	c.History = append(c.History, text)
}

// done is told that the question that stands was answered: change does to the model what follows.
func (c *Conversation) done(change func(m *Model)) {
	c.keep()
	c.Model.Done[c.question.ID] = true
	change(&c.Model)
	c.ask()
}

// lookEvery is how often the tracks are looked at.
const lookEvery = 50 * unit.Millisecond

// Frame takes a frame of the bus; at is its time on the wire.
func (c *Conversation) Frame(at unit.Time, f *bus.Frame) {
	broken := c.Heard.Frame(at, f)
	q := c.question
	if q == nil || !q.Wire() && q.Act != ActPutMode || !c.Heard.whole {
		return
	}
	if broken {
		c.say("Nothing came from the bus for a while. What is asked for counts from here on: please do it again.")
		c.ask()
	}
	at = c.Heard.Last
	if !c.began {
		c.Heard.begin()
		c.began, c.looked = true, at
	}
	if at.Sub(c.looked) < lookEvery {
		return
	}
	c.looked = at
	c.watchNever()
	c.look(at)
}

// watchNever says so where a channel moved that starts limit learning.
func (c *Conversation) watchNever() {
	for _, n := range c.question.Never {
		t := &c.Heard.tracks[n-1]
		if moved := t.Most - t.Least; moved > placesApart && !c.strayed {
			c.strayed = true
			c.say("Channel %d moved, which starts limit learning: let it be. What the receiver has learned may be gone; its manual says.", n)
		}
	}
}

// look looks whether the wire answers the question.
func (c *Conversation) look(at unit.Time) {
	switch c.question.Act {
	case ActRest:
		c.lookRest(at)
	case ActThrough:
		c.lookThrough()
	case ActPut:
		c.lookPut()
	case ActStroke:
		c.lookStroke()
	case ActJump:
		c.lookJump()
	case ActBack:
		c.lookBack()
	}
}

// Pulse takes a pulse of an output; rise is on the clock of the frames.
func (c *Conversation) Pulse(output int, rise unit.Time, width unit.Width) {
	c.Heard.Pulse(output, rise, width)
}

// free are the channels, from 1, that may be the one that is asked for.
func (c *Conversation) free(key string) (list []int) {
	for n := 1; n <= c.Heard.channels(); n++ {
		owner := c.Model.taken(n)
		if (owner == "" || owner == key) && !slices.Contains(c.Model.Beats, n) && !slices.Contains(c.question.Never, n) {
			list = append(list, n)
		}
	}
	return list
}

func (c *Conversation) track(channel int) *Track { return &c.Heard.tracks[channel-1] }

// Moved are the channels, from 1, that were seen to move since the question was put, where the wire answers it.
func (c *Conversation) Moved() (list []int) {
	if c.question == nil || !c.question.Wire() || !c.began {
		return nil
	}
	for _, n := range c.free(c.question.Control) {
		if t := c.track(n); t.Most-t.Least >= strokeLeast {
			list = append(list, n)
		}
	}
	return list
}

// lacking says what the wire has not shown yet, for a builder who presses Enter.
func (c *Conversation) lacking() string {
	var moved []string
	for _, n := range c.Moved() {
		moved = append(moved, fmt.Sprintf("channel %d", n))
	}
	switch {
	case len(moved) == 0 && c.question.Act == ActRest:
		return "Not still for long enough yet."
	case len(moved) == 0:
		return "Nothing has moved yet. Do what is asked, or skip it."
	}
	return "Seen to move: " + strings.Join(moved, ", ") + ". It is not complete yet: go on, have it asked anew, or skip it."
}
