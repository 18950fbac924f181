package report_test

import (
	"html"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report/page"
	"benchproof.example/monitor/unit"
)

func failsafeOf(t *testing.T, r *record.Record) string {
	t.Helper()
	return html.UnescapeString(section(t, printed(t, r, nil, page.Options{}), "failsafe"))
}

func lossesOf(t *testing.T, r *record.Record) string {
	t.Helper()
	return html.UnescapeString(section(t, printed(t, r, nil, page.Options{}), "losses"))
}

func firstOf(t *testing.T, r *record.Record) string {
	t.Helper()
	return html.UnescapeString(section(t, printed(t, r, nil, page.Options{}), "first"))
}

func TestEachLossOfADrillIsPrintedWhole(t *testing.T) {
	r := kept(t)
	require.Len(t, r.Losses, 2)
	losses := lossesOf(t, r)
	for i := range r.Losses {
		require.Equal(t, drill.Failsafe, r.Losses[i].Data.Drill)
		assert.Contains(t, losses, "<p>"+r.Losses[i].Answer+"</p>")
	}
	assert.Equal(t, 2, strings.Count(losses, "<caption>From the last live frame</caption>"))
	assert.Equal(t, 2, strings.Count(losses, "Widths on the right: without a signal."))
	assert.Contains(t, failsafeOf(t, r), "CAP 658")
}

// What differs between two losses is reported, but for the doubt about the first that
// the second settles.
func TestOnlyLossesThatAreAlikeAreJoined(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(first, second *record.Loss)
		joined bool
	}{
		{"alike", func(_, _ *record.Loss) {}, true},
		{"presets not sent by then", func(first, _ *record.Loss) {
			first.Findings = []record.Finding{{Code: claim.CodeNoPresetsYet}}
		}, true},
		{"something wrong", func(_, second *record.Loss) {
			second.Findings = []record.Finding{{Code: claim.CodeThrottleUp}}
		}, false},
		{"another class", func(_, second *record.Loss) { second.Data.Class = event.LossHold }, false},
		{"another flag", func(_, second *record.Loss) { second.Data.Flag = event.FlagClassNever }, false},
		{"another mode", func(_, second *record.Loss) { second.Data.Mode = "damping" }, false},
		{"another channel", func(_, second *record.Loss) { second.Data.Channels[2].Class = event.LossHold }, false},
	} {
		r := kept(t)
		c.change(&r.Losses[0], &r.Losses[1])
		failsafe := failsafeOf(t, r)
		assert.Equal(t, c.joined, strings.Contains(failsafe, "did the same once more, as the sheet wants"), c.name)
		assert.Equal(t, !c.joined, strings.Contains(failsafe, "<p>"+r.Losses[1].Answer+"</p>"), c.name)
	}
}

// The first page shows the loss that most is wrong with, the last of equals.
func TestTheFirstPageShowsTheWorstLoss(t *testing.T) {
	r := kept(t)
	assert.Contains(t, firstOf(t, r), "(loss 2 of 2, at ")
	r.Losses[0].Findings = []record.Finding{{Code: claim.CodeThrottleUp}}
	r.Losses[1].Findings = []record.Finding{{Code: claim.CodeFlagNever}, {Code: claim.CodeSettledLate}}
	assert.Contains(t, firstOf(t, r), "(loss 1 of 2, at ")
	r.Losses[0].Data.Class = event.LossNone
	assert.Contains(t, firstOf(t, r), "The moment the signal was lost (at ", "one is left, which needs no number")
	r.Losses = nil
	assert.Contains(t, firstOf(t, r), "No loss was measured from beginning to end in this session.")
}

// A motor that runs before the first link is reported at once, whatever losses showed.
func TestTheFirstPageTellsOfAWrongPowerUp(t *testing.T) {
	r := kept(t)
	for i := range r.Claims {
		if r.Claims[i].ID == "powerup/throttle" {
			r.Claims[i].Verdict, r.Claims[i].Sentence = string(claim.VerdictWrong), "the receiver sent full throttle"
		}
	}
	first := firstOf(t, r)
	assert.Contains(t, first, "<strong>The receiver sent full throttle.</strong>")
	assert.Contains(t, first, `<span class="wrong">SEEN WRONG</span>: The receiver sent full throttle.`)
}

// A trace is cut after a while; what came later is not drawn at its end.
func TestAMomentBeyondATraceIsNotDrawn(t *testing.T) {
	r := kept(t)
	losses := lossesOf(t, r)
	require.Equal(t, 2, strings.Count(losses, ">live again, +"))
	r.Losses[0].Data.BackNS = unit.Minute
	losses = lossesOf(t, r)
	assert.Equal(t, 1, strings.Count(losses, ">live again, +"))
}
