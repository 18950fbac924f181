package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// A file or a pipe gets one line an event, with dates that never go back and the onset behind an
// event that began before, and every claim.
func TestWhatAFileGets(t *testing.T) {
	var out, talk strings.Builder
	screen := newTerminal(&out, &talk, &sheet.Sheet{}, func() state.State { return state.State{} })
	gap := func(from unit.Time) session.Shown {
		return session.Shown{Event: event.Event{At: 9, From: from, Kind: event.WireGap, About: "tap:main", Data: event.FramesMissingData{Frames: 1}}}
	}
	long := event.VerdictData{Verdict: event.VerdictRight, Sentence: strings.Repeat("long ", 30) + "so"}
	right := session.Shown{Event: event.Event{At: 9, Kind: event.VerdictChanged, Data: long}}
	screen.print([]session.Shown{gap(unit.Time(unit.Second)), gap(0), right}, nil, true)
	printEnding(&out, []string{"What the switches asked for:"}, []*claim.Claim{
		{Verdict: claim.VerdictRight, Sentence: "it moves"}, {Verdict: claim.VerdictOpen, Sentence: "it ends", Settle: claim.Action{Do: claim.DoMove}}}, false)
	assert.Equal(t, ` 0:01.000  main: 1 frame never came, the bus left a gap of 0.0 ms
 0:01.000  main: 1 frame never came, the bus left a gap of 0.0 ms (began 0:00.000)
 0:01.000  SEEN RIGHT: `+strings.Repeat("long ", 30)+`so (began 0:00.000)

What the switches asked for:

The sheet's claims:
  seen right  it moves
  open        it ends

What settles most, with how many claims; a drill runs while it listens:
    1  move a stick
1 seen right, 0 seen wrong, 1 open (1 not looked at, 0 looked at but not settled), 0 stale.
`, out.String())
	assert.Empty(t, talk.String())
	out.Reset()
	printEnding(&out, nil, []*claim.Claim{{Verdict: claim.VerdictOpen, Settle: claim.Action{Do: claim.DoDrill, Drill: "ends"}}}, false)
	assert.Equal(t, `
None of the sheet's 1 claims was seen.
What settles most, with how many claims; a drill runs while it listens:
    1  benchproof drill ends
0 seen right, 0 seen wrong, 1 open (1 not looked at, 0 looked at but not settled), 0 stale.
`, out.String())
}
