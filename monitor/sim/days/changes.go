package days

import (
	"encoding/json"
	"math/rand/v2"
	"slices"
	"strings"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/timeline"
)

// changes is a client that changes something, Text; it waits For at most, 0: for as long as it takes.
const changes What = "a change"

// What is changed.
const (
	strikesMark = "a mark is struck"
	reopensOne  = "something is to be seen anew"
	newPaper    = "an entry of the papers"
	draftStep   = "a step of a draft, which there is none of"
	tilted      = "sentences of a phone that is no tap"
)

func whatChanges() []string { return []string{strikesMark, reopensOne, newPaper, draftStep, tilted} }

// change asks for a change, and notes what was promised of it.
func (d *day) change(h *Happening, luck *rand.Rand) {
	l := d.life
	if l == nil || l.over {
		return
	}
	path, body, in := "", any(nil), put{}
	switch h.Text {
	case strikesMark:
		seq, mark := l.markShown()
		path, body = "/api/mark", map[string]any{"strikes": seq, "text": "no"}
		in = putOf(event.InputStrike, &event.StrikeData{MarkNS: mark.MarkNS, Text: mark.Text, Why: "no"})
	case reopensOne:
		topics := claim.Topics(d.sheet)
		what := topics[luck.IntN(len(topics))]
		path, body, in = "/api/reopen", map[string]any{"what": what}, put{kind: event.InputReopen, data: what}
	case newPaper:
		rows := event.PaperRows()
		row := &rows[luck.IntN(len(rows))]
		paper := &event.Paper{Entry: row.Name, Is: row.Example, By: "somebody", Date: "2026-05-02"}
		path, body, in = "/api/papers", paper, putOf(event.InputPapers, paper)
	case draftStep:
		path, body = "/api/draft", map[string]any{"do": "begin"}
	case tilted:
		path, body = "/api/tilt", map[string]any{"sentences": "$PBTA\r\n"}
	}
	text, _ := json.Marshal(body) // of plain fields: it can't fail
	_, _ = d.post(path, string(text), h.For, in)
}

// putOf is an input whose data is JSON.
func putOf(kind event.InputKind, v any) put {
	data, _ := json.Marshal(v) // of plain fields: it can't fail
	return put{kind: kind, data: string(data)}
}

// markShown is the latest mark that was shown, and its number; of none number 1, which never is one.
func (l *life) markShown() (seq int64, mark event.StrikeData) {
	for _, line := range slices.Backward(l.shown) {
		e, err := timeline.Parse([]byte(strings.TrimSuffix(line, "\n")))
		if err == nil && e.Kind == event.Mark {
			_ = json.Unmarshal(e.Data, &mark) // it was shown
			mark.MarkNS = e.At
			return e.Seq, mark
		}
	}
	return 1, mark
}
