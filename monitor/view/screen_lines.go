package view

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// Lines makes of events the lines of a terminal: wrapped at words behind a column of
// dates that never goes back, and with repeats folded. The zero value wraps nothing;
// it is for one goroutine.
type Lines struct {
	Columns int // 0: lines are as long as they are
	Paint   Paint

	latest  unit.Time // the date of the line before
	repeats repeats
}

// beganEarlier follows a line whose event is dated before the line above it.
const beganEarlier = " (began %s)"

// Event is what an event has the terminal show: lines, each with its line feed, or ""
// where it repeats one of a moment ago. What is held back comes from Due and Rest.
func (l *Lines) Event(e *event.Event) string {
	before := l.Due(e.At)
	if l.repeats.hold(e) {
		return before
	}
	return before + l.line(e)
}

// Due are the lines of repeats that have been held back for long enough by now.
func (l *Lines) Due(now unit.Time) string { return l.told(l.repeats.due(now)) }

// Rest are the lines of all repeats that are still held back.
func (l *Lines) Rest() string { return l.told(l.repeats.rest()) }

func (l *Lines) told(held []repeat) string {
	var s strings.Builder
	for i := range held {
		r := &held[i]
		if r.times == 1 {
			s.WriteString(l.line(&r.event))
			continue
		}
		l.latest = max(l.latest, r.event.At)
		s.WriteString(l.compose(l.latest, GradeOf(&r.event), sentence(&r.event)+
			fmt.Sprintf(" (%d times since %s)", r.times, unit.FormatClock(r.since))))
	}
	return s.String()
}

func (l *Lines) line(e *event.Event) string {
	shown, sentence := l.dated(e, sentence(e))
	return l.compose(shown, GradeOf(e), sentence)
}

// Plain is an event as a file or a pipe gets it: one line for each.
func (l *Lines) Plain(e *event.Event) string {
	shown, sentence := l.dated(e, text.Printable(event.Sentence(e)))
	return fmt.Sprintf("%9s  %s\n", unit.FormatClock(shown), sentence)
}

// dated gives an event's line its date: its onset, or where that is before the line above, the
// moment itself, and then the sentence says when it began.
func (l *Lines) dated(e *event.Event, sentence string) (unit.Time, string) {
	shown := event.ShownTime(e)
	if shown < l.latest {
		sentence += fmt.Sprintf(beganEarlier, unit.FormatClock(shown))
		shown = max(e.At, l.latest)
	}
	l.latest = shown
	return shown, sentence
}

// compose is one line behind its date and its mark.
func (l *Lines) compose(at unit.Time, g Grade, sentence string) string {
	prefix := fmt.Sprintf("%9s %s ", unit.FormatClock(at), g.mark())
	if g == Right { // all else of it is plain
		return strings.Replace(Hang(prefix, sentence, l.Columns), event.VerdictRight, l.Paint.In(g, event.VerdictRight), 1) + "\n"
	}
	return l.Paint.In(g, Hang(prefix, sentence, l.Columns)) + "\n"
}

// sentence is that of an event; capitals are left to what must not be overlooked.
func sentence(e *event.Event) string {
	if d, ok := e.Data.(event.VerdictData); ok && d.Verdict != event.VerdictWrong {
		return text.Printable(d.Verdict + ": " + d.Sentence)
	}
	return text.Printable(event.Sentence(e))
}
