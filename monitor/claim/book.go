package claim

import (
	"encoding/json"
	"fmt"
	"slices"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// TopicAll and Failsafe are topics that can be reopened beside the channels'
// names. Changed is the mark that reopens everything.
const (
	TopicAll      = "everything"
	TopicFailsafe = "failsafe"
	Changed       = event.ChangedMark
)

// Book holds the claims of a sheet, in the order in which the sheet gives rise to
// them, and judges them by events.
type Book struct {
	sheet      *sheet.Sheet
	drills     *drill.Index
	claims     []*Claim
	byID       Index
	judges     []judge
	handsReach *handsReach // one of them
	edges      *edges      // another, nil where the sheet wants no edges

	// During See:
	now     unit.Time
	changed func(*Claim, Verdict)
}

// judge looks at events and finds for or against claims. Its exported fields are
// its state.
type judge interface {
	see(e *event.Event, b *Book)
}

// New opens the book of a sheet.
func New(s *sheet.Sheet) *Book {
	b := &Book{sheet: s, drills: drill.NewIndex(s), byID: Index{}}
	b.judges = judgesOf(b)
	for _, c := range b.claims {
		c.Assumed = c.restsOnAssumed(s)
	}
	return b
}

// Claims are all claims in the sheet's order. They are the book's own.
func (b *Book) Claims() []*Claim { return b.claims }

// See folds one event in. changed gets each claim whose verdict changed, and the
// verdict it had; several may change at once.
func (b *Book) See(e *event.Event, changed func(c *Claim, was Verdict)) {
	b.now, b.changed = e.At, changed
	switch d := e.Data.(type) {
	case event.ReopenData:
		b.reopen(d.What)
	case event.PapersData:
		if d.Reopens != "" {
			b.reopen(d.Reopens)
		}
	case event.MarkData:
		if d.Text == Changed {
			b.reopen(TopicAll)
		}
	}
	if b.edges == nil || !b.edges.hides(e, b) {
		for _, j := range b.judges {
			j.see(e, b)
		}
	}
	b.changed = nil
}

// add enters a claim. open says what is claimed, settle how it comes to be seen.
func (b *Book) add(k key, open string, settle Action, topics ...string) *Claim {
	c := &Claim{
		ID: k.id(), Verdict: VerdictOpen, Sentence: open, Evidence: []event.Span{}, Figures: map[string]int64{},
		Family: k.family, Part: k.parts[0], Channel: k.channel, Output: k.output, Channels: k.channels(b.sheet), Stated: families[k.family].stated(k, b.sheet),
		Settle: settle, Reopens: TopicAll, open: open, topics: topics,
	}
	if len(topics) > 0 {
		c.Reopens = topics[0]
	}
	b.claims = append(b.claims, c)
	b.byID[c.ID] = c
	return c
}

func (b *Book) right(id, sentence string, span event.Span, figures map[string]int64) {
	b.find(id, ruling{true, sentence, span, figures})
}

func (b *Book) wrong(id, sentence string, span event.Span, figures map[string]int64) {
	b.find(id, ruling{false, sentence, span, figures})
}

// unclear says why a claim that is still open could not be judged.
func (b *Book) unclear(id, sentence string) {
	if c, ok := b.byID[id]; ok && c.Verdict == VerdictOpen {
		c.unsettle(sentence)
	}
}

// doubt takes back that a claim was seen right: what came since leaves it open.
func (b *Book) doubt(id, sentence string) {
	if c, ok := b.byID[id]; ok && c.Verdict == VerdictRight {
		c.Verdict, c.Sentence, c.Evidence, c.Figures = VerdictOpen, sentence, []event.Span{}, map[string]int64{}
		b.changed(c, VerdictRight)
	}
	b.unclear(id, sentence)
}

func (b *Book) find(id string, f ruling) {
	c, ok := b.byID[id]
	if !ok {
		return // the sheet does not claim it
	}
	was := c.Verdict
	if c.take(f) {
		b.changed(c, was)
	}
}

// reopen takes back what depends on something that was changed: only what comes now
// counts for it.
func (b *Book) reopen(what string) {
	for _, c := range b.claims {
		if what != TopicAll && !slices.Contains(c.topics, what) {
			continue
		}
		was := c.Verdict
		if c.reopen() {
			b.changed(c, was)
		}
	}
	for _, j := range b.judges {
		if f, ok := j.(interface {
			forget(what string, at unit.Time)
		}); ok {
			f.forget(what, b.now)
		}
	}
}

// Topics are what can be reopened under a sheet.
func Topics(s *sheet.Sheet) []string {
	list := []string{TopicAll, TopicFailsafe}
	if s.HasLeads() {
		list = append(list, TopicOutputs)
	}
	for i := range s.Channels {
		list = append(list, s.Channels[i].Name)
	}
	return list
}

// state is a book in a checkpoint.
type state struct {
	Claims []*Claim          `json:"claims"`
	Judges []json.RawMessage `json:"judges"`
}

// MarshalJSON keeps the verdicts and what the judges remember.
func (b *Book) MarshalJSON() ([]byte, error) {
	s := state{Claims: b.claims}
	for _, j := range b.judges {
		raw, err := json.Marshal(j)
		if err != nil {
			return nil, fmt.Errorf("state of a %T: %w", j, err)
		}
		s.Judges = append(s.Judges, raw)
	}
	return json.Marshal(s)
}

// UnmarshalJSON puts a book of the same sheet back to where it was.
func (b *Book) UnmarshalJSON(raw []byte) error {
	var s state
	if err := json.Unmarshal(raw, &s); err != nil {
		return fmt.Errorf("state of the claims: %w", err)
	}
	if len(s.Claims) != len(b.claims) || len(s.Judges) != len(b.judges) {
		return fmt.Errorf("state of the claims: got %d claims and %d judges, want %d and %d: another sheet or another build made it",
			len(s.Claims), len(s.Judges), len(b.claims), len(b.judges))
	}
	for i, c := range s.Claims {
		mine := b.claims[i]
		if c.ID != mine.ID {
			return fmt.Errorf("state of the claims: got %q, want %q: another sheet made it", c.ID, mine.ID)
		}
		mine.Verdict, mine.Sentence, mine.Evidence, mine.Figures = c.Verdict, c.Sentence, c.Evidence, c.Figures
		mine.LookedAt = mine.Verdict != VerdictOpen || mine.Sentence != mine.open
	}
	for i, raw := range s.Judges {
		if err := json.Unmarshal(raw, b.judges[i]); err != nil {
			return fmt.Errorf("state of a %T: %w", b.judges[i], err)
		}
	}
	return nil
}

// believed reports whether what a channel does shows what the transmitter sends:
// the receiver hears it, and no jump of many channels put it there.
func believed(s event.Signal, suspect bool) bool { return s == event.SignalLive && !suspect }

// heard reports whether an answer shows what the transmitter sends.
func heard(d *event.DrillAnsweredData) bool { return d.Frames > 0 && believed(d.Signal, d.Suspect) }
