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

// present is a bench that is listened to for 75 s, with the starter's sheet.
func present(t *testing.T, change func(*state.State)) (*state.State, *sheet.Sheet) {
	t.Helper()
	sh, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	bus := state.Tap{Name: "main", Kind: "bus", Up: true, Locked: true, Signal: event.SignalLive, ModeKnown: true, Mode: "hold-course", LastNS: 1}
	for name, width := range map[string]unit.Width{"throttle": 1_398_500, "strength": 1_485_300, "aid": 1_930_200, "teach": 1_041_000} {
		c, ok := sh.ByName(name)
		require.True(t, ok, name)
		bus.Channels = append(bus.Channels, state.Channel{Number: c.Number, WidthNS: width})
	}
	now := unit.Time(75*unit.Second + 1)
	s := &state.State{NowNS: now, SeenNS: now, Taps: []state.Tap{bus}, Recorder: state.Recorder{Recording: true}}
	if change != nil {
		change(s)
	}
	return s, sh
}

func board(s *state.State) {
	s.Taps = append(s.Taps, state.Tap{Name: "leads", Kind: "pulses", Up: true, Locked: true, Board: &state.Board{Outputs: []state.Output{
		{Number: 1, Pulsing: true, WidthNS: 1_500_500}, {Number: 2, WidthNS: 1_500_000}, {Number: 3, Pulsing: true, WidthNS: 999_600},
	}}})
}

func TestTheStatusLine(t *testing.T) {
	second := func(change func(*state.Tap)) func(*state.State) {
		return func(s *state.State) {
			other := s.Taps[0]
			other.Name = "second"
			change(&other)
			s.Taps = append(s.Taps, other)
		}
	}
	first := func(change func(*state.Tap)) func(*state.State) { return func(s *state.State) { change(&s.Taps[0]) } }
	for _, c := range []struct {
		name    string
		columns int
		change  func(*state.State)
		want    string
	}{
		{"all of it", 0, board,
			"main live | HOLD-COURSE | throttle 1399 µs | gain 1485 µs | leads live | 1:15 | aid fourth | teach rest | outputs 1: 1501, 3: 1000 µs"},
		{"80 columns", 79, board, "main live | HOLD-COURSE | throttle 1399 µs | gain 1485 µs | leads live | 1:15"},
		{"just as many as it takes", 62, board, "main live | HOLD-COURSE | throttle 1399 µs | gain 1485 µs"},
		{"one fewer", 56, board, "main live | HOLD-COURSE | throttle 1399 µs"},
		{"40 columns", 39, board, "live | HOLD-COURSE | thr 1399"},
		{"40 columns, in failsafe", 39, first(func(t *state.Tap) { t.Signal = event.SignalFailsafe }), "FAILSAFE | HOLD-COURSE | thr 1399"},
		{"no live frame", 79, first(func(t *state.Tap) { t.Signal, t.ModeKnown = event.SignalLost, false }),
			"main NO LIVE FRAME | -- | throttle -- | gain -- | 1:15 | aid -- | teach --"},
		{"40 columns, no live frame", 39, first(func(t *state.Tap) { t.Signal, t.ModeKnown = event.SignalLost, false }), "main NO LIVE FRAME | -- | throttle --"},
		{"silent", 39, first(func(t *state.Tap) { t.Locked, t.ModeKnown = false, false }), "main SILENT | -- | throttle --"},
		{"gone", 39, first(func(t *state.Tap) { t.Up, t.Why, t.ModeKnown = false, "pulled out", false }), "main GONE | -- | throttle -- | gain --"},
		{"not heard yet", 0, first(func(t *state.Tap) { *t = state.Tap{Name: "main", Kind: "bus", LastNS: -1} }),
			"main not open yet | -- | throttle -- | gain -- | 1:15 | aid -- | teach --"},
		{"nothing came yet", 39, first(func(t *state.Tap) { *t = state.Tap{Name: "main", Kind: "bus", Up: true, LastNS: -1} }),
			"nothing heard yet | -- | thr --"},
		{"characters that are no frames", 39, first(func(t *state.Tap) {
			*t = state.Tap{Name: "main", Kind: "bus", Up: true, LastNS: -1, PortTally: state.PortTally{Bytes: 9}}
		}), "main UNREADABLE | -- | throttle --"},
		{"no window of the sheet", 39, first(func(t *state.Tap) { t.Mode = "" }), "main live | NO MODE | throttle 1399 µs"},
		{"two receivers that agree", 79, second(func(*state.Tap) {}),
			"main live, second live | HOLD-COURSE | throttle 1399 µs | gain 1485 µs | 1:15"},
		{"two that do not", 0, second(func(t *state.Tap) { t.Mode, t.Signal = "plain", event.SignalFailsafe }),
			"main live, second FAILSAFE | main HOLD-COURSE, second PLAIN | throttle 1399 µs | gain 1485 µs | 1:15 | aid fourth | teach rest"},
		{"what even so does not fit goes as a whole", 39, second(func(t *state.Tap) { t.Mode, t.Signal = "plain", event.SignalFailsafe }),
			"live/FAILSAFE | HOLD-COURSE/PLAIN"},
		{"what goes wrong comes first of the rest", 0, func(s *state.State) {
			s.Recorder.Recording, s.Drill = false, "ends"
			s.Claims = []state.Claim{{Verdict: event.VerdictWrong}, {Verdict: event.VerdictRight}}
		}, "main live | HOLD-COURSE | throttle 1399 µs | gain 1485 µs | NOT RECORDING | 1 SEEN WRONG | 1:15 | drill ends | aid fourth | teach rest"},
		{"the disk does not answer", 79, func(s *state.State) { s.Recorder.Stalled = true },
			"main live | HOLD-COURSE | throttle 1399 µs | gain 1485 µs | DISK STALLED | 1:15"},
		{"judgement is stuck", 79, func(s *state.State) { s.SeenNS = 0 },
			"main live | HOLD-COURSE | throttle 1399 µs | gain 1485 µs | JUDGED LATE | 1:15"},
		{"no frame without damage yet", 0, first(func(t *state.Tap) { t.Channels = nil }),
			"main live | HOLD-COURSE | throttle -- | gain -- | 1:15 | aid -- | teach --"},
		{"at no place of the sheet", 0, first(func(t *state.Tap) {
			for i := range t.Channels {
				t.Channels[i].WidthNS = 1_200_000
			}
		}), "main live | HOLD-COURSE | throttle 1200 µs | gain 1200 µs | 1:15 | aid 1200 µs | teach 1200 µs"},
		{"leads alone", 0, func(s *state.State) { board(s); s.Taps = s.Taps[1:] }, "leads live | 1:15 | outputs 1: 1501, 3: 1000 µs"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, sh := present(t, c.change)
			assert.Equal(t, c.want, view.StatusLine(s, sh, c.columns, false))
		})
	}
}

// At every width the line is a beginning of its parts, cut between two of them, and from
// 39 columns on the link, the mode and the throttle stand.
func TestTheStatusLineIsCutBetweenItsParts(t *testing.T) {
	s, sh := present(t, board)
	all := strings.Split(view.StatusLine(s, sh, 0, false), " | ")
	for columns := 1; columns < 150; columns++ {
		line := view.StatusLine(s, sh, columns, false)
		require.LessOrEqual(t, utf8.RuneCountInString(line), columns)
		if line == "" {
			continue
		}
		parts := strings.Split(line, " | ")
		if columns >= 43 {
			require.Equal(t, all[:len(parts)], parts, "%d columns", columns)
		}
		if columns >= 39 {
			require.GreaterOrEqual(t, len(parts), 3, "%d columns", columns)
		}
	}
}

func TestTroubleIsColouredInTheStatusLine(t *testing.T) {
	s, sh := present(t, func(s *state.State) {
		s.Taps[0].Signal = event.SignalFailsafe
		s.Claims = []state.Claim{{Verdict: event.VerdictWrong}}
	})
	assert.Equal(t, "\x1b[33mmain FAILSAFE\x1b[0m | HOLD-COURSE | throttle 1399 µs | gain 1485 µs | \x1b[1;31m1 SEEN WRONG\x1b[0m",
		view.StatusLine(s, sh, 79, true), "colour takes no columns")
}
