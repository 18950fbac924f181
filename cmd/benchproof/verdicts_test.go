package main

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
)

func TestWhatIsRequired(t *testing.T) {
	never := &claim.Claim{Verdict: claim.VerdictOpen, OnlyWrong: true}
	right, open := &claim.Claim{Verdict: claim.VerdictRight}, &claim.Claim{Verdict: claim.VerdictOpen}
	assert.NoError(t, verdict([]*claim.Claim{right, open}, ""))
	assert.NoError(t, verdict([]*claim.Claim{right, never}, "right"), "what can never be right is not required")
	assert.Error(t, verdict([]*claim.Claim{right, open}, "right"))
	never.Verdict = claim.VerdictWrong
	assert.Error(t, verdict([]*claim.Claim{right, never}, ""))
}
