package card

import (
	"slices"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/sheet"
)

// What stands on a card for what was seen.
const (
	notSeen   = "not seen"
	seenWrong = "SEEN WRONG"
	stale     = "stale"
)

// seen is what a session showed of the claims of its sheet.
type seen struct {
	claims   claim.Index       // of the sheet
	verdicts map[string]string // by claim; nil without a session
}

func newSeen(s *sheet.Sheet, r *record.Record) *seen {
	v := &seen{claims: claim.NewIndex(s)}
	if r != nil {
		v.verdicts = map[string]string{}
		for i := range r.Claims {
			v.verdicts[r.Claims[i].ID] = r.Claims[i].Verdict
		}
	}
	return v
}

// of is the word for some claims together: the worst of them. Without a session, and where the sheet makes no
// such claim, that is a box to tick.
func (v *seen) of(ids ...string) string {
	if v.verdicts == nil {
		return Box
	}
	var all []string
	for _, id := range ids {
		if verdict, ok := v.verdicts[id]; ok {
			all = append(all, verdict)
		}
	}
	switch has := func(verdict claim.Verdict) bool { return slices.Contains(all, string(verdict)) }; {
	case len(all) == 0:
		return Box
	case has(claim.VerdictWrong):
		return seenWrong
	case has(claim.VerdictOpen):
		return notSeen
	case has(claim.VerdictStale):
		return stale
	}
	return string(claim.VerdictRight)
}

// family is the word for all claims of a family whose ID goes on with these parts.
func (v *seen) family(f claim.Family, part string) string {
	var ids []string
	for id, c := range v.claims {
		if c.Family == f && (part == "" || c.Part == part) && !c.OnlyWrong {
			ids = append(ids, id)
		}
	}
	return v.of(ids...)
}

// behind is the word for a claim, in brackets behind what it is about; "" for a box.
func (v *seen) behind(id string) string {
	if word := v.of(id); word != Box {
		return " (" + word + ")"
	}
	return ""
}

func failsafeOf(c *sheet.Channel) string { return claim.FamilyFailsafe.ID(c.Name) }
