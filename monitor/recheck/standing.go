package recheck

import (
	"slices"
	"strings"
	"time"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/sheet"
)

// standing is how a claim stands after all sessions.
type standing struct {
	claim *claim.Claim
	wrong string // what was seen wrong last, "" for nothing
	stale bool
	seen  time.Time // when it was seen right last, zero for never
}

// sitting is one session: what its sheet claimed, and what became of it.
type sitting struct {
	record *record.Record
	claims claim.Index
	came   map[string]*record.Claim
}

// past is the sessions of a model, the latest first.
type past []sitting

func pastOf(s *sheet.Sheet, records []*record.Record) (list past) {
	for _, r := range records {
		was, err := sheet.Read("the record's sheet", []byte(r.Sheet))
		if err != nil || r.Model != s.Model {
			continue
		}
		one := sitting{record: r, claims: claim.NewIndex(was), came: map[string]*record.Claim{}}
		for i := range r.Claims {
			one.came[r.Claims[i].ID] = &r.Claims[i]
		}
		list = append(list, one)
	}
	return list
}

// standing follows a claim from the latest session back to the one that settled it.
func (p past) standing(c *claim.Claim, papers []event.Paper) standing {
	st := standing{claim: c}
	for i := range p {
		came, ok := p[i].find(c)
		if !ok {
			continue
		}
		switch claim.Verdict(came.Verdict) {
		case claim.VerdictWrong:
			st.wrong = came.Sentence
			return st
		case claim.VerdictStale:
			st.stale = true
			return st
		case claim.VerdictRight:
			st.seen, st.stale = p[i].record.Begun, st.stale || outdated(c, p[i].record.Begun, papers)
			return st
		}
		st.stale = st.stale || p[i].reopened(c) // what an earlier session saw is of before a change
	}
	return standing{claim: c}
}

// find is what became of a claim, if the sheet of that session claimed what this one does: with other widths it is another
// claim.
func (x *sitting) find(c *claim.Claim) (*record.Claim, bool) {
	then, ok := x.claims[c.ID]
	if !ok || then.Sentence != c.Sentence || x.came[c.ID] == nil {
		return nil, false
	}
	return x.came[c.ID], true
}

// reopened reports that the builder said in that session that what a claim rests on was changed.
func (x *sitting) reopened(c *claim.Claim) bool {
	return slices.ContainsFunc(x.record.Reopened, func(m record.Mark) bool { return m.Text == claim.TopicAll || m.Text == c.Reopens })
}

// outdated reports that an entry of the papers, of a later day than the session, makes a claim stale.
func outdated(c *claim.Claim, begun time.Time, papers []event.Paper) bool {
	return slices.ContainsFunc(papers, func(p event.Paper) bool {
		row, ok := event.PaperRowOf(p.Entry)
		if !ok || strings.Compare(p.Date, begun.UTC().Format(time.DateOnly)) <= 0 {
			return false
		}
		return row.Reopens == claim.TopicAll || row.Reopens == claim.TopicOutputs && c.Heading() == claim.HeadingOutputs
	})
}
