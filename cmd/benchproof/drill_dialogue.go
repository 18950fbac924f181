package main

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"
	"time"

	"benchproof.example/monitor/api/client"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/drill/course"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/view"
)

// drillDialogue is a drill with a person in front of it.
type drillDialogue struct {
	name, by  string
	plan      *drill.Plan // nil where the sheet has none
	sheet     *sheet.Sheet
	claims    claim.Index
	daemon    *client.Client
	takesOver bool // it goes on with a drill that was begun elsewhere
	out, talk io.Writer
	lines     view.Lines // where out is a terminal
	attended  bool       // the person can be asked back
	session   string     // what follows a command that reaches the same session

	link     *drillLink
	answered bool  // the daemon has answered to the first step
	from     int64 // number of the first event that matters here
	unsure   bool  // what came of a step was not known when it was answered

	open    bool   // the line of the latest question goes on: what comes now stands below it
	asking  string // what the next line of the person answers: "", askCautions or the ID of a prompt
	looked  bool   // what the prompt sees and waits for stands on that line
	count   countdown
	begun   bool // a prompt was shown
	walked  rangeTable
	slipped string        // what is to be named so that the latest claim that was seen wrong is seen anew, "" for none
	changed []string      // about which claims verdicts changed since
	held    []event.Event // seen right while a prompt stands, which their lines would push away
	stopped bool          // the person wants no more
	over    bool
	result  error
}

// abandonWait is how long an interrupted drill waits to hear that it was abandoned.
const abandonWait = time.Second

const askCautions = "cautions"

// run plays the drill to its end. Lines of the person are taken one for each
// question, so that they may also come from a file. What leaves here leaves the drill
// standing, for who takes it over.
func (e *drillDialogue) run(ctx context.Context, in io.Reader) error {
	talking, stop := context.WithCancel(context.WithoutCancel(ctx)) // an interrupted drill is still to be abandoned
	defer stop()
	if err := e.connect(ctx, talking, stop); err != nil {
		return err
	}
	lines, interrupt, giveUp := readLines(in, talking.Done()), ctx.Done(), (<-chan time.Time)(nil)
	for !e.over {
		select {
		case a := <-e.link.answers:
			e.onAnswer(a)
		case line, ok := <-e.events():
			e.onLine(line, ok)
		case line, ok := <-e.typed(lines):
			if !ok {
				lines = nil
				e.silent()
				continue
			}
			e.open = false // the person's Enter ended it
			e.answer(strings.TrimSpace(line))
		case now := <-e.link.waits:
			e.shows(now)
		case <-e.count.due():
			fmt.Fprint(e.talk, e.count.number())
			e.open = true
		case <-interrupt:
			interrupt, giveUp = nil, time.After(abandonWait)
			e.abandon()
		case <-giveUp:
			return fail(exitInterrupted, errors.New("the daemon does not answer; the drill ends by itself after a while"))
		}
	}
	return e.result
}

// connect reaches the daemon and begins the drill, or takes it over. Nothing was begun yet
// where ctx ends before, so that ends it at once.
func (e *drillDialogue) connect(ctx, talking context.Context, stop func()) (err error) {
	opened := context.AfterFunc(ctx, stop)
	if e.link, err = openLink(talking, e.daemon); err != nil {
		return daemonFault(ctx, err)
	}
	if e.takesOver {
		if err := e.takeOver(ctx, talking); err != nil {
			return err
		}
	}
	if !opened() {
		return daemonFault(ctx, ctx.Err())
	}
	if isTerminal(e.talk) {
		go e.link.look(talking, e.daemon)
	}
	if !e.takesOver {
		e.send(event.StepBegin, "")
	}
	return nil
}

// events are the events of the session, once it is known which of them matter.
func (e *drillDialogue) events() <-chan []byte {
	if !e.answered {
		return nil
	}
	return e.link.events
}

// typed are the lines of the person while something is asked.
func (e *drillDialogue) typed(all <-chan string) <-chan string {
	if e.asking == "" || e.stopped {
		return nil
	}
	return all
}

// readLines reads the person's lines; the channel closes after the last.
func readLines(in io.Reader, done <-chan struct{}) <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for s := bufio.NewScanner(in); s.Scan(); {
			select {
			case lines <- s.Text():
			case <-done:
				return
			}
		}
	}()
	return lines
}

// onAnswer takes what the daemon says to a step.
func (e *drillDialogue) onAnswer(a stepAnswer) {
	first := !e.answered
	e.answered = true
	var refused *client.Refused
	switch {
	case errors.As(a.err, &refused) && refused.Code < http.StatusInternalServerError:
		e.refused(refused.Sentence)
	case a.err != nil:
		e.end(exitDevice, fmt.Sprintf("the drill ends here: %v", a.err))
	case a.seq == 0:
		e.unsure = true
	case first:
		e.from = a.seq
	}
}

// onLine takes an event of the session.
func (e *drillDialogue) onLine(line []byte, ok bool) {
	if !ok {
		e.end(exitDevice, fmt.Sprintf("the drill ends here: %v", client.ErrEnded))
		return
	}
	entry, err := timeline.Parse(line)
	if err != nil {
		e.end(exitFault, err.Error())
		return
	}
	if entry.Seq >= e.from {
		e.onEvent(&entry)
	}
}

// onEvent takes an event that matters here.
func (e *drillDialogue) onEvent(entry *timeline.Entry) {
	if entry.Kind == event.LossMeasured && e.begun {
		e.showHeld()
		d := read[event.LossData](entry)
		fmt.Fprintf(e.out, "\n%s\n", paragraphOn(e.out, "  ", claim.LossSummary(e.sheet, &d)))
		return
	}
	if entry.Kind == event.VerdictChanged && e.begun {
		e.changed = append(e.changed, entry.About)
		e.verdict(entry)
		return
	}
	mine := entry.About == event.AboutDrill.Called(e.name)
	if mine || entry.Kind == event.DrillRefused && entry.About == event.AboutSession { // the sheet has no such drill
		e.event(entry)
	}
}

// below has a result stand on a line of its own, where a person sees it beside the
// questions.
func (e *drillDialogue) below() {
	if e.open && isTerminal(e.talk) && isTerminal(e.out) {
		fmt.Fprintln(e.talk)
	}
	e.open = false
}

// verdict shows a verdict that changed while the drill runs. What is seen right waits until the
// prompt that stands is answered.
func (e *drillDialogue) verdict(entry *timeline.Entry) {
	d := read[event.VerdictData](entry)
	changed := event.Event{At: entry.At, From: entry.From, Kind: entry.Kind, About: entry.About, Data: d}
	if !e.claims.OnScreen(&changed) {
		return
	}
	e.held = append(e.held, changed)
	if d.Verdict != event.VerdictRight || e.asking == "" {
		e.showHeld()
	}
	if c := e.claims.About(entry.About); c != nil && e.attended && d.Verdict == event.VerdictWrong && c.Reopens != "" {
		e.slipped = c.Reopens
		say(e.talk, fmt.Sprintf(slipOrFault, c.Reopens, e.backToo()))
	}
}

// slipOrFault stands below a claim that was seen wrong while a drill runs.
const slipOrFault = "  If a hand slipped, a and Enter has %s seen anew%s. If it is the model: change it, then benchproof reopen."

// backToo says that the prompt before stands again then, where prompts can be taken anew.
func (e *drillDialogue) backToo() string {
	if e.plan != nil && e.plan.Again() {
		return " and goes back one prompt"
	}
	return ""
}

// anew has what was seen wrong by a slip seen anew, and goes back to where it was asked for.
func (e *drillDialogue) anew(asked string) {
	if !e.link.reopen(e.slipped) {
		e.end(exitDevice, "the drill ends here: the daemon does not answer")
	}
	e.slipped = ""
	if e.backToo() != "" {
		e.send(event.StepBack, asked)
	}
}

// showHeld shows the verdicts that waited.
func (e *drillDialogue) showHeld() {
	for i := range e.held {
		e.below()
		e.lines.Columns, _ = sizeOf(e.out)
		_ = printPainted(e.out, eventLine(&e.lines, &e.held[i]))
	}
	e.held = nil
}

// called is the name of a channel in the sheet.
func (e *drillDialogue) called(channel int) string { return course.Called(e.sheet, channel) }

func (e *drillDialogue) event(entry *timeline.Entry) {
	e.showHeld()
	switch entry.Kind {
	case event.DrillBegan:
		e.began(read[event.DrillBeganData](entry))
	case event.DrillPrompted:
		e.prompted(read[event.DrillPromptedData](entry))
	case event.DrillAnswered:
		d := read[event.DrillAnsweredData](entry)
		e.asking = ""
		e.below()
		sayBehind(e.out, fmt.Sprintf("%9s  ", unit.FormatClock(entry.At)), event.PromptAnswer(&d, entry.At.Sub(entry.From), e.called))
	case event.DrillHint:
		e.hint(read[event.DrillHintData](entry))
	case event.RangeMark:
		e.stood(read[event.RangeMarkData](entry))
	case event.DrillEnded:
		e.ended(read[event.DrillEndedData](entry))
	case event.DrillRefused:
		if e.unsure { // else the answer to the step says so, and this may be another's
			e.refused(read[event.ReasonData](entry).Why)
		}
	}
}

// read is the data of a timeline line, whose seal has been checked.
func read[T any](entry *timeline.Entry) (data T) {
	_ = json.Unmarshal(entry.Data, &data)
	return data
}

// answer takes a line of the person.
func (e *drillDialogue) answer(line string) {
	asked := e.asking
	switch {
	case line != "" && asked != askCautions && !isKey(line) && e.plan.Prompt(asked).InWords():
		e.tell(asked, line)
	case strings.EqualFold(line, "q"), asked == askCautions && !strings.EqualFold(line, "yes"):
		e.abandon()
	case asked == askCautions:
		e.asking = ""
		e.send(event.StepConfirm, "")
	case strings.EqualFold(line, "a") && e.slipped != "":
		e.anew(asked)
	case strings.EqualFold(line, "r"):
		e.send(event.StepRepeat, asked)
	case strings.EqualFold(line, "b"):
		e.send(event.StepBack, asked)
	default:
		e.done(asked)
	}
}

// done says that a prompt is followed.
func (e *drillDialogue) done(asked string) {
	if e.plan.Prompt(asked).Until.Hold {
		fmt.Fprint(e.talk, "  (noted; hold on until the next one comes) ")
	}
	e.asking = ""
	e.send(event.StepDone, asked)
}

// isKey reports that a line is one of the keys of a drill.
func isKey(line string) bool {
	return strings.EqualFold(line, "q") || strings.EqualFold(line, "r") || strings.EqualFold(line, "b")
}

// silent is when no further line will come: the cautions then stay unconfirmed,
// but prompts can still be answered by the bus.
func (e *drillDialogue) silent() {
	if e.asking == askCautions {
		e.abandon()
	}
}

func (e *drillDialogue) abandon() {
	if !e.stopped {
		e.stopped = true
		e.send(event.StepAbandon, "")
	}
}

func (e *drillDialogue) send(do, prompt string) {
	s := &event.DrillStep{Drill: e.name, Do: do, Prompt: prompt}
	if do == event.StepBegin {
		s.By, s.Attended = e.by, e.attended
	}
	e.give(s)
}

// tell answers a prompt in words.
func (e *drillDialogue) tell(prompt, words string) {
	e.asking = ""
	e.give(&event.DrillStep{Drill: e.name, Do: event.StepDone, Prompt: prompt, Words: words})
}

func (e *drillDialogue) give(s *event.DrillStep) {
	if !e.link.send(s) {
		e.end(exitDevice, "the drill ends here: the daemon does not answer")
	}
}
