package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"benchproof.example/monitor/draft"
	"benchproof.example/monitor/draft/dialogue"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
)

// draftDialogue is a draft with a person in front of it, and a session that listens to the
// ports and records what they show.
type draftDialogue struct {
	sit       *liveSession
	store     *draftFile
	out, talk io.Writer

	inbox      draftInbox
	told       int64  // number of the latest news that was told
	asked      int64  // question that was shown last
	troubled   string // what was said last of what can't be kept
	unreadable bool   // it was said why nothing can be read on the bus
	outcome    error  // how the conversation ended
}

func newDraftDialogue(sit *liveSession, file string, out, talk io.Writer) *draftDialogue {
	return &draftDialogue{sit: sit, store: &draftFile{sheet: file}, out: out, talk: talk, inbox: newDraftInbox()}
}

// run asks until all is asked, or somebody stops it.
func (d *draftDialogue) run(ctx context.Context, in io.Reader) error {
	if err := d.begin(time.Now()); err != nil {
		return err
	}
	folder, file := string(d.sit.folder), d.store.sheet
	live, err := d.sit.open(ctx)
	if err != nil {
		return err
	}
	d.announce(folder)
	if _, err := d.sit.draft.Do(ctx, dialogue.Step{Do: dialogue.Begin}); err != nil {
		return fail(exitFault, err)
	}
	hearing, enough := context.WithCancel(ctx)
	defer enough()
	err = d.sit.hear(hearing, live, &d.inbox, func(ctx context.Context) {
		defer enough()
		d.outcome = d.converse(ctx, in)
	})
	d.tell()
	keepRecord(ctx, d.sit.folder, d.sit.showed, d.talk)
	switch {
	case d.sit.draft.Look().File != "":
		say(d.talk, fmt.Sprintf(draftJudged, folder, folder, file))
	case d.sit.draft.Frames() > 0:
		say(d.talk, fmt.Sprintf(draftAgain, folder, folder, file))
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

// converse asks while the session listens, and shows what others answer meanwhile.
func (d *draftDialogue) converse(ctx context.Context, in io.Reader) error {
	lines := readLines(in, ctx.Done())
	for {
		changed := d.sit.draft.Changed()
		now := d.sit.draft.Look()
		d.show(&now)
		if now.State != dialogue.Asking && now.State != dialogue.Writing {
			return d.ended(&now)
		}
		select {
		case <-d.inbox.came:
			d.tell()
		case <-changed:
		case line, ok := <-lines:
			if !ok {
				return d.leave(nil)
			}
			d.answer(ctx, line)
		case <-ctx.Done():
			return d.leave(ctx.Err())
		}
	}
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
func (d *draftDialogue) show(now *dialogue.Moment) {
	for _, news := range now.News {
		if news.Number > d.told {
			d.told = news.Number
			fmt.Fprintln(d.out, paragraphOn(d.out, "  ", news.Text))
		}
	}
	if now.State == dialogue.Asking && now.Trouble != d.troubled {
		if d.troubled = now.Trouble; d.troubled != "" {
			say(d.talk, "benchproof: "+d.troubled)
		}
	}
	if now.Question != nil && now.Asked != d.asked {
		d.asked = now.Asked
		d.put(now.Question)
	}
}

// put puts a question.
func (d *draftDialogue) put(q *draft.Question) {
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

// answer takes a line of the person. What can't be taken as things stand is over already, and
// shown as that.
func (d *draftDialogue) answer(ctx context.Context, line string) {
	step := dialogue.Step{Do: dialogue.Answer, Text: strings.TrimSpace(line)}
	if do, ok := draftSteps[step.Text]; ok {
		step = dialogue.Step{Do: do}
	}
	_, _ = d.sit.draft.Do(ctx, step)
}

// draftSteps are the keys of a draft.
var draftSteps = map[string]string{"s": dialogue.Skip, "b": dialogue.Back, "r": dialogue.Repeat, "q": dialogue.End}

// ended follows a conversation that is over.
func (d *draftDialogue) ended(now *dialogue.Moment) error {
	switch {
	case now.State == dialogue.Lacking:
		return fail(exitWrong, fmt.Errorf("%s\nWhat was answered is in %s", now.Trouble, d.store.path()))
	case now.State != dialogue.Done:
		return d.leave(nil)
	case now.Trouble != "":
		return fail(exitDevice, fmt.Errorf("%s\nWhat was answered is in %s: the same command goes on there", now.Trouble, d.store.path()))
	}
	return toldDraft(d.out, now.File, now.Commands)
}

// leave ends without a sheet.
func (d *draftDialogue) leave(err error) error {
	if d.sit.draft.Answered() {
		say(d.out, fmt.Sprintf("No sheet is written yet. What was answered is in %s: the same command goes on there.", d.store.path()))
	}
	if err != nil {
		return fail(exitInterrupted, errQuiet)
	}
	return fail(exitInterrupted, errors.New("the draft is not complete"))
}
