package report_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report/page"
	"benchproof.example/monitor/state"
)

// worst is the record of a sitting in which everything is wrong, with long sentences: what a
// first page must bear.
func worst(t testing.TB) *record.Record {
	t.Helper()
	r := kept(t)
	r.Count, r.Builds = state.VerdictCount{}, append(r.Builds, "another", "and another")
	for i := range r.Claims {
		c := &r.Claims[i]
		if c.Verdict == string(claim.VerdictRight) {
			c.Verdict = string(claim.VerdictWrong)
			c.Sentence = fmt.Sprintf("something that claim %d is about was seen otherwise than the sheet wants it, and by far: "+
				"%s; then look once more. Then change the %d", i, strings.Repeat("change what may be the reason in the transmitter, ", 7), i)
			r.Count.Wrong++
		} else {
			r.Count.Open++
		}
	}
	for i := range r.Modes {
		r.Modes[i].Seen, r.Modes[i].MarginNS = true, 12_300
	}
	r.Modes = append(r.Modes, r.Modes...)
	for i := range r.Traces { // as many strips as a first page draws
		for _, l := range r.Traces[i].Lines {
			if l.Name == "throttle" {
				r.Traces[i].Lines = append(r.Traces[i].Lines, l, l)
			}
		}
	}
	reason := strings.Repeat("something was not recorded and proves nothing, ", 3)
	for i := range 12 {
		r.Unseen = append(r.Unseen, record.Unseen{What: "recording", Text: fmt.Sprintf("Flaw %d: %s.", i, reason)})
	}
	return r
}

// The first page names what is most wrong, motors first, and says how much it leaves out.
func TestTheFirstPageSaysWhatItLeavesOut(t *testing.T) {
	r := worst(t)
	first := firstOf(t, r)
	assert.Regexp(t, fmt.Sprintf("And (%d|%d|%d|%d) more seen wrong", r.Count.Wrong-2, r.Count.Wrong-3, r.Count.Wrong-4, r.Count.Wrong-5), first)
	at := func(id string) int { return strings.Index(first, `<p title="`+id+`">`) }
	assert.Positive(t, at("failsafe/throttle"))
	assert.Positive(t, at("cut/throttle"))
	assert.Equal(t, -1, at("order/rudder"))
	assert.Contains(t, first, "more combinations:")
	assert.Less(t, len(textOf(t, first)), 4_000)
}

// Without an appendix nothing leads into it.
func TestAShortReportLeadsNowhereElse(t *testing.T) {
	whole, short := printed(t, worst(t), nil, page.Options{}), printed(t, worst(t), nil, page.Options{Short: true})
	assert.Contains(t, whole, `href="#modes"`)
	assert.NotContains(t, short, `href="#modes"`)
	assert.Contains(t, short, "without --short")
	assert.Less(t, len(short), len(whole)/2)
}
