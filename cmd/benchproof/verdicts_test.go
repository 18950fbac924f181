package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
)

func TestNextRepeatsWhatIsWrongAndSaysHowToSeeTheRest(t *testing.T) {
	right := claim.Claim{Verdict: claim.VerdictRight, Settle: claim.Action{Do: claim.DoDrill, Drill: "order"}}
	wrong := claim.Claim{Verdict: claim.VerdictWrong, Sentence: "the motor ran on", Reopens: "failsafe"}
	never := claim.Claim{Verdict: claim.VerdictOpen, OnlyWrong: true, Settle: claim.Action{Do: claim.DoWatchGain}}
	open := func(do claim.Deed, drill string) claim.Claim {
		return claim.Claim{Verdict: claim.VerdictOpen, Settle: claim.Action{Do: do, Drill: drill}}
	}
	stale := claim.Claim{Verdict: claim.VerdictStale, Settle: claim.Action{Do: claim.DoRest}}
	for _, x := range []struct {
		name   string
		claims []claim.Claim
		want   string
	}{
		{"all right", []claim.Claim{right, right}, "2 seen right, 0 seen wrong, 0 not seen yet, 0 stale.\n" +
			"Every claim of the sheet that can be seen right was. That is evidence about the set-up, not a clearance to fly."},
		{"one wrong", []claim.Claim{right, wrong}, "1 seen right, 1 seen wrong, 0 not seen yet, 0 stale.\n" +
			"  SEEN WRONG  the motor ran on\n" +
			"Next: mend what was seen wrong, then have it seen anew with: benchproof reopen failsafe; and go on."},
		{"all right that can be", []claim.Claim{right, never}, "1 seen right, 0 seen wrong, 1 not seen yet, 0 stale. Of " +
			"those not seen, 1 can only ever be seen wrong; they ask for nothing.\n" +
			"Every claim of the sheet that can be seen right was. That is evidence about the set-up, not a clearance to fly."},
		{"some not seen", []claim.Claim{open(claim.DoMove, ""), open(claim.DoMove, ""), stale, open(claim.DoDrill, "ends"),
			open(claim.DoDrill, "gain"), open(claim.DoDrill, "ends")}, "0 seen right, 0 seen wrong, 5 not seen yet, 1 stale.\n" +
			"Still to be seen without an exercise: move a stick; leave all sticks alone for a few seconds with stabilisation off.\n" +
			"Still to be seen by exercises, with how many claims each: ends (2), gain (1). Begin one with benchproof drill NAME while it listens."},
	} {
		t.Run(x.name, func(t *testing.T) {
			var list []*claim.Claim
			for i := range x.claims {
				list = append(list, &x.claims[i])
			}
			assert.Equal(t, x.want, next(list))
		})
	}
}

func TestNoLongListWhereNothingWasSeen(t *testing.T) {
	var out strings.Builder
	printClaims(&out, []*claim.Claim{{Verdict: claim.VerdictOpen, Settle: claim.Action{Do: claim.DoDrill, Drill: "ends"}}, {Verdict: claim.VerdictOpen, Settle: claim.Action{Do: claim.DoMove}}})
	assert.Equal(t, "None of the sheet's 2 claims was seen.\n\nStill to be seen without an exercise: move a stick.\n"+
		"Still to be seen by exercises, with how many claims each: ends (1). Begin one with benchproof drill NAME while it listens.\n", out.String())
	out.Reset()
	printClaims(&out, []*claim.Claim{{Verdict: claim.VerdictOpen}, {Verdict: claim.VerdictStale, Sentence: "it moves"}})
	assert.Contains(t, out.String(), "  stale       it moves\n")
}

func TestWhatIsRequired(t *testing.T) {
	never := &claim.Claim{Verdict: claim.VerdictOpen, OnlyWrong: true}
	right, open := &claim.Claim{Verdict: claim.VerdictRight}, &claim.Claim{Verdict: claim.VerdictOpen}
	assert.NoError(t, verdict(t.Context(), []*claim.Claim{right, open}, ""))
	assert.NoError(t, verdict(t.Context(), []*claim.Claim{right, never}, "right"), "what can never be right is not required")
	assert.Error(t, verdict(t.Context(), []*claim.Claim{right, open}, "right"))
	never.Verdict = claim.VerdictWrong
	assert.Error(t, verdict(t.Context(), []*claim.Claim{right, never}, ""))
}
