package report_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report/page"
)

// A phone is a tap of its own on the page: how it lies, and what its radio leaves out; none of the servo leads.
func TestThePageHasThePhone(t *testing.T) {
	r := kept(t)
	r.Sheet = strings.Replace(r.Sheet, "\ntaps:\n", "\ntaps:\n  phone: {kind: tilt}\n", 1)
	r.Taps = append(r.Taps, record.Tap{Name: "phone", Kind: "tilt", Heard: true})
	r.Claims = append(r.Claims, record.Claim{
		ID: claim.FamilyLaying.ID("phone"), Verdict: string(claim.VerdictRight), Sentence: "tail, left wing and nose were raised",
	})
	text := printed(t, r, nil, page.Options{})
	assert.Contains(t, text, "Tap phone (a phone that lies on the model)")
	assert.Contains(t, text, "seen right: tail, left wing and nose were raised")
	assert.Contains(t, text, "leave its time out")
	assert.NotContains(t, printed(t, kept(t), nil, page.Options{}), "a phone that lies on the model")
}
