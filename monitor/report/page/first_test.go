package page

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/state"
)

func TestWorstLoss(t *testing.T) {
	loss := func(codes ...string) record.Loss {
		l := record.Loss{Data: event.LossData{Class: event.LossPreset}}
		for _, c := range codes {
			l.Findings = append(l.Findings, record.Finding{Code: c})
		}
		return l
	}
	none := record.Loss{Data: event.LossData{Class: event.LossNone}}
	unclear := loss(claim.CodeNotMeasured)
	onTheWord := record.Loss{Data: event.LossData{Class: event.LossUnclear, DatedBy: "builder", Flag: event.FlagClassNever}}
	for name, x := range map[string]struct {
		list []record.Loss
		want int
	}{
		"none":                           {nil, 0},
		"nothing was lost":               {[]record.Loss{none}, 0},
		"none that no wire showed":       {[]record.Loss{onTheWord}, 0},
		"such a one aside":               {[]record.Loss{unclear, onTheWord}, 1},
		"the last of equals":             {[]record.Loss{loss(), loss(), none}, 2},
		"most is wrong":                  {[]record.Loss{loss(), loss(claim.CodeFlagLate, claim.CodeBackLate), loss(claim.CodeFlagLate)}, 2},
		"a raised throttle before all":   {[]record.Loss{loss(claim.CodeThrottleUp), loss(claim.CodeFlagLate, claim.CodeBackLate)}, 1},
		"one that could not be told":     {[]record.Loss{unclear}, 1},
		"such a one behind one that was": {[]record.Loss{loss(), unclear}, 1},
	} {
		assert.Equal(t, x.want, worstLoss(x.list), name)
	}
}

func TestOpenClaimsWereLookedAtOrNot(t *testing.T) {
	assert.Equal(t, "5 not looked at, 2 looked at but not settled", howOpen(state.VerdictCount{Open: 7, OpenLookedAt: 2}))
	assert.Equal(t, "not looked at, or not settled", howOpen(state.VerdictCount{Open: 7}), "an earlier build did not tell")
}

// What rests on the builder's word alone has no number among the losses.
func TestLossTitles(t *testing.T) {
	list := []record.Loss{
		{Data: event.LossData{Class: event.LossHold, LiveNS: 1_500_000_000}},
		{Data: event.LossData{Class: event.LossUnclear, DatedBy: "builder", Flag: event.FlagClassNever, Drill: "failsafe", LiveNS: 9_000_000_000}},
		{Data: event.LossData{Class: event.LossUnclear, DatedBy: "stirred", Flag: event.FlagClassNever, LiveNS: 20_000_000_000}},
		{Data: event.LossData{Class: event.LossNone, LiveNS: 30_000_000_000}},
		{Data: event.LossData{Class: event.LossUnclear, DatedBy: "builder", Flag: event.FlagClassLostOnly, LiveNS: 40_000_000_000}},
	}
	var titles []string
	for i := range list {
		titles = append(titles, lossTitle(list, i))
	}
	assert.Equal(t, []string{
		"Loss 1, at 0:01.5", "No loss was seen, at 0:09.0, in the drill failsafe", "Loss 2, at 0:20.0", "No loss was seen, at 0:30.0", "Loss 3, at 0:40.0",
	}, titles)
}
