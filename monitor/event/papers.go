package event

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/text"
)

// PapersChanged is the kind of event of the model's papers: what no wire shows of it.
const PapersChanged = "papers.changed"

// Paper is one entry of a model's papers, signed.
type Paper struct {
	Entry string `json:"entry"` // the name of its PaperRow
	Is    string `json:"is"`    // in the builder's words, "" where only the date counts
	By    string `json:"by"`    // who says so
	Date  string `json:"date"`  // since when, or when it was done: 2026-05-02
}

// PaperRow is one entry that papers may have.
type PaperRow struct {
	Name    string
	Remark  string
	Example string   // of Is; "" where the date alone says it
	Reopens string   // what is to be seen anew once it changes: a topic of the claims, "" for nothing that a wire shows
	Needs   []string // entries that make this one out of date once they are dated later
}

// everything and outputs are topics of the claims, see claim.Topics.
const (
	reopensAll     = "everything"
	reopensOutputs = "outputs"
)

// paperRows are the entries, in the order in which people read them. What a change makes out
// of date is common practice: a rebind, other firmware or another receiver, all of it; what
// is learned, levelled or mounted anew, all that outputs do.
var paperRows = []PaperRow{
	{"receiver", "the receiver, in your words", "six outputs, with a stabiliser", reopensAll, nil},
	{"firmware", "its firmware", "2.1", reopensAll, []string{"receiver"}},
	{"bound", "when it was bound", "", reopensAll, []string{"receiver"}},
	{"learned", "when its limits were learned", "", reopensOutputs, []string{"receiver", "firmware", "wing", "mounting"}},
	{"levelled", "when it was levelled", "", reopensOutputs, []string{"receiver", "firmware", "mounting"}},
	{"mounting", "how it lies in the model", "flat, label up, leads to the nose", reopensOutputs, []string{"receiver"}},
	{"wing", "the wing and tail that it is set to", "two ailerons, one elevator", reopensOutputs, []string{"receiver", "firmware"}},
	{"directions", "by eye: each surface goes the right way with its stick", "all right, by the sticks", "",
		[]string{"receiver", "firmware", "bound", "learned", "wing"}},
	{"throws", "by eye and ruler: how far surfaces go, in mm", "ailerons 12 mm up, 8 mm down", "", []string{"receiver", "firmware", "bound", "learned", "wing"}},
	{"linkages", "by hand: linkages are free, nothing binds or is loose", "free at both ends", "", []string{"learned"}},
	{"balance", "where the model balances", "58 mm behind the leading edge", "", []string{"receiver"}},
}

// PaperRows are the entries that papers may have. They must not be changed.
func PaperRows() []PaperRow { return paperRows }

// PaperRowOf finds a row by its name.
func PaperRowOf(name string) (*PaperRow, bool) {
	i := slices.IndexFunc(paperRows, func(r PaperRow) bool { return r.Name == name })
	if i < 0 {
		return nil, false
	}
	return &paperRows[i], true
}

// PapersData belongs to papers.changed.
type PapersData struct {
	Paper
	Was     *Paper `json:"was,omitempty"`     // the entry until then; left out: the session had none
	Reopens string `json:"reopens,omitempty"` // what is to be seen anew because of it; left out: nothing that a wire shows
}

const (
	mostPaperWords  = 200
	mostPaperSigner = 40
)

// Check says what is wrong with an entry, nil for nothing. Lengths are in characters.
func (p *Paper) Check() error {
	row, ok := PaperRowOf(p.Entry)
	switch {
	case !ok:
		return fmt.Errorf("got the entry %q, want one of %s", short(p.Entry), strings.Join(paperNames(), ", "))
	case row.Example != "" && strings.TrimSpace(p.Is) == "":
		return fmt.Errorf("%s says nothing: give it words such as %q", p.Entry, row.Example)
	case p.Entry == "throws" && !strings.Contains(p.Is, "mm"):
		return fmt.Errorf("throws without a figure in mm: got %q, want one such as %q", short(p.Is), row.Example)
	case len([]rune(p.Is)) > mostPaperWords:
		return fmt.Errorf("%s is too long: got %d characters, want at most %d", p.Entry, len([]rune(p.Is)), mostPaperWords)
	case strings.TrimSpace(p.By) == "":
		return fmt.Errorf("%s is signed by nobody: say who", p.Entry)
	case len([]rune(p.By)) > mostPaperSigner:
		return fmt.Errorf("the name behind %s is too long: got %d characters, want at most %d", p.Entry, len([]rune(p.By)), mostPaperSigner)
	case text.Printable(p.Is) != p.Is || text.Printable(p.By) != p.By:
		return fmt.Errorf("%s has control characters in it, want plain text on one line", p.Entry)
	case !isDate(p.Date):
		return fmt.Errorf("got the date %q for %s, want a day such as 2026-05-02", short(p.Date), p.Entry)
	}
	return nil
}

func paperNames() (list []string) {
	for _, r := range paperRows {
		list = append(list, r.Name)
	}
	return list
}

// short is the beginning of what somebody wrote, safe to print.
func short(s string) string {
	r := []rune(text.Printable(s))
	return string(r[:min(len(r), 40)])
}

// isDate reports whether s is a day of the calendar as ISO 8601 writes it, from 2000 on.
func isDate(s string) bool {
	if len(s) != len("2026-05-02") || s[4] != '-' || s[7] != '-' {
		return false
	}
	var n [3]int
	for i, part := range []string{s[:4], s[5:7], s[8:]} {
		for _, c := range part {
			if c < '0' || c > '9' {
				return false
			}
			n[i] = 10*n[i] + int(c-'0')
		}
	}
	return n[0] >= 2000 && n[1] >= 1 && n[1] <= 12 && n[2] >= 1 && n[2] <= daysOf(n[0], n[1])
}

// daysOf is how many days a month has in the Gregorian calendar.
func daysOf(year, month int) int {
	switch month {
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}

// WithPaper puts an entry into papers, in the order of the rows, and gives the one that was
// there; changed is false where it says the same.
func WithPaper(list []Paper, p Paper) (with []Paper, was *Paper, changed bool) {
	i := slices.IndexFunc(list, func(o Paper) bool { return o.Entry == p.Entry })
	if i >= 0 {
		if list[i] == p {
			return list, &p, false
		}
		before := list[i]
		with = slices.Clone(list)
		with[i] = p
		return with, &before, true
	}
	with = append(slices.Clone(list), p)
	slices.SortFunc(with, func(a, b Paper) int { return cmp.Compare(placeOfPaper(a), placeOfPaper(b)) })
	return with, nil, true
}

func placeOfPaper(p Paper) int { return slices.Index(paperNames(), p.Entry) }

// Outdated names the entries of papers that are dated later than this one and make it out of
// date; none where it holds.
func (p *Paper) Outdated(list []Paper) (by []string) {
	row, ok := PaperRowOf(p.Entry)
	if !ok {
		return nil
	}
	for i := range list {
		if slices.Contains(row.Needs, list[i].Entry) && list[i].Date > p.Date {
			by = append(by, list[i].Entry)
		}
	}
	return by
}

// Says is an entry as a line has it: "bound 2026-05-02, by Ann".
func (p *Paper) Says() string {
	said := p.Entry
	if p.Is != "" {
		said += ": " + p.Is + ","
	}
	return fmt.Sprintf("%s %s, by %s", said, p.Date, p.By)
}

var papersKinds = []Row{
	row(PapersChanged, "session", "An entry of the model's papers, as the session began or since: what no wire shows. What depends on it is to be "+
		"seen anew.", papersSentence),
}

func papersSentence(_ *Event, _ string, d *PapersData) string {
	s := "papers: " + d.Says()
	if d.Was != nil {
		s += " (was " + strings.TrimLeft(strings.TrimPrefix(d.Was.Says(), d.Was.Entry), ": ") + ")"
	}
	if d.Reopens != "" {
		s += "; to be seen anew: " + d.Reopens
	}
	return s
}
