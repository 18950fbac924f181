package main

import (
	"fmt"
	"io"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/view"
)

// terminal shows events as lines and, where a person looks on, one status line
// below them that stays. Events are results and go to out; all else is talk.
type terminal struct {
	out, talk io.Writer
	sheet     *sheet.Sheet
	claims    claim.Index
	state     func() state.State // what the session is like now
	lines     view.Lines         // where out is a terminal
	below     below              // what stands below them

	mu       sync.Mutex
	changed  sync.Cond
	waiting  []session.Shown
	notices  []string
	said     map[string]time.Time
	done     bool
	overview *record.Overview
}

func newTerminal(out, talk io.Writer, sh *sheet.Sheet, look func() state.State) *terminal {
	t := &terminal{out: out, talk: talk, sheet: sh, claims: claim.NewIndex(sh), state: look, said: map[string]time.Time{}}
	t.lines.Paint = paintOf(out)
	t.overview = record.NewOverview(sh)
	t.changed.L = &t.mu
	return t
}

// show takes an event; it does not block.
func (t *terminal) show(s session.Shown) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.waiting = append(t.waiting, s)
	t.changed.Broadcast()
}

// quiet is how long a notice that repeats itself is held back.
const quiet = 30 * time.Second

// notice takes a sentence for the user; it does not block. The same one is said
// once in a while only.
func (t *terminal) notice(err error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if last, ok := t.said[err.Error()]; ok && time.Since(last) < quiet {
		return
	}
	t.said[err.Error()] = time.Now()
	t.notices = append(t.notices, err.Error())
	t.changed.Broadcast()
}

// tick has the status line drawn anew.
func (t *terminal) tick() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.changed.Broadcast()
}

// redrawn is how often that is done: rows of channels are to follow a hand.
func (t *terminal) redrawn() time.Duration {
	if t.sheet.Listens {
		return 200 * time.Millisecond
	}
	return time.Second
}

func (t *terminal) finish() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.done = true
	t.changed.Broadcast()
}

// run prints until finish. Once printing fails, nobody reads and it stays quiet.
func (t *terminal) run() {
	for {
		shown, notices, done := t.take()
		t.print(shown, notices, done)
		if done {
			return
		}
	}
}

func (t *terminal) take() ([]session.Shown, []string, bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if len(t.waiting) == 0 && len(t.notices) == 0 && !t.done {
		t.changed.Wait()
	}
	shown, notices := t.waiting, t.notices
	t.waiting, t.notices = nil, nil
	return shown, notices, t.done
}

func (t *terminal) print(shown []session.Shown, notices []string, done bool) {
	columns, rows := sizeOf(t.talk)
	if columns > 0 {
		_ = printPainted(t.talk, t.below.clear(columns))
	}
	for _, n := range notices {
		say(t.talk, "benchproof: "+n)
	}
	now := t.state()
	t.lines.Columns, _ = sizeOf(t.out)
	for i := range shown {
		e := &shown[i].Event
		t.overview.See(e)
		if t.claims.OnScreen(e) {
			_ = printPainted(t.out, eventLine(&t.lines, e))
		}
		if d, ok := e.Data.(event.LossData); ok {
			fmt.Fprintln(t.out, paragraphOn(t.out, t.belowDate(), claim.LossSummary(t.sheet, &d)))
		}
	}
	if done {
		_ = printPainted(t.out, t.lines.Rest())
		return
	}
	_ = printPainted(t.out, t.lines.Due(now.NowNS))
	if columns > 0 {
		_ = printPainted(t.talk, t.below.draw(t.present(&now, columns-1, rows)))
	}
}

// besidePresent are the rows of a screen that are left to events where rows of channels stand.
const besidePresent = 8

// present is what stands below the events: the status line and, where there is no sheet, what
// comes in above it.
func (t *terminal) present(now *state.State, columns, rows int) (lines []string) {
	if t.sheet.Listens {
		lines = view.Listening(now, columns, rows-besidePresent, paintOf(t.talk))
	}
	return append(lines, view.StatusLine(now, t.sheet, columns, paintOf(t.talk)))
}

// eventLine is what an event has a stream show. A terminal gets what it is read best by;
// anything else one line an event.
func eventLine(lines *view.Lines, e *event.Event) string {
	if lines.Columns == 0 {
		return lines.Plain(e)
	}
	return lines.Event(e)
}

// belowDate indents what goes on below the date of a line.
func (t *terminal) belowDate() string {
	if t.lines.Columns == 0 {
		return strings.Repeat(" ", 11)
	}
	return strings.Repeat(" ", 12) // the mark needs one
}

// endListening says what was heard where there was no sheet. It is for the time after run.
func (t *terminal) endListening(folder string) {
	now := t.state()
	columns, _ := sizeOf(t.out)
	fmt.Fprintln(t.out)
	for _, line := range view.ListeningEnds(&now, folder) {
		if utf8.RuneCountInString(line) > columns {
			bare := strings.TrimLeft(line, " ")
			line = view.Hang(line[:len(line)-len(bare)], bare, columns)
		}
		fmt.Fprintln(t.out, line)
	}
}

// summary is what the sitting showed. It is for the time after run.
func (t *terminal) summary() []string {
	now := t.state()
	return view.Summary(&now, t.overview, t.sheet)
}
