package report_test

import (
	"html"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/unit"
)

// sections are the summary and the section on failsafe of a page, as text.
func sections(t *testing.T, r *record.Record) (summary, failsafe string) {
	t.Helper()
	text := html.UnescapeString(printed(t, r, nil))
	summary, rest, found := strings.Cut(text, `<h2 id="modes">`)
	require.True(t, found)
	_, rest, found = strings.Cut(rest, `<h2 id="failsafe">`)
	require.True(t, found)
	failsafe, _, found = strings.Cut(rest, `<h2 id="wrong">`)
	require.True(t, found)
	return summary, failsafe
}

func TestEachLossOfADrillIsPrintedWhole(t *testing.T) {
	r := kept(t)
	require.Len(t, r.Losses, 2)
	summary, failsafe := sections(t, r)
	for i := range r.Losses {
		require.Equal(t, event.FailsafeDrill, r.Losses[i].Data.Drill)
		assert.Contains(t, failsafe, "<p>"+r.Losses[i].Answer+"</p>")
	}
	assert.Equal(t, 2, strings.Count(failsafe, "<caption>From the last live frame</caption>"))
	assert.Equal(t, 2, strings.Count(failsafe, "Widths on the right: without a signal."))
	assert.Contains(t, failsafe, "CAP 658")
	assert.Contains(t, failsafe, `<tr id="claim-powerup--throttle">`)
	assert.Contains(t, summary, "Loss 1: "+r.Losses[0].Answer)
	assert.Contains(t, summary, "Loss 2, at 2:51.4: the receiver did the same once more, as the sheet wants.")
}

// What differs between two losses is reported, but for the doubt about the first that
// the second settles.
func TestTheSummaryJoinsOnlyLossesThatAreAlike(t *testing.T) {
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
		summary, _ := sections(t, r)
		assert.Equal(t, c.joined, strings.Contains(summary, "did the same once more"), c.name)
		assert.Equal(t, !c.joined, strings.Contains(summary, "Loss 2: "+r.Losses[1].Answer), c.name)
	}
}

// A motor that runs before the first link is reported at once, whatever losses showed.
func TestTheSummaryTellsOfAWrongPowerUp(t *testing.T) {
	r := kept(t)
	for i := range r.Claims {
		if r.Claims[i].ID == "powerup/throttle" {
			r.Claims[i].Verdict, r.Claims[i].Sentence = string(claim.VerdictWrong), "the receiver sent full throttle"
		}
	}
	summary, _ := sections(t, r)
	assert.Contains(t, summary, "SEEN WRONG: the receiver sent full throttle.")
}

// A trace is cut after a while; what came later is not drawn at its end.
func TestAMomentBeyondATraceIsNotDrawn(t *testing.T) {
	r := kept(t)
	_, failsafe := sections(t, r)
	require.Equal(t, 2, strings.Count(failsafe, ">live again, +"))
	r.Losses[0].Data.BackNS = unit.Minute
	_, failsafe = sections(t, r)
	assert.Equal(t, 1, strings.Count(failsafe, ">live again, +"))
}
