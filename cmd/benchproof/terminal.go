package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"time"

	"golang.org/x/term"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/view"
)

// terminal shows events as lines and, where a person looks on, one status line
// below them that stays. Events are results and go to out; all else is talk.
type terminal struct {
	out, talk io.Writer
	sheet     *sheet.Sheet
	claims    claim.Index
	now       func() unit.Time
	state     func() state.State // what the session is like now
	width     func() int         // columns, 0 where nobody looks on

	mu       sync.Mutex
	changed  sync.Cond
	waiting  []session.Shown
	notices  []string
	said     map[string]time.Time
	done     bool
	overview view.Overview
}

func newTerminal(out, talk io.Writer, sh *sheet.Sheet, now func() unit.Time, look func() state.State) *terminal {
	t := &terminal{out: out, talk: talk, sheet: sh, claims: claim.NewIndex(sh), now: now, state: look, said: map[string]time.Time{}, width: func() int { return 0 }}
	t.overview.Names = namesOf(sh)
	t.changed.L = &t.mu
	if f, ok := talk.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		t.width = func() int {
			w, _, err := term.GetSize(int(f.Fd()))
			if err != nil {
				return 0
			}
			return w
		}
	}
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
	width := t.width()
	if width > 0 {
		fmt.Fprint(t.talk, "\r\x1b[K")
	}
	for _, n := range notices {
		fmt.Fprintf(t.talk, "benchproof: %s\n", n)
	}
	for i := range shown {
		e := &shown[i].Event
		t.overview.See(e)
		if t.claims.OnScreen(e) {
			fmt.Fprintf(t.out, "%9s  %s\n", unit.FormatClock(event.ShownTime(e)), event.Sentence(e))
		}
		if d, ok := e.Data.(event.LossData); ok {
			fmt.Fprintln(t.out, text.Wrap(claim.LossSummary(t.sheet, &d), paragraph, "           "))
		}
	}
	if width > 0 && !done {
		fmt.Fprint(t.talk, clip(t.status(), width-1))
	}
}

// status is the line that stays: what the events say, and where the outputs stand.
func (t *terminal) status() string {
	line := t.overview.Status(t.now())
	now := t.state()
	if outputs := widths(&now); outputs != "" {
		line += " | " + outputs
	}
	return line
}

// namesOf are those that a sheet gives.
func namesOf(sh *sheet.Sheet) event.SheetNames {
	return event.SheetNames{
		Channel: func(n int) string {
			if c, ok := sh.Channel(n); ok {
				return c.Name
			}
			return ""
		},
		Output: func(n int) string {
			if o, ok := sh.Output(n); ok {
				return o.Surface
			}
			return ""
		},
	}
}

// paragraph is how wide running text is set, columns.
const paragraph = 100

// clip shortens a line to a number of columns.
func clip(s string, columns int) string {
	r := []rune(s)
	if len(r) <= columns {
		return s
	}
	return strings.TrimRight(string(r[:max(0, columns-1)]), " ") + "…"
}
