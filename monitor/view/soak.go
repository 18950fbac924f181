package view

import (
	"fmt"
	"strings"
	"time"

	"benchproof.example/monitor/account"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// ahead is how many claims behind the next are said.
const ahead = 2

// Soak is the account of a long run as the builder reads it: under what it was done, how
// long it was watched, what happened, what that proves and what not, and what to mind in
// the next. wall is Unix ns at bench time 0. Lines are wrapped to the columns, 0: not at all.
func Soak(a *state.Account, model string, wall int64, columns int) string {
	var b strings.Builder
	title := func(s string) { fmt.Fprintf(&b, "\n%s\n", s) }
	line := func(format string, args ...any) {
		b.WriteString(Hang("  ", text.Printable(fmt.Sprintf(format, args...)), columns) + "\n")
	}
	fmt.Fprintf(&b, "%s, from %s, %s; times are UTC\n", text.Printable(model), dateOf(wall, a.SinceNS), unit.FormatSpan(a.UntilNS.Sub(a.SinceNS)))
	date := func(t unit.Time) string { return dateOf(wall, t) }
	section(title, line, "Under what it was done", account.Declared(a), "")
	section(title, line, "How long it was watched", account.Watched(a, date), "nothing was listened to")
	section(title, line, "What happened", account.Happened(a, date), "nothing that counts")
	section(title, line, "What is proven", a.Proven, "nothing yet")
	section(title, line, "What is not proven", a.NotProven, "")
	section(title, line, "What would prove more", account.More(a, ahead), "nothing that is worth waiting for")
	section(title, line, "Before you leave it alone", account.Cautions, "")
	words := []string{}
	for _, w := range account.Words(a) {
		words = append(words, w.Word+": "+w.Means)
	}
	section(title, line, "Words", words, "")
	return b.String()
}

func section(title func(string), line func(string, ...any), name string, sentences []string, none string) {
	title(name)
	if len(sentences) == 0 {
		line("%s", none)
	}
	for _, s := range sentences {
		line("%s", s)
	}
}

// dateOf is bench time as a date, UTC.
func dateOf(wall int64, t unit.Time) string {
	return time.Unix(0, wall+int64(t)).UTC().Format("2006-01-02 15:04:05")
}
