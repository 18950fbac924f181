package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"sync"
	"time"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/draft"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/port"
)

// draftDialogue is a draft with a person in front of it, and ports that are listened to.
type draftDialogue struct {
	protocol  *bus.Protocol
	file      string
	taps      []listened
	out, talk io.Writer

	talking *draft.Conversation
	asked   *draft.Question // that was shown last
	frames  int64           // heard by the last tick
	silent  bool            // it was said that nothing is heard
	stopped bool
}

// kept is where answers are kept until the sheet is written.
func (d *draftDialogue) kept() string { return d.file + ".draft" }

// run asks until all is asked, or somebody stops it.
func (d *draftDialogue) run(ctx context.Context, in io.Reader) error {
	if err := d.begin(); err != nil {
		return err
	}
	hearing, stop := context.WithCancel(ctx)
	defer stop()
	var names []event.TapName
	for _, t := range d.taps {
		names = append(names, event.TapName{Name: t.name, Kind: t.kind})
	}
	listener := draft.NewListener(d.protocol, names, d.talking)
	batches, ended := d.hear(hearing)
	defer func() { stop(); <-ended }()
	lines := readLines(in, hearing.Done())
	tick := time.NewTicker(5 * time.Second)
	defer tick.Stop()
	for d.show(); d.talking.Asks() != nil && !d.stopped; d.show() {
		select {
		case b := <-batches:
			for i := range b.Len() {
				x := b.Input(i)
				d.port(&x)
				listener.Step(&x)
			}
		case line, ok := <-lines:
			if !ok {
				return d.leave(nil)
			}
			d.answer(line)
		case <-tick.C:
			d.tick()
		case <-ctx.Done():
			return d.leave(ctx.Err())
		}
	}
	if d.stopped {
		return d.leave(nil)
	}
	return d.write()
}

// begin begins a conversation, or goes on with one that was broken off.
func (d *draftDialogue) begin() error {
	text, err := files.ReadNamed(d.kept(), files.MaxText)
	if errors.Is(err, fs.ErrNotExist) {
		d.talking = draft.New(d.protocol)
		return nil
	}
	if err == nil {
		d.talking, err = draft.Resume(d.protocol, text)
	}
	if err != nil {
		return fail(exitUsage, fmt.Errorf("%s can't be gone on with: %w; remove it to begin anew", d.kept(), err))
	}
	say(d.out, fmt.Sprintf("It goes on where it was broken off; remove %s to begin anew.", d.kept()))
	return nil
}

// hear listens to the ports; ended is closed once nobody does any more.
func (d *draftDialogue) hear(ctx context.Context) (batches <-chan *port.Batch, ended <-chan struct{}) {
	seq := port.NewSequencer(port.Clock, 0, 0)
	out, done := make(chan *port.Batch), make(chan struct{})
	var running sync.WaitGroup
	for i, t := range d.taps {
		p := port.Port{Tap: uint8(i + 1), Path: t.path, Settings: t.settings, Seq: seq, Open: t.open}
		running.Go(func() { p.Run(ctx) })
	}
	running.Go(func() {
		<-ctx.Done()
		seq.Close(0)
	})
	running.Go(func() {
		for {
			seq.Wait(port.Judge)
			b, over := seq.Take(port.Judge)
			_, _ = seq.Take(port.Recorder) // nothing is recorded here
			if over {
				return
			}
			if b == nil {
				continue
			}
			select {
			case out <- b:
			case <-ctx.Done():
			}
		}
	})
	go func() {
		running.Wait()
		close(done)
	}()
	return out, done
}

// port says that a port can't be read.
func (d *draftDialogue) port(in *event.Input) {
	if in.Kind == event.InputTapDown {
		say(d.talk, fmt.Sprintf("%s: %s", d.taps[in.Tap-1].path, in.Data))
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

// tick says so where nothing is heard.
func (d *draftDialogue) tick() {
	now := d.talking.Heard.Frames + d.talking.Heard.Damaged
	silent := now == d.frames
	if silent && !d.silent {
		say(d.talk, "Nothing that decodes comes from the bus. Is the receiver on, and the port the right one? Most often the inverter is missing, "+
			"or there is one too many. What is asked for stays asked for.")
	}
	d.frames, d.silent = now, silent
}

// keep keeps what was answered, for the next time.
func (d *draftDialogue) keep() {
	if len(d.talking.History) == 0 {
		return
	}
	text, err := d.talking.Save()
	if err == nil {
		err = files.WriteNamed(d.kept(), text)
	}
	if err != nil {
		say(d.talk, fmt.Sprintf("benchproof: what was answered can't be kept: %v", err))
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
		return fail(exitDevice, err)
	}
	_ = os.Remove(d.kept())
	return toldDraft(d.out, d.file)
}
