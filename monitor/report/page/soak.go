package page

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"benchproof.example/monitor/account"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report/compare"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// How much the page of a long run takes, in printed lines, so that it is one printed page.
const (
	mostLines     = 13 // of what is proven, what is not, and what happened, beside mostRows of the strip
	mostProven    = 9
	leastProven   = 5
	leastBehind   = 5 // of what is not proven, and what happened
	leastHappened = 4 // of what happened, where what is not proven leaves it
	leadsLines    = 6 // more for servo leads alone: fewer words, and nothing is missed on the air
	mostNotProven = 9
	mostWatched   = 5
	mostSoakText  = 420 // letters of one sentence
	mostCondition = 80
	boldLine      = 96 // letters of a printed line
	wideLine      = 120
)

// soakPage is the page of a long run. Its sentences are the account's.
type soakPage struct {
	When      string
	Declared  string
	Watched   cutList
	Happened  cutList
	Proven    cutList
	NotProven cutList
	More      string
	Cautions  []string
	Words     []account.Word

	Strip     *dayStrip
	Worst     *hourStrip
	StripOf   string // the tap that the strips are of
	OtherTaps int    // how many have none here
}

// cutList is a list without what there was no room for.
type cutList struct {
	Lines []string
	Left  int
}

// newCutList takes what so many printed lines of so many letters have room for, its first
// sentence in any case, and reports how many lines are left. The last few sentences of the list
// are always among it.
func newCutList(list []string, lines, letters, always int) (c cutList, left int) {
	list = slices.Clone(list)
	first := max(0, len(list)-always)
	for i := range list {
		if list[i] = stop(shorten(list[i], mostSoakText)); i >= first {
			lines -= linesOf(list[i], letters)
		}
	}
	for i, s := range list {
		takes := linesOf(s, letters)
		switch {
		case i >= first:
		case i > 0 && takes > lines:
			c.Left++
			continue
		default:
			lines -= takes
		}
		c.Lines = append(c.Lines, s)
	}
	if c.Left > 0 {
		lines-- // which says so
	}
	return c, lines
}

// linesOf is how many printed lines of so many letters a text takes.
func linesOf(s string, letters int) int { return (utf8.RuneCountInString(s) + letters - 1) / letters }

// isLongRun reports whether a record has something to say as a long run: also a short one whose
// sheet declares one.
func isLongRun(r *record.Record, s *sheet.Sheet) bool {
	return compare.IsLongRun(r) || s.Soak != nil && r.Account != nil && len(r.Account.Taps) > 0
}

// newSoakPage is the page of a long run, nil where the session was none.
func newSoakPage(r *record.Record, s *sheet.Sheet) *soakPage {
	if !isLongRun(r, s) {
		return nil
	}
	a := r.Account
	date := func(t unit.Time) string { return soakDate(r.Begun, t) }
	t := worstTap(a.Taps)
	p := &soakPage{
		When:     fmt.Sprintf("From %s to %s, %s. All times are UTC.", wallOf(r, a.SinceNS), wallOf(r, a.UntilNS), unit.FormatSpan(a.UntilNS.Sub(a.SinceNS))),
		Cautions: account.Cautions, Words: account.Words(a), StripOf: t.Name, OtherTaps: len(a.Taps) - 1,
		Strip: newDayStrip(a, t, r.Begun),
	}
	p.Worst = newHourStrip(a, t, r.Begun, p.Strip)
	room := mostLines + mostRows - len(p.Strip.Rows) - min(2, p.OtherTaps)
	if p.Worst != nil && len(p.Worst.Legend) > 0 {
		room-- // which takes a line
	}
	if t.Leads != nil {
		room += leadsLines
	}
	if more := account.More(a, 0); len(more) > 0 {
		p.More = stop(shorten(strings.Join(more, "; "), mostSoakText))
		room -= linesOf(p.More, wideLine) - 1
	}
	declared := account.Declared(a)
	for i := range declared {
		declared[i] = shorten(declared[i], mostCondition)
	}
	p.Declared = stop(strings.Join(declared, "; "))
	room -= linesOf(p.Declared, wideLine) - 2
	left := 0
	p.Watched, left = newCutList(account.Watched(a, date), mostWatched, wideLine, 1)
	room -= mostWatched - left - 2
	proven := min(mostProven, max(leastProven, room-leastBehind))
	p.Proven, left = newCutList(a.Proven, proven, boldLine, 0)
	room -= proven - left
	not := min(mostNotProven, max(leastBehind, room-leastHappened))
	p.NotProven, left = newCutList(a.NotProven, not, wideLine, 2)
	room -= not - left
	p.Happened, _ = newCutList(inPrint(a, date), room, wideLine, 0)
	return p
}

// worstTap is the bus with the most outages, of equals the first.
func worstTap(taps []state.TapAccount) *state.TapAccount {
	worst := &taps[0]
	for i := range taps {
		if taps[i].Outages > worst.Outages {
			worst = &taps[i]
		}
	}
	return worst
}

// latestInPrint is how many outages are listed for each bus.
const latestInPrint = 4

// inPrint says what happened, with the latest few outages of each bus in one line.
func inPrint(a *state.Account, date func(unit.Time) string) []string {
	few := *a
	few.Taps = slices.Clone(a.Taps)
	latest := []string{}
	for i := range few.Taps {
		t := &few.Taps[i]
		if of := account.Latest(t, date); len(of) > 0 {
			latest = append(latest, t.Name+": "+strings.Join(of[max(0, len(of)-latestInPrint):], "; "))
		}
		t.Latest = nil
		t.WorstHour = nil // it is drawn
		t.Away = nil
	}
	few.Rests, few.Clock = nil, nil // when things happened comes before how still outputs stood
	return slices.Concat(account.Happened(&few, date), latest, account.Interruptions(a, date), account.RestsOfLeads(a))
}

// wallOf is bench time as a date with its year.
func wallOf(r *record.Record, t unit.Time) string { return FormatDate(r.Begun.Add(time.Duration(t))) }

// soakDate is bench time as a date, UTC.
func soakDate(begun time.Time, t unit.Time) string {
	return begun.Add(time.Duration(t)).UTC().Format("2 Jan 15:04:05")
}
