// Package dialogue leads a draft while a session listens: one conversation, whoever looks on and answers, at a terminal
// or on a page. It hears the session's inputs, takes steps, keeps what was answered, so that a draft that was broken off
// goes on, and writes the sheet.
//
// Nobody waits here for a disk: inputs are only queued, what is asked is at hand, and a hung disk holds up no answer for
// longer than keepPatience.
package dialogue

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"sync"
	"time"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/draft"
	"benchproof.example/monitor/event"
)

// Store is where a draft is kept, and where its sheet goes.
type Store interface {
	// Load is what was kept; an fs.ErrNotExist: nothing was.
	Load() ([]byte, error)
	Keep(draft []byte) error
	// Write writes the sheet, names its file, and lets go of what was kept.
	Write(sheet []byte) (file string, err error)
	// Written is the sheet that was written last; an fs.ErrNotExist: there is none.
	Written() (file string, sheet []byte, err error)
}

// Options say what a dialogue needs from outside.
type Options struct {
	Protocol *bus.Protocol // of the bus
	Taps     []event.TapName
	Store    Store
	Commands func(file string) []string // what to do with a sheet, as commands
}

// Dialogue is a draft with people in front of it. Make one with Open.
type Dialogue struct {
	opt   Options
	queue queue

	mu       sync.Mutex
	state    State
	talk     *draft.Conversation // nil where nobody began one
	listener *draft.Listener
	question *draft.Question // that stood when changes were looked for last
	asked    int64           // questions that were put so far
	moved    []int           // channels that were seen to move since
	news     []News
	said     int64  // news so far
	kept     []byte // the draft that was broken off
	unkept   error  // why the draft or its sheet could not be kept
	lacks    error  // why the draft makes no sheet
	sheet    []byte
	file     string
	version  int64
	changed  chan struct{} // closed with the next change

	job     job // what is to be on the disk
	jobs    int64
	onDisk  int64 // jobs that are over
	toWrite chan struct{}
}

// Open makes one that goes on with what its store kept. It starts nothing. The error says that what was kept can't be
// gone on with; the dialogue is whole all the same, and begins anew.
func Open(opt Options) (*Dialogue, error) {
	d := &Dialogue{opt: opt, queue: newQueue(), state: Idle, version: 1, changed: make(chan struct{}), toWrite: make(chan struct{}, 1)}
	kept, err := opt.Store.Load()
	if err == nil {
		d.talk, err = draft.Resume(opt.Protocol, kept)
	}
	switch {
	case err == nil:
		d.state, d.kept = Kept, kept
		return d, nil
	case !errors.Is(err, fs.ErrNotExist):
		return d, err
	}
	file, sheet, err := opt.Store.Written()
	switch {
	case err == nil:
		d.state, d.file, d.sheet = Done, file, sheet
	case errors.Is(err, fs.ErrNotExist):
		err = nil
	}
	return d, err
}

// Heard takes an input of the session; it never waits. The input is the dialogue's for the time of the call, its data
// for good.
func (d *Dialogue) Heard(in *event.Input) { d.queue.put(in) }

// Run hears and writes until ctx is done.
func (d *Dialogue) Run(ctx context.Context) {
	over := make(chan struct{})
	go func() {
		defer close(over)
		d.write(ctx)
	}()
	for {
		select {
		case <-d.queue.came:
			d.mu.Lock()
			d.hear()
			d.mu.Unlock()
		case <-ctx.Done():
			select {
			case <-over:
			case <-time.After(endPatience): // of a disk that hangs
			}
			return
		}
	}
}

const (
	keepPatience = 3 * time.Second        // for the disk, of an answer
	endPatience  = 300 * time.Millisecond // the whole program ends within two seconds
)

// hear takes the inputs that came since. The lock is held.
func (d *Dialogue) hear() {
	for _, in := range d.queue.take() {
		if d.state != Asking && d.state != Lacking { // it is over, and what comes later changes nothing of it
			return
		}
		d.listener.Step(&in)
		d.follow()
	}
}

// follow takes over what the conversation has that is new. The lock is held.
func (d *Dialogue) follow() {
	news, q, moved := d.talk.News(), d.talk.Asks(), d.talk.Moved()
	if len(news) == 0 && q == d.question && slices.Equal(moved, d.moved) {
		return
	}
	d.moved = moved
	for _, text := range news {
		d.said++
		d.news = append(d.news, News{d.said, text})
	}
	d.news = d.news[max(0, len(d.news)-newsKept):]
	if q != d.question {
		d.question = q
		d.asked++
		d.goOn()
	}
	d.change()
}

// goOn follows from a question that is another one: what was answered is kept, or the sheet is written. The lock is held.
func (d *Dialogue) goOn() {
	d.lacks = nil
	if d.question == nil {
		d.finish()
		return
	}
	d.state = Asking
	if len(d.talk.History) == 0 {
		return
	}
	text, err := d.talk.Save()
	if err != nil { // only a programming error can
		d.unkept = err
		return
	}
	d.kept = text
	d.order(job{draft: text})
}

// finish makes the sheet. The lock is held.
func (d *Dialogue) finish() {
	if d.sheet, d.lacks = d.talk.Sheet(); d.lacks != nil {
		d.state = Lacking
		return
	}
	d.queue.listen(false)
	d.state, d.unkept = Writing, nil
	d.order(job{sheet: d.sheet})
}

// change has whoever waits look again. The lock is held.
func (d *Dialogue) change() {
	d.version++
	close(d.changed)
	d.changed = make(chan struct{})
}

// Changed is closed with the next change.
func (d *Dialogue) Changed() <-chan struct{} {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.changed
}

// begin begins a conversation, or goes on with the one that was broken off. The lock is held.
func (d *Dialogue) begin(anew bool) error {
	if d.under() {
		return refusal("a draft is under way: one at a time")
	}
	if anew || d.kept == nil {
		d.talk = draft.New(d.opt.Protocol)
	} else if talk, err := draft.Resume(d.opt.Protocol, d.kept); err != nil {
		return refusal(fmt.Sprintf("what was kept can't be gone on with: %v", err))
	} else {
		d.talk = talk
	}
	d.queue.listen(true)
	d.listener = draft.NewListener(d.opt.Protocol, d.opt.Taps, d.talk)
	d.state, d.question, d.news, d.unkept, d.lacks, d.sheet, d.file = Asking, nil, nil, nil, nil, nil, ""
	d.follow()
	return nil
}

// under reports that a draft is under way. The lock is held.
func (d *Dialogue) under() bool { return d.state == Asking || d.state == Writing || d.state == Lacking }

// end stops asking; what was answered stays kept. The lock is held.
func (d *Dialogue) end() {
	d.queue.listen(false)
	d.state, d.question, d.moved, d.lacks = Kept, nil, nil, nil
	if d.kept == nil {
		d.state = Idle
	}
	d.change()
}
