package view_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/view"
)

// What a sitting ends with: what its events add up to, each thing once, and what was counted.
func TestTheSummary(t *testing.T) {
	sh, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	aid := func(ms int64, to string) *event.Event {
		return at(ms, ms, event.SwitchMoved, event.AboutSwitch.Called("aid"), event.SwitchData{Tap: "main", To: to})
	}
	mode := func(ms int64, name string, change func(*event.ModeData)) *event.Event {
		d := event.ModeData{Tap: "main", Mode: name, Signal: event.SignalLive, Widths: map[string]unit.Width{"aid": 1_330_000}}
		if change != nil {
			change(&d)
		}
		return at(ms, ms, event.ModeAsked, "stabiliser", d)
	}
	output := func(n int, kind string, data any) *event.Event {
		return at(1, 1, kind, event.AboutOutput.Numbered(n), data)
	}
	follows := event.OutputFollowsData{Terms: []event.MixTerm{{Channel: 2, PPM: 1_000_000}, {Channel: 9, PPM: -500_000}},
		LeastNS: 1_000_000, MostNS: 2_000_000, DelayNS: 5 * unit.Millisecond}
	seen := record.NewOverview(sh)
	for _, e := range []*event.Event{
		aid(1000, "second"), mode(2000, "damping", nil), mode(3000, "damping", nil),
		aid(4000, "first"), mode(5000, "plain", func(d *event.ModeData) { d.Passing = true }),
		mode(6000, "upright", func(d *event.ModeData) { d.Signal = event.SignalFailsafe }),
		mode(7000, "upright", func(d *event.ModeData) { d.Suspect = true }),
		at(8000, 7500, event.LinkLost, "tap:main", event.LinkData{LiveNS: 7_000_000_000, LostNS: 500 * unit.Millisecond}),
		output(1, event.OutputBack, event.OutputBackData{WidthNS: 1_500_000}), output(1, event.OutputFollows, follows),
		output(1, event.OutputClipped, event.OutputClipData{WidthNS: 1_900_000}), output(1, event.OutputClipped, event.OutputClipData{WidthNS: 1_900_000}),
		output(7, event.OutputBack, event.OutputBackData{}), output(7, event.OutputSilent, event.SilentData{}),
	} {
		seen.See(e)
	}
	now := state.State{Taps: []state.Tap{
		{Name: "main", Kind: "bus", PeriodNS: 7 * unit.Millisecond, Refused: []state.Refused{{Bytes: 20}, {Bytes: 5}},
			FrameTally: state.FrameTally{Frames: 900, Missed: 60, Failsafe: 50, Damaged: 3},
			LinkTally:  state.LinkTally{LinkFrames: 800, LinkMissed: 9, LinkMissedRuns: 4, GapFrames: 2, GapRuns: 1, DamageRuns: 2}},
		{Name: "leads", Kind: "pulses", Board: &state.Board{BoardTally: state.BoardTally{Lines: 70, LostLines: 1, Dropped: 6, Restarts: 8}}},
		{Name: "rear", Kind: "bus", LastNS: -1, PortTally: state.PortTally{Bytes: 9}},
	}}
	assert.Equal(t, `What the switches asked for:
  main  aid second                     the bus asks for DAMPING (1330 µs)
  main  aid first                      on the way, passed through PLAIN (1330 µs)
What happened to the signal:
  0:07.500  main: NO LIVE FRAME SINCE 0:07.000, the receiver flags each as lost
Bus and leads, side by side:
  output 1 (left aileron)  = 1.00 aileron and -0.50 channel 9; went from 1000 µs to 2000 µs, about 5 ms behind the bus; cut off at 1900 µs
  output 7                 is heard; what moves it was not found out yet: move every stick to both ends, one at a time; SILENT
The link, since the session began:
  main  frames: 900, one every 7.0 ms; flagged as missed in all: 60, as failsafe: 50
    of a live link: 800, missed on the air: 9, in 4 runs
    left out by the bus: 2, in 1 run
    damaged on the wire: 3, bytes refused: 25; damage in 2 runs
  leads  lines of the capture board: 70, lacking: 1; bytes refused: 0; pulses it could not report: 6; begun anew: 8
  rear  nothing could be read; 9 characters came in`, strings.Join(view.Summary(&now, seen, sh), "\n"))
}

// However often the signal is lost, the summary stays a summary.
func TestTheSummaryOfALongSitting(t *testing.T) {
	sh, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	seen := record.NewOverview(sh)
	for i := range int64(200) {
		seen.See(at(i, i, event.LinkLost, "tap:main", event.LinkData{}))
	}
	lines := view.Summary(&state.State{}, seen, sh)
	assert.Len(t, lines, 65)
	assert.Contains(t, lines, "  and 140 times more; the timeline has all")
}
