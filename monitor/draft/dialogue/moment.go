package dialogue

import (
	"slices"

	"benchproof.example/monitor/draft"
)

// State is how far a draft is.
type State string

// The states.
const (
	Idle    State = "idle"    // nobody began one
	Asking  State = "asking"  // a question stands
	Kept    State = "kept"    // it was broken off, and what was answered is kept: begin goes on there
	Writing State = "writing" // all was asked, and the sheet is being written
	Lacking State = "lacking" // all was asked, and it makes no sheet yet: Trouble says why; back, or end
	Done    State = "done"    // there is a sheet
)

// Moment is a draft as it is now, as data for whoever shows it.
type Moment struct {
	State    State           `json:"state"`
	Version  int64           `json:"version"` // from 1; rises with each change
	Question *draft.Question `json:"question,omitempty"`
	Wire     bool            `json:"wire,omitempty"`  // the wire answers it: no hand is needed here
	Asked    int64           `json:"asked"`           // questions that were put so far; each that is put anew is another one
	Moved    []int           `json:"moved,omitempty"` // channels that were seen to move since, where the wire answers
	Done     int             `json:"done"`            // questions that were answered or skipped,
	Known    int             `json:"known"`           // of those that are known so far: an answer may bring further ones
	News     []News          `json:"news"`            // the latest, oldest first
	Found    []draft.Finding `json:"found"`
	File     string          `json:"file,omitempty"`     // of the sheet that was written
	Commands []string        `json:"commands,omitempty"` // what to do with it
	Trouble  string          `json:"trouble,omitempty"`  // what could not be kept or written, or makes no sheet yet, and why
}

// News is a sentence of the conversation: what was found, what was not as it was asked for.
type News struct {
	Number int64  `json:"number"` // from 1 since the daemon was started
	Text   string `json:"text"`
}

// newsKept is how many sentences a moment has.
const newsKept = 20

// Look is how the draft is now. What it returns must not be changed.
func (d *Dialogue) Look() Moment {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.hear()
	m := Moment{State: d.state, Version: d.version, Question: d.question, Asked: d.asked, Moved: d.moved, News: append([]News{}, d.news...),
		Found: []draft.Finding{}, File: d.file}
	if d.question != nil {
		m.Wire = d.question.Wire()
	}
	if d.talk != nil {
		m.Done, m.Known = d.talk.Progress()
		m.Found = d.talk.Findings()
	}
	if d.file != "" {
		m.Commands = d.opt.Commands(d.file)
	}
	switch {
	case d.lacks != nil:
		m.Trouble = d.lacks.Error()
	case d.unkept != nil:
		m.Trouble = d.unkept.Error()
	}
	return m
}

// Version rises with each change.
func (d *Dialogue) Version() int64 {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.version
}

// Sheet is the sheet of a draft that is complete; nil: there is none.
func (d *Dialogue) Sheet() []byte {
	d.mu.Lock()
	defer d.mu.Unlock()
	return slices.Clone(d.sheet)
}

// Frames is how many frames the conversation heard.
func (d *Dialogue) Frames() int64 {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.talk == nil {
		return 0
	}
	return d.talk.Heard.Frames
}

// Answered reports that something was answered that is kept.
func (d *Dialogue) Answered() bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.kept != nil
}
