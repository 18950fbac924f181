package dialogue

import (
	"context"
	"fmt"
	"time"
)

// Step is what somebody does. What is there to do are the constants below.
type Step struct {
	Do       string `json:"do"`
	Text     string `json:"text,omitempty"`     // of an answer, "" is an Enter alone; of begin Anew, or ""
	Question string `json:"question,omitempty"` // the ID of the question that is meant; "": whichever stands
}

// What can be done.
const (
	Begin  = "begin"  // a draft, or go on with the one that was broken off
	Answer = "answer" // what was typed
	Skip   = "skip"   // leave the question out
	Back   = "back"   // take the latest answer back
	Repeat = "repeat" // ask the same anew: what moved since counts no more
	End    = "end"    // stop; what was answered is kept
)

// Anew is the text of a begin that lets go of what was kept.
const Anew = "anew"

// refusal says why a step is not taken as things stand.
type refusal string

func (r refusal) Error() string { return string(r) }

// Known reports that there is such a thing to do.
func (s *Step) Known() bool {
	switch s.Do {
	case Begin, Answer, Skip, Back, Repeat, End:
		return true
	}
	return false
}

// Do takes a step, behind all inputs that came before it, and gives what became of it once that is kept, or the disk
// took too long. The error says in a sentence why it is not taken as things stand.
func (d *Dialogue) Do(ctx context.Context, s Step) (Moment, error) {
	d.mu.Lock()
	d.hear()
	err := d.step(s)
	number := d.jobs
	d.mu.Unlock()
	d.awaitDisk(ctx, number)
	return d.Look(), err
}

// step takes a step. The lock is held.
func (d *Dialogue) step(s Step) error {
	if s.Do == Begin {
		return d.begin(s.Text == Anew)
	}
	if why := d.refuses(s); why != "" {
		return why
	}
	switch s.Do {
	case End:
		d.end()
		return nil
	case Answer:
		d.talk.Answer(s.Text)
	case Skip:
		d.talk.Skip()
	case Back:
		d.talk.Back()
	case Repeat:
		d.talk.Repeat()
	}
	d.follow()
	return nil
}

// refuses says why a step is not taken as things stand, "" where it is. The lock is held.
func (d *Dialogue) refuses(s Step) refusal {
	switch d.state {
	case Idle, Kept:
		return "no draft is under way: begin one"
	case Writing, Done:
		return "the draft is complete: begin another one"
	case Lacking:
		if s.Do != Back && s.Do != End {
			return "all was asked: go back, or end it"
		}
	}
	if s.Question != "" && s.Do != End && (d.question == nil || s.Question != d.question.ID) {
		return refusal(fmt.Sprintf("the question %.40q does not stand any more", s.Question))
	}
	return ""
}

// awaitDisk waits until jobs up to a number are over.
func (d *Dialogue) awaitDisk(ctx context.Context, number int64) {
	late := time.NewTimer(keepPatience)
	defer late.Stop()
	for {
		d.mu.Lock()
		over, changed := d.onDisk >= number, d.changed
		d.mu.Unlock()
		if over {
			return
		}
		select {
		case <-changed:
		case <-ctx.Done():
			return
		case <-late.C:
			return
		}
	}
}
