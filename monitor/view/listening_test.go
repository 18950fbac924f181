package view_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/view"
)

// heard is a bench without a sheet: channel 3 is on its way, channel 17 was switched.
func heard(change func(*state.Tap)) *state.State {
	t := state.Tap{Name: "main", Kind: "bus", Up: true, Locked: true, Signal: event.SignalLive, LastNS: 1, PeriodNS: 7 * unit.Millisecond,
		FrameTally: state.FrameTally{Frames: 900, Missed: 3, Failsafe: 2, Damaged: 1}, LinkTally: state.LinkTally{LinkFrames: 890}}
	for n := 1; n <= 18; n++ {
		r, c := state.ChannelRange{Channel: n, LeastNS: 1_500_000, MostNS: 1_500_000}, state.Channel{Number: n, WidthNS: 1_500_000}
		switch n {
		case 3:
			r.Moving, r.Moves, r.LeastNS, r.MostNS, c.WidthNS = true, 2, 1_101_875, 1_893_125, 1_893_125
		case 17, 18:
			r = state.ChannelRange{Channel: n, Digital: true, Moves: int64(18 - n)}
			c.WidthNS, c.Count = 0, uint32(18-n)
		}
		t.Ranges, t.Channels = append(t.Ranges, r), append(t.Channels, c)
	}
	if change != nil {
		change(&t)
	}
	leads := state.Tap{Name: "leads", Kind: "pulses", Up: true, Locked: true, LastNS: 1, Board: &state.Board{Outputs: []state.Output{
		{Number: 1, Pulsing: true, WidthNS: 1_500_500, PeriodNS: 20 * unit.Millisecond}, {Number: 12, WidthNS: 1_000_000},
	}}}
	now := unit.Time(75 * unit.Second)
	return &state.State{NowNS: now, SeenNS: now, Taps: []state.Tap{t, leads}, Recorder: state.Recorder{Recording: true}}
}

func TestWhatComesInWithoutASheet(t *testing.T) {
	assert.Equal(t, `main: live, every 7.0 ms; frames missed 3, in failsafe 2, damaged 1
  ch     µs  seen so far                ch     µs  seen so far
   1   1500  1500                       10   1500  1500
   2   1500  1500                       11   1500  1500
   3   1893  1102 … 1893    MOVES       12   1500  1500
   4   1500  1500                       13   1500  1500
   5   1500  1500                       14   1500  1500
   6   1500  1500                       15   1500  1500
   7   1500  1500                       16   1500  1500
   8   1500  1500                       17     on  off and on
   9   1500  1500                       18    off  digital
leads: live
lead  1   1501 µs, every 20.0 ms
lead 12  --`, strings.Join(view.Listening(heard(nil), 79, 40, false), "\n"))

	gone := view.Listening(heard(func(t *state.Tap) { t.Up, t.Why, t.Locked = false, "pulled out", false }), 79, 40, false)
	assert.Contains(t, gone[0], "main: GONE")
	assert.Contains(t, gone[4], "   3     --  1102 … 1893   ", "old values never look live, and nothing that is old moves")
	assert.NotContains(t, strings.Join(gone, "\n"), "MOVES")

	small := view.Listening(heard(nil), 39, 7, false)
	assert.Equal(t, []string{"main: live, every 7.0 ms; frames missed", "  ch     µs  seen so far", "   1   1500  1500", "   2   1500  1500",
		"   3   1893  1102 … 1893    MOVES", "  17     on  off and on", "      and 14 more: too few rows"}, small,
		"those that moved have room before others")
	unread := view.Listening(heard(func(t *state.Tap) { *t = state.Tap{Name: "main", Kind: "bus", Up: true, LastNS: -1} }), 79, 40, false)
	assert.Equal(t, "main: nothing heard yet", unread[0])
	assert.Contains(t, strings.Join(view.Listening(heard(nil), 79, 40, true), "\n"), "\x1b[32m   3   1893  1102 … 1893    MOVES")
}

// However small a terminal is, the rows fit.
func TestTheRowsOfChannelsFit(t *testing.T) {
	for columns := 20; columns < 120; columns++ {
		for rows := -3; rows < 30; rows++ {
			lines := view.Listening(heard(nil), columns, rows, false)
			require.LessOrEqual(t, len(lines), max(0, rows))
			for _, line := range lines {
				require.LessOrEqual(t, utf8.RuneCountInString(line), columns)
			}
		}
	}
}

func TestTheStatusLineWithoutASheet(t *testing.T) {
	sh, err := sheet.Read("listening", sheet.ForListening([]sheet.Tap{{Name: "main", Kind: "bus"}, {Name: "leads", Kind: "pulses"}}))
	require.NoError(t, err)
	assert.Equal(t, "main live | NO SHEET, NOTHING IS JUDGED | leads live | 1:15 | outputs 1: 1501 µs", view.StatusLine(heard(nil), sh, 0, false))
	assert.Equal(t, "live | not judged | leads live | 1:15", view.StatusLine(heard(nil), sh, 39, false))
}

func TestTheEndWithoutASheet(t *testing.T) {
	s := heard(nil)
	s.Taps[0].Port.Port, s.Taps[1].Port.Port = "/dev/ttyUSB0", "/dev/ttyACM0"
	assert.Equal(t, `What was heard, since the session began:
  main  frames: 900, one every 7.0 ms; flagged as missed in all: 3, as failsafe: 2
    of a live link: 890, missed on the air: 0, in 0 runs
    left out by the bus: 0, in 0 runs
    damaged on the wire: 1, bytes refused: 0; damage in 0 runs
  leads  lines of the capture board: 0, lacking: 0; bytes refused: 0; pulses it could not report: 0; begun anew: 0
  main  channel 3: 1102 … 1893 µs, moved twice
  main  channel 17 (digital): off and on, moved once
  main  never moved: channels 1, 2, 4 to 16, 18
  leads  lead  1   1501 µs, every 20.0 ms
  leads  lead 12  --
Nothing was judged: there was no sheet to hold it against.
What next: a sheet that says what each channel is. Have it drafted by doing, three minutes of questions:
  benchproof draft --bus /dev/ttyUSB0 --leads /dev/ttyACM0 -o mymodel.yaml
Or of what was heard here, without questions:
  benchproof draft --from sessions/x -o mymodel.yaml
Then watch again with --sheet mymodel.yaml. The recording can be judged by it, too:
  benchproof replay sessions/x --sheet mymodel.yaml`, strings.Join(view.ListeningEnds(s, "sessions/x"), "\n"))
	none := view.ListeningEnds(heard(func(t *state.Tap) { *t = state.Tap{Name: "main", Kind: "bus", LastNS: -1} }), "x")
	assert.Contains(t, none, "  main  no live frame was heard, so nothing is known of its channels")
	unread := heard(func(t *state.Tap) {
		*t = state.Tap{Name: "main", Kind: "bus", LastNS: -1, PortTally: state.PortTally{Bytes: 22625}}
	})
	unread.Taps = unread.Taps[:1]
	assert.Equal(t, []string{
		"What was heard, since the session began:", "  main  nothing could be read; 22625 characters came in",
		"Nothing was judged: there was no sheet to hold it against.",
		"What next: nothing could be read, so there are no channels to write down yet. See first what is wrong with the wire, and mend it: benchproof explain x",
	}, view.ListeningEnds(unread, "x"))
}

func TestFramesWhoseTimesAreNotKnown(t *testing.T) {
	late := view.ListeningEnds(heard(func(t *state.Tap) { t.PeriodNS = 0 }), "x")
	assert.Contains(t, late[1], "frames: 900, how often they come is not known, since they came late or too few; flagged")
}
