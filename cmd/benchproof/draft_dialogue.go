package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"benchproof.example/monitor/draft"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/session"
)

// draftDialogue is a draft with a person in front of it, and a session that listens to the
// ports and records what they show.
type draftDialogue struct {
	sit       *liveSession
	file      string
	out, talk io.Writer

	inbox      draftInbox
	talking    *draft.Conversation
	asked      *draft.Question // that was shown last
	unreadable bool            // it was said why nothing can be read on the bus
	stopped    bool            // the person wants it to end
	written    bool            // the sheet is
	outcome    error           // how the conversation ended
}

func newDraftDialogue(sit *liveSession, file string, out, talk io.Writer) *draftDialogue {
	return &draftDialogue{sit: sit, file: file, out: out, talk: talk, inbox: newDraftInbox()}
}

// run asks until all is asked, or somebody stops it.
func (d *draftDialogue) run(ctx context.Context, in io.Reader) error {
	if err := d.begin(time.Now()); err != nil {
		return err
	}
	folder := string(d.sit.folder)
	live, err := d.sit.open(ctx)
	if err != nil {
		return err
	}
	d.announce(folder)
	live.Subscribe(session.Subscriber{Heard: d.inbox.heard})
	hearing, enough := context.WithCancel(ctx)
	defer enough()
	err = d.sit.hear(hearing, live, &d.inbox, func(ctx context.Context) {
		defer enough()
		d.outcome = d.converse(ctx, in)
	})
	d.tell()
	keepRecord(ctx, d.sit.folder, d.sit.showed, d.talk)
	switch {
	case d.written:
		say(d.talk, fmt.Sprintf(draftJudged, folder, folder, d.file))
	case d.talking.Heard.Frames > 0:
		say(d.talk, fmt.Sprintf(draftAgain, folder, folder, d.file))
	default:
		say(d.talk, fmt.Sprintf(draftUnheard, folder))
	}
	return errors.Join(err, d.outcome)
}

// What is said around a draft.
const (
	draftKeys   = "at each question s and Enter skips it, b goes back to the one before, r asks it anew, q stops"
	draftJudged = "benchproof: what was heard is in %s, and can be judged by the sheet, too: benchproof replay %s --sheet %s"
	draftAgain  = "benchproof: what was heard is in %s; what a draft makes of it without an answer: benchproof draft --from %s -o %s"

	draftUnheard = "benchproof: no frame was heard; what came instead is in %s"
)

func (d *draftDialogue) announce(folder string) {
	announceHearing(folder, d.talk)
	say(d.talk, "benchproof: "+roomSentence(session.RoomFor(folder, d.sit.names())))
	say(d.talk, "benchproof: "+draftKeys)
}

// converse asks while the session listens.
func (d *draftDialogue) converse(ctx context.Context, in io.Reader) error {
	listener := draft.NewListener(d.sit.sheet.Protocol, d.sit.names(), d.talking)
	lines := readLines(in, ctx.Done())
	for d.show(); d.talking.Asks() != nil && !d.stopped; d.show() {
		select {
		case <-d.inbox.came:
			d.tell()
			for _, input := range d.inbox.inputs() {
				listener.Step(&input)
			}
		case line, ok := <-lines:
			if !ok {
				return d.leave(nil)
			}
			d.answer(line)
		case <-ctx.Done():
			return d.leave(ctx.Err())
		}
	}
	if d.stopped {
		return d.leave(nil)
	}
	return d.write()
}

// toldInDraft are the kinds of event that the person is told of while something is asked: what
// stops an answer from coming, and that it is over.
var toldInDraft = map[string]bool{
	event.TapUp: true, event.TapDown: true, event.BusLocked: true, event.BusSilent: true, event.LineFault: true,
	event.LinkLost: true, event.LinkRestored: true, event.BoardHeard: true, event.BoardSilent: true,
}

// tell says what the session said since.
func (d *draftDialogue) tell() {
	shown, notices := d.inbox.said()
	for _, n := range notices {
		say(d.talk, "benchproof: "+n)
	}
	for i := range shown {
		e := &shown[i].Event
		switch e.Kind {
		case event.LineFault:
			d.unreadable = true
		case event.BusLocked:
			d.unreadable = false
		case event.BusSilent:
			if d.unreadable { // it was said why
				continue
			}
		}
		if toldInDraft[e.Kind] {
			sayBehind(d.talk, "  * ", event.Sentence(e))
		}
	}
}

// show says what is new, and the question where it is another one.
func (d *draftDialogue) show() {
	for _, news := range d.talking.News() {
		fmt.Fprintln(d.out, paragraphOn(d.out, "  ", news))
	}
	q := d.talking.Asks()
	if q == nil || q == d.asked {
		return
	}
	d.asked = q
	d.keep()
	fmt.Fprintln(d.out)
	for _, c := range q.Cautions {
		fmt.Fprintln(d.out, paragraphOn(d.out, "  ", "- "+c))
	}
	fmt.Fprintln(d.out, paragraphOn(d.out, "", q.Text))
	for _, x := range q.Choices {
		fmt.Fprintln(d.out, paragraphOn(d.out, "    ", x.Word+": "+x.Means))
	}
	if means := q.Means; means != "" || q.Enter != "" {
		if means == "" {
			means = q.Enter
		}
		fmt.Fprintln(d.out, paragraphOn(d.out, "    ", "Enter alone: "+means))
	}
}

// answer takes a line of the person.
func (d *draftDialogue) answer(line string) {
	switch line = strings.TrimSpace(line); line {
	case "s":
		d.talking.Skip()
	case "b":
		d.talking.Back()
	case "r":
		d.talking.Repeat()
	case "q":
		d.stopped = true
	default:
		d.talking.Answer(line)
	}
}

// leave ends without a sheet.
func (d *draftDialogue) leave(err error) error {
	if len(d.talking.History) > 0 {
		d.keep()
		say(d.out, fmt.Sprintf("No sheet is written yet. What was answered is in %s: the same command goes on there.", d.kept()))
	}
	if err != nil {
		return fail(exitInterrupted, errQuiet)
	}
	return fail(exitInterrupted, errors.New("the draft is not complete"))
}

// write writes the sheet.
func (d *draftDialogue) write() error {
	text, err := d.talking.Sheet()
	if err != nil {
		return fail(exitWrong, fmt.Errorf("%w\nWhat was answered is in %s", err, d.kept()))
	}
	if err := files.WriteNamed(d.file, text); err != nil {
		return fail(exitDevice, fmt.Errorf("%w\nWhat was answered is in %s: the same command goes on there", err, d.kept()))
	}
	_ = files.RemoveNamed(d.kept())
	d.written = true
	ports := ""
	for _, t := range d.sit.taps {
		ports += map[string]string{"bus": " --bus ", "pulses": " --leads "}[t.kind] + t.path
	}
	return toldDraft(d.out, d.file, ports)
}
