// Package course follows the drills of a session by its events, for those who show them: which
// runs, since when and who began it, which prompt stands, what was said to it, and what came of
// the one that ended. Terminal and page go by it, so that they say the same, and so that one
// that joins in the middle knows what the others know. It judges nothing.
package course

import (
	"slices"
	"sync"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// mostSaid is how much of what was said while a drill runs is kept, the latest.
const mostSaid = 12

// Running is the drill under way.
type Running struct {
	Drill     string        `json:"drill"`             // its name
	By        string        `json:"by"`                // who follows the prompts, "" where nobody said
	Seq       int64         `json:"seq"`               // number of the event with which it began
	BeganNS   unit.Time     `json:"began_ns"`          // bench time
	Prompts   int           `json:"prompts"`           // how many there are
	Cautions  []string      `json:"cautions"`          // sentences that must hold before the first
	Confirmed bool          `json:"confirmed"`         // it was said that they do, and the first was shown
	Prompt    *Standing     `json:"prompt,omitempty"`  // absent while its cautions are not confirmed, and once the last was answered
	Waiting   *state.Prompt `json:"waiting,omitempty"` // how far it is, by the present; absent where that is older than the prompt
	Hints     []string      `json:"hints"`             // what was asked about it, since an answer fitted nothing that was seen
	Said      []Said        `json:"said"`              // what was said to its prompts, the latest last
	Wrong     []Told        `json:"wrong"`             // claims that were seen wrong since its first prompt, and are
	Walk      []Mark        `json:"walk"`              // the marks of a range walk that were left
}

// Standing is the prompt that stands.
type Standing struct {
	ID      string    `json:"id"`
	Text    string    `json:"text"`
	Number  int       `json:"number"` // from 1
	SinceNS unit.Time `json:"since_ns"`
}

// What Said.What may be.
const (
	SaidHint   = "hint"   // the prompt stands on, and this is why
	SaidAnswer = "answer" // what the wire did at a prompt
	SaidMark   = "mark"   // what was missed at a mark of a range walk
)

// Said is a sentence about a prompt.
type Said struct {
	Seq  int64     `json:"seq"` // number of its event
	AtNS unit.Time `json:"at_ns"`
	What string    `json:"what"` // SaidHint, SaidAnswer or SaidMark
	Text string    `json:"text"`
}

// Mark is a mark of a range walk that was left, with its figures.
type Mark struct {
	Mark    string        `json:"mark"`   // its distance, as it was typed
	Missed  string        `json:"missed"` // share of the frames that the receiver flags, in words
	Longest int64         `json:"longest"`
	Frames  int64         `json:"frames"`
	StoodNS unit.Duration `json:"stood_ns"`
	NeedNS  unit.Duration `json:"need_ns"` // how long to stand until a doubling shows; 0: too little is missed
}

// Ended is a drill that is over.
type Ended struct {
	Drill string `json:"drill"`
	Seq   int64  `json:"seq"` // number of the event with which it ended
	How   string `json:"how"` // finished, abandoned, timed out, interrupted
	Why   string `json:"why"` // a sentence, "" where How says it all
	Walk  []Mark `json:"walk"`
}

// Finished reports that every prompt was answered.
func (e *Ended) Finished() bool { return e.How == "finished" }

// changes are the verdicts that changed while a drill ran, the latest of each claim.
type changes []event.Event

// with has one more.
func (l changes) with(e *event.Event) changes {
	return append(slices.DeleteFunc(slices.Clone(l), func(was event.Event) bool { return was.About == e.About }), *e)
}

// about names the claims, as events are about them.
func (l changes) about() (claims []string) {
	for i := range l {
		claims = append(claims, l[i].About)
	}
	return claims
}

// Course is how far the drills of a session are. Make one with New; it may be used from several
// goroutines.
type Course struct {
	sheet  *sheet.Sheet
	plans  []drill.Plan
	list   []Listed       // without what the claims say
	claims []*claim.Claim // all of them open
	places map[string]int // of a claim by its ID

	mu      sync.Mutex
	seq     int64 // of the latest event
	running *Running
	ended   *Ended
	changed changes // since the first prompt of the drill under way
	through changes // ... of the one that ended
}

// New follows the drills of a sheet from an event before the first on.
func New(s *sheet.Sheet) *Course {
	c := &Course{sheet: s, plans: drill.Plans(s), list: []Listed{}, claims: claim.New(s).Claims(), places: map[string]int{}}
	for i := range c.plans {
		c.list = append(c.list, listed(s, &c.plans[i]))
	}
	for i := range c.claims {
		c.places[c.claims[i].ID] = i
	}
	return c
}

// Take takes an event; of all kinds, in order.
func (c *Course) Take(e *event.Event) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.seq = e.Seq
	switch d := e.Data.(type) {
	case event.DrillBeganData:
		name, _ := event.AboutDrill.Name(e.About)
		c.running = &Running{
			Drill: name, By: d.By, Seq: e.Seq, BeganNS: e.At, Prompts: d.Prompts, Cautions: append([]string{}, d.Cautions...),
			Hints: []string{}, Said: []Said{}, Wrong: []Told{}, Walk: []Mark{},
		}
		c.changed = nil
	case event.SessionData, event.FaultData: // judgement began afresh, and knows of no drill
		c.running = nil
	default:
		if c.running != nil {
			c.goesOn(e)
		}
	}
}

// goesOn takes an event while a drill is under way.
func (c *Course) goesOn(e *event.Event) {
	r := c.running
	switch d := e.Data.(type) {
	case event.DrillPromptedData:
		r.Prompt, r.Hints, r.Confirmed = &Standing{ID: d.Prompt, Text: d.Text, Number: d.Number, SinceNS: e.At}, []string{}, true
	case event.DrillHintData:
		r.Hints = append(r.Hints, d.Why)
		r.say(e, SaidHint, d.Why)
	case event.DrillAnsweredData:
		r.Prompt = nil
		r.say(e, SaidAnswer, event.PromptAnswer(&d, e.At.Sub(e.From), c.called))
	case event.RangeMarkData:
		if d.Left {
			r.Walk = append(r.Walk, Mark{d.Mark, event.SharePercent(d.MissedPPM()), d.Longest, d.Frames, d.ForNS, d.NeedNS})
		}
		r.say(e, SaidMark, event.Sentence(e))
	case event.VerdictData:
		if r.Confirmed {
			c.changed = c.changed.with(e)
			r.Wrong = c.wrongWith(r.Wrong, e.About, &d)
		}
	case event.DrillEndedData:
		c.ended = &Ended{Drill: r.Drill, Seq: e.Seq, How: d.How, Why: d.Why, Walk: r.Walk}
		c.running, c.changed, c.through = nil, nil, c.changed
	}
}

// wrongWith are claims that are wrong once a verdict changed.
func (c *Course) wrongWith(list []Told, about string, d *event.VerdictData) []Told {
	id, _ := event.AboutClaim.Name(about)
	list = slices.DeleteFunc(slices.Clone(list), func(t Told) bool { return t.Claim == id })
	if i, ok := c.places[id]; ok && d.Verdict == event.VerdictWrong && len(list) < MostTold {
		list = append(list, Told{Claim: id, Sentence: d.Sentence + ".", Reopens: c.claims[i].Reopens})
	}
	return list
}

func (r *Running) say(e *event.Event, what, text string) {
	r.Said = append(r.Said, Said{e.Seq, e.At, what, text})
	r.Said = r.Said[max(0, len(r.Said)-mostSaid):]
}

// called is the name of a channel in the sheet, "" of its heartbeat, which moves by itself.
func (c *Course) called(channel int) string { return Called(c.sheet, channel) }

// Called is the name of a channel in a sheet, "" of its heartbeat, which moves by itself.
func Called(s *sheet.Sheet, channel int) string {
	if h := s.Heartbeat; h != nil && h.Channel == channel {
		return ""
	}
	if c, ok := s.Channel(channel); ok {
		return c.Name
	}
	return event.ChannelNumber(channel)
}

// Running is the drill under way, nil for none; a copy.
func (c *Course) Running() *Running {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.running.copied()
}

func (r *Running) copied() *Running {
	if r == nil {
		return nil
	}
	now := *r
	if now.Prompt != nil {
		at := *now.Prompt
		now.Prompt = &at
	}
	now.Hints, now.Said, now.Walk = slices.Clone(r.Hints), slices.Clone(r.Said), slices.Clone(r.Walk)
	now.Wrong = slices.Clone(r.Wrong)
	return &now
}
