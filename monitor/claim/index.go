package claim

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
)

// Index finds the claims of a sheet by their IDs: for those who have an ID from a timeline
// or a record, and want to know what it is a claim of.
type Index map[string]*Claim

// NewIndex has the claims of a sheet, all of them open.
func NewIndex(s *sheet.Sheet) Index { return New(s).Index() }

// Index finds the claims of the book, which are its own.
func (b *Book) Index() Index { return b.byID }

// About is the claim that an event is about, by its About; nil for none, and for one
// that the sheet does not have.
func (x Index) About(about string) *Claim {
	id, _ := event.AboutClaim.Name(about)
	return x[id]
}

// Family is that of the claim with an ID, "" where the sheet has none.
func (x Index) Family(id string) Family {
	if c := x[id]; c != nil {
		return c.Family
	}
	return ""
}

// OnScreen reports whether an event is worth a line while a person looks on. That a
// claim of a quiet family was seen right goes without saying once something else was
// said.
func (x Index) OnScreen(e *event.Event) bool {
	if !event.OnScreen(e) {
		return false
	}
	d, verdict := e.Data.(event.VerdictData)
	c := x.About(e.About)
	return !verdict || d.Verdict != event.VerdictRight || c == nil || !c.Family.Quiet()
}
